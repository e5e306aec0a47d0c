"""Whether one pitch can be cut with the gears at hand, how, and what would help if not."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import magnitude, relative_error
from gearchest.optimizer.domain.stock import owned_gears, take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.costs import (
    CLOSEST,
    DEMERITS,
    EASIEST,
    ERROR,
    LOAD,
    Costs,
    to_set_up,
)
from gearchest.optimizer.search.merit import SPARE, merit
from gearchest.optimizer.search.options import ERROR_UNIT, LOAD_UNIT
from gearchest.optimizer.search.ranking import first_trains
from gearchest.optimizer.search.result import Addition, Answer, Reach, Verdict, WantStep
from gearchest.optimizer.search.search import Candidates, options_of
from gearchest.optimizer.search.trains import PitchWindow, TrainSearch

Windows = dict[int, PitchWindow]

OFF_LIMIT = Fraction(5, 100)
"""A fitting train further off than this is no answer at all."""

LISTED = 20
"""Trains and additions listed unless asked for more."""

MOST_ADDED = 3
"""`reach` looks for additions of up to so many gears."""

_NEAR_MISSES = 50
"""Of the trains that do not fit, so many of the best are placed to find the nearest miss."""


class Bench:
    """A lathe with some gears added, ready to answer for want after want. `first`: the costs
    of a train that count most when one is to be set up."""

    def __init__(
        self, lathe: Lathe, added: Sequence[Gear] = (), first: tuple[str, ...] = (DEMERITS,)
    ) -> None:
        self.lathe = lathe
        self._order = to_set_up(first)
        # Gears too big for the cover stay in: their trains compute, and do not fit.
        self._search = TrainSearch(lathe, take_stock(lathe, added=added, under_cover=False))
        self._owned = owned_gears(lathe)

    def settle(self, want: Want) -> WantStep:
        """The want's verdict and the train to set up (see `WantStep`)."""
        windows = self._windows(want, want.allowed_on(self.lathe))
        best = self._first(want, windows, self._order)
        if best is not None:
            return WantStep(best.verdict, best, without_error=self._exact(want, windows, best))
        shown = self._nearest_miss(want, windows) or next(iter(self._others(want, 1)), None)
        return WantStep(shown.verdict if shown else Verdict.NO_TRAIN, shown)

    def reach(self, want: Want, *, most: int | None = LISTED) -> Reach:
        """Everything but the additions; `most` None lists every train."""
        windows = self._windows(want, want.allowed_on(self.lathe))
        trains = self._answers(want, windows, self._order, most)
        if trains:
            best = trains[0]
            closest = self._first(want, windows, CLOSEST)
            easiest = self._first(want, windows, EASIEST)
            return Reach(want, best.verdict, best, closest, easiest, trains, ())
        others = self._others(want, most)
        closest = others[0] if others else None
        misfit = self._nearest_miss(want, windows)
        if misfit:
            shown = others or (misfit,)
            return Reach(
                want, Verdict.DOES_NOT_FIT, None, closest, None, shown, (), misfit, misfit.fit.cures
            )
        verdict = Verdict.OFF if closest else Verdict.NO_TRAIN
        return Reach(want, verdict, None, closest, None, others, ())

    def _others(self, want: Want, most: int | None) -> tuple[Answer, ...]:
        """Fitting trains beyond the allowance, up to 5 % off: the window widens until it
        holds enough."""
        width = max(want.allowed_on(self.lathe), Fraction(1, 2000))
        while width < OFF_LIMIT * 4:
            width = min(width * 4, OFF_LIMIT * 4)
            windows = self._windows(want, min(width, OFF_LIMIT))
            found = self._answers(want, windows, CLOSEST, most or LISTED)
            if len(found) >= (most or LISTED) or width >= OFF_LIMIT:
                return found
        return ()

    def _nearest_miss(self, want: Want, windows: Windows) -> Answer | None:
        misses = self._answers(want, windows, CLOSEST, _NEAR_MISSES, fitting=False)
        return min(misses, key=lambda a: (len(a.fit.misfits), a.fit.short_by), default=None)

    def _exact(self, want: Want, windows: Windows, best: Answer) -> Answer | None:
        """The train without error to set up first, where `best` has one."""
        if best.error == 0:
            return None
        exact = {n: w.take(w.error == 0.0) for n, w in windows.items()}
        return self._first(want, exact, self._order)

    def _first(self, want: Want, windows: Windows, order: tuple[str, ...]) -> Answer | None:
        return next(iter(self._answers(want, windows, order, 1)), None)

    def _answers(
        self,
        want: Want,
        windows: Windows,
        order: tuple[str, ...],
        most: int | None,
        *,
        fitting: bool = True,
    ) -> tuple[Answer, ...]:
        """The first trains as answers."""
        layouts = self._search.layouts(left=want.left)
        costs = Costs(self._search, want.allowed_on(self.lathe), order)
        trains = first_trains(costs, windows, layouts, most, fitting=fitting)
        return tuple(answer(self.lathe, want, train, self._owned) for train in trains)

    def _windows(self, want: Want, allowed: Fraction) -> Windows:
        """The combinations within an allowance, by number of stages."""
        stages = {layout.stages for layout in self._search.layouts(left=want.left)}
        return {n: self._search.window(want.pitch.lead, allowed, n) for n in sorted(stages)}


