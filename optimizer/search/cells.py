"""The combinations of one pitch in cells, each made when it is come to.

Whoever looks for the first trains by some order of costs seldom needs all combinations: those
that are nearly right come first, and what lies further off costs more whatever it is. So where
a pitch has many, they are parted by stages and by how far off they are, and cells are looked at
by what their trains cost at least, until none could come before what was found.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

import numpy as np

from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.costs import Costs
from gearchest.optimizer.search.ranking import Pool, Windows, first_rows
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.trains import TrainSearch

_MANY = 100_000
"""Combinations in a cell, about."""

_SHARES = 10
"""Demerits rise by tenths of the allowance."""

_PAST = Fraction(2, 10**9)
"""A tenth ends a trifle later, so that what lies beyond it has the demerits of the next."""

_MOST = 1000
"""Cells a pitch is parted into, at most, for each number of stages."""


@dataclass(frozen=True)
class Cell:
    """Combinations of some numbers of stages, with |error| <= `within`, and > `beyond` where
    that is given."""

    stages: tuple[int, ...]
    within: Fraction
    beyond: Fraction | None = None


@dataclass(frozen=True)
class Cells:
    """The combinations of a pitch that some layouts can hang. `ask` is called while they are
    made and ends the work by what it raises."""

    search: TrainSearch
    pitch: Pitch
    layouts: tuple[Layout, ...]
    cells: tuple[Cell, ...]
    ask: Ask
    made: dict[Cell, Windows] = field(default_factory=dict)

    @staticmethod
    def of(search: TrainSearch, want: Want, allowed: Fraction, ask: Ask = go_on) -> Cells:
        """Those of a want's pitch within an allowance."""
        layouts = search.layouts(left=want.left)
        return Cells(search, want.pitch.lead, layouts, _parted(search, allowed, layouts), ask)

    def windows(self, cell: Cell) -> Windows:
        """The combinations of one cell, by number of stages."""
        if cell not in self.made:
            self.made[cell] = {
                n: self.search.window(self.pitch, cell.within, n, self.ask, cell.beyond)
                for n in cell.stages
            }
        return self.made[cell]

    def pool(self, cell: Cell, costs: Costs) -> Pool:
        """The same as a pool."""
        layouts = tuple(layout for layout in self.layouts if layout.stages in cell.stages)
        return Pool.of(self.windows(cell), layouts, costs)

    @property
    def exact(self) -> Cells:
        """Those without error."""
        near = tuple(cell for cell in self.cells if cell.beyond is None)
        made = {
            cell: {n: w.take(w.error == 0.0) for n, w in self.windows(cell).items()}
            for cell in near
        }
        return Cells(self.search, self.pitch, self.layouts, near, self.ask, made)

    def in_turn(self, costs: Costs) -> list[tuple[tuple[int, ...], Cell]]:
        """Each cell with a cost that none of its trains comes below, the least first."""
        floors = [(costs.least(min(cell.stages), cell.beyond), cell) for cell in self.cells]
        return sorted(floors, key=lambda one: one[0])

    def first(
        self,
        costs: Costs,
        most: int | None = 1,
        *,
        fitting: bool = True,
        chest: TrainSearch | None = None,
        start: TrainRows | None = None,
        pool: Callable[[Cell], Pool] | None = None,
    ) -> TrainRows:
        """As `Pool.first`, of all cells; `pool`: what is to be looked at of a cell."""
        found = TrainRows.none(self.search) if start is None else start
        found = first_rows(costs, found, most)
        for floor, cell in self.in_turn(costs):
            if most is not None and len(found) >= most:
                last = costs.of(found.take(np.array([most - 1])))[0]
                if floor > tuple(last.tolist()):
                    break
            some = self.pool(cell, costs) if pool is None else pool(cell)
            found = some.first(
                costs, self.windows(cell), most,
                fitting=fitting, chest=chest, start=found, ask=self.ask,
            )  # fmt: skip
        return found

    def within(self, costs: Costs, most: int) -> TrainRows:
        """Every train that fits and whose first cost is at most `most`, in no order."""
        found = [TrainRows.none(self.search)]
        for floor, cell in self.in_turn(costs):
            if floor[0] > most:
                break
            some = self.pool(cell, costs)
            found.append(some.within(costs, self.windows(cell), most, self.ask))
        return TrainRows.stack(found)


def _parted(search: TrainSearch, allowed: Fraction, layouts: Sequence[Layout]) -> tuple[Cell, ...]:
    """All in one cell where there are few."""
    stages = tuple(sorted({layout.stages for layout in layouts}))
    if not stages or allowed < 0:
        return ()
    about = {n: search.about(allowed, n) for n in stages}
    if sum(about.values()) <= _MANY:
        return (Cell(stages, allowed),)
    return tuple(
        Cell((n,), allowed * high, None if low < 0 else allowed * low)
        for n in stages
        for low, high in pairwise([Fraction(-1), *_edges(about[n])])
    )


def _edges(about: float) -> list[Fraction]:
    """Shares of the allowance at which cells end: no error at all, the least of errors, and then
    so many combinations at a time, no demerits of two tenths in one."""
    one = Fraction(1)
    if about <= _MANY:
        return [one]
    step = Fraction(1, min(_MOST, max(_SHARES, _SHARES * round(about / _MANY / _SHARES))))
    first = [Fraction(0), step / 100, step / 10]
    rest = [step * k + _PAST for k in range(1, int(1 / step))]
    return [*first, *rest, one]
