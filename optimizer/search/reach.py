"""Whether one pitch can be cut with the gears at hand, how, and what would help if not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cached_property

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.stock import owned_gears, take_stock
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.answers import (
    NEAR_MISSES,
    answer,
    choice_key,
    nearest_to_fitting,
    widths,
)
from gearchest.optimizer.search.cells import Cells
from gearchest.optimizer.search.costs import CLOSEST, DEMERITS, EASIEST, Costs, to_set_up
from gearchest.optimizer.search.result import Addition, Answer, Reach, Verdict, WantStep
from gearchest.optimizer.search.search import Candidates, options_of
from gearchest.optimizer.search.settle import Settler
from gearchest.optimizer.search.trains import TrainSearch

LISTED = 20
"""Trains and additions listed unless asked for more."""

MOST_ADDED = 3
"""`reach` looks for additions of up to so many gears."""


class Bench:
    """A lathe with some gears added, ready to answer for want after want. `first`: the costs
    of a train that count most when one is to be set up."""

    def __init__(
        self, lathe: Lathe, added: Sequence[Gear] = (), first: tuple[str, ...] = (DEMERITS,)
    ) -> None:
        self.lathe = lathe
        self._added, self._first_costs = added, first
        self._order = to_set_up(first)
        self._owned = owned_gears(lathe)

    @cached_property
    def _search(self) -> TrainSearch:
        # Gears too big for the cover stay in: their trains compute, and do not fit.
        stock = take_stock(self.lathe, added=self._added, under_cover=False)
        return TrainSearch(self.lathe, stock)

    @cached_property
    def _settler(self) -> Settler:
        return Settler(self.lathe, [self._added], self._first_costs)

    def settle(self, want: Want) -> WantStep:
        """The want's verdict and the train to set up (see `WantStep`)."""
        return self._settler.settle(want)[0]

    def reach(self, want: Want, *, most: int | None = LISTED) -> Reach:
        """Everything but the additions; `most` None lists every train."""
        cells = self._cells(want, want.allowed_on(self.lathe))
        trains = self._answers(want, cells, self._order, most)
        if trains:
            best = trains[0]
            closest = self._first(want, cells, CLOSEST)
            easiest = self._first(want, cells, EASIEST)
            return Reach(want, best.verdict, best, closest, easiest, trains, ())
        others = self._others(want, most)
        closest = others[0] if others else None
        misfit = self._nearest_miss(want, cells)
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
        found: tuple[Answer, ...] = ()
        for width in widths(want.allowed_on(self.lathe)):
            found = self._answers(want, self._cells(want, width), CLOSEST, most or LISTED)
            if len(found) >= (most or LISTED):
                break
        return found

    def _nearest_miss(self, want: Want, cells: Cells) -> Answer | None:
        misses = self._answers(want, cells, CLOSEST, NEAR_MISSES, fitting=False)
        return nearest_to_fitting(misses)

    def _first(self, want: Want, cells: Cells, order: tuple[str, ...]) -> Answer | None:
        return next(iter(self._answers(want, cells, order, 1)), None)

    def _answers(
        self,
        want: Want,
        cells: Cells,
        order: tuple[str, ...],
        most: int | None,
        *,
        fitting: bool = True,
    ) -> tuple[Answer, ...]:
        """The first trains as answers."""
        costs = Costs(self._search, want.allowed_on(self.lathe), order)
        rows = cells.first(costs, most, fitting=fitting)
        return tuple(
            answer(self.lathe, want, rows.train(row), self._owned) for row in range(len(rows))
        )

    def _cells(self, want: Want, allowed: Fraction) -> Cells:
        """The combinations within an allowance."""
        return Cells.of(self._search, want, allowed)


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