def answer(lathe: Lathe, want: Want, train: Train, owned: Counter[Gear]) -> Answer:
    """A train judged as an answer to a want."""
    error = relative_error(train.ratio, lathe.leadscrew, want.pitch)
    placed = fit(lathe, train)
    if magnitude(error) > want.allowed_on(lathe):
        verdict = Verdict.OFF if magnitude(error) <= OFF_LIMIT else Verdict.NO_TRAIN
    elif placed.fits is Fits.NO:
        verdict = Verdict.DOES_NOT_FIT
    else:
        verdict = Verdict.EXACT if error == 0 else Verdict.IN_TOLERANCE
    judged = merit(lathe, want, train)
    return Answer(train, error, verdict, placed, judged, train.missing(owned))


def reach(
    lathe: Lathe,
    want: Want,
    candidates: Candidates = (),
    *,
    most: int | None = LISTED,
    first: tuple[str, ...] = (DEMERITS,),
) -> Reach:
    """Whether a want can be cut with the gears owned; if not, the fewest that would do it.
    `first`: as of a `Bench`."""
    found = Bench(lathe, (), first).reach(want, most=most)
    if found.verdict.covered:
        return found
    return replace(found, additions=additions(lathe, want, candidates, most, first))


def additions(
    lathe: Lathe,
    want: Want,
    candidates: Candidates,
    most: int | None = LISTED,
    first: tuple[str, ...] = (DEMERITS,),
) -> tuple[Addition, ...]:
    """Every set of least size (up to MOST_ADDED gears) that would bring the want within its
    allowance, each with the train to set up then, best first."""
    stock = take_stock(lathe, candidates)
    for size in range(1, MOST_ADDED + 1):
        search = TrainSearch(lathe, stock, size)
        found = options_of(search, want.pitch.lead, want.allowed_on(lathe), left=want.left)
        sets = [
            tuple(stock.candidates[c] for c in lacks if c >= 0)
            for lacks in found.lacks[(found.lacks >= 0).sum(axis=1) == size].tolist()
        ]
        if sets:
            every = [Addition(gears, _best_with(lathe, want, gears, first)) for gears in sets]
            every.sort(key=lambda one: choice_key(lathe, one.answer, first))
            return tuple(every[:most])
    return ()


def _best_with(lathe: Lathe, want: Want, gears: Sequence[Gear], first: tuple[str, ...]) -> Answer:
    """The train to set up once these gears are there, as the lathe without them sees it."""
    found = Bench(lathe, gears, first).settle(want).answer
    assert found is not None
    return found


def choice_key(
    lathe: Lathe, one: Answer, first: tuple[str, ...] = (DEMERITS,)
) -> tuple[object, ...]:
    """Which answer to set up: least first. What `costs.to_set_up` says, in exact fractions."""
    known = {
        DEMERITS: one.merit.demerits,
        LOAD: round(one.train.tooth_load / Fraction(str(LOAD_UNIT))),
        ERROR: round(magnitude(one.error) / ERROR_UNIT),
    }
    train, share = one.train, one.merit.tooth_share
    groups = train.drivers, train.driven, sum(train.idlers, ())
    return (
        *(known[cost] for cost in first),
        train.put_on(lathe.usual_train) if lathe.usual_train else 0,
        len(train.gears),
        train.overdrives_box,
        magnitude(one.error),
        math.inf if share is None else round(share / SPARE),
        *(tuple(gear.teeth for gear in group) for group in groups),
        *(tuple(gear.order for gear in group) for group in groups),
        train.setting.first_driver_turns,
        train.setting.gearbox or "",
        LAYOUTS.index(train.layout),
    )
