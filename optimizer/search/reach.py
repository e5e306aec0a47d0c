"""Whether one pitch can be cut with the gears at hand, how, and what would help if not.

Ties everywhere: smaller |error|, smaller tooth load, fewer gears, then the smaller numbers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.arrays import Ints, Small
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import magnitude, relative_error
from gearchest.optimizer.domain.stock import owned_gears, take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.orders import in_units
from gearchest.optimizer.search.result import Addition, Answer, Reach, Verdict, WantStep
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.search import Candidates, options_of
from gearchest.optimizer.search.trains import TrainSearch

OFF_LIMIT = Fraction(5, 100)
"""A fitting train further off than this is no answer at all."""

LISTED = 20
"""Trains and additions listed unless asked for more."""

MOST_ADDED = 3
"""`reach` looks for additions of up to so many gears."""

_NEAR_MISSES = 50
"""Of the trains that do not fit, so many of the best are placed to find the nearest miss."""


class Bench:
    """A lathe with some gears added, ready to answer for want after want."""

    def __init__(self, lathe: Lathe, added: Sequence[Gear] = ()) -> None:
        self.lathe = lathe
        # Gears too big for the cover stay in: their trains compute, and do not fit.
        self._search = TrainSearch(lathe, take_stock(lathe, added=added, under_cover=False))
        self._owned = owned_gears(lathe)

    def settle(self, want: Want) -> WantStep:
        """The want's verdict and the train to set up (see `WantStep`)."""
        found = self.reach(want, most=1)
        answers = [found.easiest, found.misfit, found.closest]
        shown = next((a for a in answers if a), None)
        exact = found.closest if found.verdict is Verdict.EXACT else None
        return WantStep(found.verdict, shown, without_error=None if exact == shown else exact)

    def reach(self, want: Want, *, most: int | None = LISTED) -> Reach:
        """Everything but the additions; `most` None lists every train."""
        allowed = want.allowance.relative
        good, misses = self._rows(want, allowed)
        if len(good):
            trains = self._answers(want, _best(good, most))
            easiest = self._easiest(want, good)
            return Reach(want, trains[0].verdict, trains[0], easiest, trains, ())
        others = self._nearest_others(want, allowed, most or LISTED)
        closest = others[0] if others else None
        misfit = self._nearest_miss(want, misses)
        if misfit:
            shown = others or (misfit,)
            return Reach(
                want, Verdict.DOES_NOT_FIT, closest, None, shown, (), misfit, misfit.fit.cures
            )
        verdict = Verdict.OFF if closest else Verdict.NO_TRAIN
        return Reach(want, verdict, closest, None, others, ())

    def _nearest_others(self, want: Want, allowed: Fraction, most: int) -> tuple[Answer, ...]:
        """Fitting trains beyond the allowance, up to 5 % off: the window widens until it
        holds enough."""
        width = max(allowed, Fraction(1, 2000))
        while width < OFF_LIMIT * 4:
            width = min(width * 4, OFF_LIMIT * 4)
            good, _ = self._rows(want, min(width, OFF_LIMIT))
            if len(good) >= most or width >= OFF_LIMIT:
                return self._answers(want, _best(good, most))
        return ()

    def _nearest_miss(self, want: Want, rows: TrainRows) -> Answer | None:
        misses = self._answers(want, _best(rows, _NEAR_MISSES))
        return min(misses, key=lambda a: (len(a.fit.misfits), a.fit.short_by), default=None)

    def _easiest(self, want: Want, rows: TrainRows) -> Answer:
        light = rows.take(rows.load == rows.load.min())
        best = min(
            _best(light, None),
            key=lambda t: (t.tooth_load, magnitude(self._error(want, t)), *tie_order(t)),
        )
        # Only the best is placed: placing every train that ties takes most of the time.
        return answer(self.lathe, want, best, self._owned)

    def _error(self, want: Want, train: Train) -> Fraction | float:
        return relative_error(train.ratio, self.lathe.leadscrew, want.pitch)

    def _answers(self, want: Want, trains: Sequence[Train]) -> tuple[Answer, ...]:
        """Trains as answers, best first."""
        return tuple(answer(self.lathe, want, train, self._owned) for train in trains)

    def _rows(self, want: Want, allowed: Fraction) -> tuple[TrainRows, TrainRows]:
        """Every train within a window, each once: those that fit, and those that do not."""
        search = self._search
        fitting, others = [TrainRows.none(search)], [TrainRows.none(search)]
        for layout in search.layouts(left=want.left):
            window = search.window(want.pitch.lead, allowed, layout.stages)
            for order in search.orders(layout, window):
                rows, ordered = order.seats(order.distinct())
                load = in_units(order.loads()[rows])
                choices: Iterator[tuple[Ints, Small]] = iter([(np.arange(len(rows)), ordered)])
                if any(layout.idlers):
                    choices = search.with_idlers(layout, ordered, 0)
                for at, seats in choices:
                    part = TrainRows.of(search, layout, window.take(rows[at]), load[at], seats)
                    fits = search.fits.mask(layout, seats)
                    fitting.append(part.take(fits))
                    others.append(part.take(~fits))
        return TrainRows.stack(fitting), TrainRows.stack(others)


def _best(rows: TrainRows, most: int | None) -> list[Train]:
    """The best trains, best first; ties settled in exact fractions."""
    error = np.abs(rows.error)
    order = np.lexsort((rows.load, error))
    if most is not None and len(order) > most:
        # Rounded loads may tie where exact ones do not: keep all that tie with the last.
        last = order[most - 1]
        tied = (error[order] == error[last]) & (rows.load[order] == rows.load[last])
        order = order[: max(most, int(np.flatnonzero(tied)[-1]) + 1)]
    trains = [(float(error[row]), rows.train(int(row))) for row in order]
    trains.sort(key=lambda pair: (pair[0], pair[1].tooth_load, *tie_order(pair[1])))
    return [train for _, train in trains[:most]]


def tie_order(train: Train) -> tuple[object, ...]:
    """Fewer gears, then the smaller numbers: of drivers, of driven gears, of idlers. What is
    the same by that is told apart by kinds of gears, lever positions and layout."""
    groups = train.drivers, train.driven, sum(train.idlers, ())
    return (
        len(train.gears),
        *(tuple(gear.teeth for gear in group) for group in groups),
        *(tuple(gear.order for gear in group) for group in groups),
        train.setting.first_driver_turns,
        train.setting.gearbox or "",
        LAYOUTS.index(train.layout),
    )


def answer(lathe: Lathe, want: Want, train: Train, owned: Counter[Gear]) -> Answer:
    """A train judged as an answer to a want."""
    error = relative_error(train.ratio, lathe.leadscrew, want.pitch)
    placed = fit(lathe, train)
    if magnitude(error) > want.allowance.relative:
        verdict = Verdict.OFF if magnitude(error) <= OFF_LIMIT else Verdict.NO_TRAIN
    elif placed.fits is Fits.NO:
        verdict = Verdict.DOES_NOT_FIT
    else:
        verdict = Verdict.EXACT if error == 0 else Verdict.IN_TOLERANCE
    return Answer(train, error, verdict, placed, train.missing(owned))


def reach(
    lathe: Lathe, want: Want, candidates: Candidates = (), *, most: int | None = LISTED
) -> Reach:
    """Whether a want can be cut with the gears owned; if not, the fewest that would do it."""
    found = Bench(lathe).reach(want, most=most)
    if found.verdict.covered:
        return found
    return replace(found, additions=additions(lathe, want, candidates, most=most))


def additions(
    lathe: Lathe, want: Want, candidates: Candidates, *, most: int | None = LISTED
) -> tuple[Addition, ...]:
    """Every set of least size (up to MOST_ADDED gears) that would bring the want within its
    allowance, each with its best train, best first."""
    stock = take_stock(lathe, candidates)
    owned = owned_gears(lathe)
    for size in range(1, MOST_ADDED + 1):
        search = TrainSearch(lathe, stock, size)
        found = options_of(search, want.pitch.lead, want.allowance.relative, left=want.left)
        sets: dict[tuple[Gear, ...], Answer] = {}
        for row in np.flatnonzero((found.lacks >= 0).sum(axis=1) == size):
            one = answer(lathe, want, found.train(int(row)), owned)
            old = sets.get(one.missing)
            if old is None or _key(one) < _key(old):
                sets[one.missing] = one
        if sets:
            best = sorted(sets, key=lambda gears: _key(sets[gears]))[:most]
            exact = [Addition(gears, _best_with(lathe, want, gears)) for gears in best]
            return tuple(sorted(exact, key=lambda addition: _key(addition.answer)))
    return ()


def _best_with(lathe: Lathe, want: Want, gears: Sequence[Gear]) -> Answer:
    """The best train once these gears are there. Options keep one of several equals; here
    every tie counts."""
    found = Bench(lathe, gears).reach(want, most=1)
    assert found.closest is not None
    return found.closest


def _key(one: Answer) -> tuple[object, ...]:
    return magnitude(one.error), one.train.tooth_load, *tie_order(one.train)
