"""What each want comes to with one set of gears added after another.

A plan asks the same of every step's gears, and most steps change little for most wants. So the
combinations of all steps are made at once, and those that a set can hang are told by what they
lack. What a set's answer says of another is not looked for again: of the combinations both can
hang none comes before the train found, and where the other set holds that train as well, only
those it can hang besides are looked at, and only as far as they could come before it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

import numpy as np

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fit
from gearchest.optimizer.domain.arrays import Bools, Ints, Small, values_in
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.stock import Stock, owned_gears, take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.answers import NEAR_MISSES, answer, nearest_to_fitting, widths
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.cells import Cell, Cells
from gearchest.optimizer.search.combine import lacking, nth_of_kind
from gearchest.optimizer.search.costs import CLOSEST, DEMERITS, Costs, to_set_up
from gearchest.optimizer.search.ranking import Pool, Windows
from gearchest.optimizer.search.result import Answer, Verdict, WantStep
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.trains import TrainSearch


class Settler:
    """A lathe with each of some `sets` of gears added, ready to answer for want after want.
    `first`: the costs of a train that count most when one is to be set up. `ask` is called often,
    and may end the work by what it raises."""

    def __init__(
        self,
        lathe: Lathe,
        sets: Sequence[Sequence[Gear]],
        first: tuple[str, ...] = (DEMERITS,),
        ask: Ask = go_on,
    ) -> None:
        self.lathe, self.ask = lathe, ask
        self.order = to_set_up(first)
        every: Counter[Gear] = Counter()
        for added in sets:
            every |= Counter(added)
        self._most = every.total()
        # Gears too big for the cover stay in: their trains compute, and do not fit.
        stock = take_stock(lathe, added=list(every.elements()), under_cover=False)
        self.search = TrainSearch(lathe, stock)
        self.added = [_counted(stock, Counter(added)) for added in sets]
        bare = stock.owned - _counted(stock, every)
        number = np.arange(len(stock.gears), dtype=np.int16)
        self._bare = replace(stock, owned=bare, addable=stock.owned, candidate=number)
        self.chests = [
            TrainSearch(lathe, replace(stock, owned=bare + added)) for added in self.added
        ]
        self._owned = owned_gears(lathe)
        self._fits: dict[Train, Fit] = {}

    def settle(self, want: Want, *, beyond: bool = False) -> list[WantStep]:
        """By set, the want's verdict and the train to set up (see `WantStep`). `beyond`: it is
        known already that no set covers it."""
        judged = _Judged(self, want, beyond)
        return [judged.step(number) for number in range(len(self.chests))]

    def answer(self, want: Want, train: Train) -> Answer:
        """A train judged; where it stands is worked out once."""
        if train not in self._fits:
            self._fits[train] = fit(self.lathe, train)
        return answer(self.lathe, want, train, self._owned, self._fits[train])

    def cells(self, want: Want, allowed: Fraction) -> Cells:
        """The combinations within an allowance."""
        return Cells.of(self.search, want, allowed, self.ask)

    def lacks(self, windows: Windows) -> dict[int, Small]:
        """Which gears the lathe lacks of each combination, by their numbers in the stock."""
        return {
            n: lacking(
                self._bare,
                np.concatenate([window.combos.drivers, window.combos.driven], axis=1),
                min(self._most, 2 * n),
            )[0]
            for n, window in windows.items()
        }


def _counted(stock: Stock, gears: Counter[Gear]) -> Ints:
    return np.array([gears[gear] for gear in stock.gears], dtype=np.int64)


class _Judged:
    """One want, set after set."""

    def __init__(self, settler: Settler, want: Want, beyond: bool) -> None:
        self._settler, self._want, self._beyond = settler, want, beyond
        self._cells = settler.cells(want, want.allowed_on(settler.lathe))
        self._wider: dict[Fraction, _Firsts] = {}
        self._answers: dict[tuple[int, ...], Answer] = {}

    @cached_property
    def _best(self) -> _Firsts:
        return _Firsts(self._settler, self._want, self._cells, self._settler.order)

    @cached_property
    def _exact(self) -> _Firsts:
        return _Firsts(self._settler, self._want, self._cells.exact, self._settler.order)

    @cached_property
    def _misses(self) -> _Firsts:
        return _Firsts(self._settler, self._want, self._cells, CLOSEST, NEAR_MISSES, fitting=False)

    def step(self, number: int) -> WantStep:
        """What one set comes to."""
        for best in () if self._beyond else self._judged(self._best.of(number)):
            without = [] if best.error == 0 else self._judged(self._exact.of(number))
            return WantStep(best.verdict, best, without_error=next(iter(without), None))
        shown = nearest_to_fitting(self._judged(self._misses.of(number)))
        shown = shown or self._other(number)
        return WantStep(shown.verdict if shown else Verdict.NO_TRAIN, shown)

    def _other(self, number: int) -> Answer | None:
        """The fitting train nearest beyond the allowance."""
        for width in widths(self._want.allowed_on(self._settler.lathe)):
            if width not in self._wider:
                cells = self._settler.cells(self._want, width)
                self._wider[width] = _Firsts(self._settler, self._want, cells, CLOSEST)
            for found in self._judged(self._wider[width].of(number)):
                return found
        return None

    def _judged(self, rows: TrainRows) -> list[Answer]:
        """Trains as answers, each made once."""
        found = []
        for row, seats in enumerate(rows.seats.tolist()):
            key = (int(rows.layout[row]), int(rows.setting[row]), *seats)
            if key not in self._answers:
                self._answers[key] = self._settler.answer(self._want, rows.train(row))
            found.append(self._answers[key])
        return found


class _Firsts:
    """The first trains out of some combinations, set after set."""

    def __init__(
        self,
        settler: Settler,
        want: Want,
        cells: Cells,
        order: tuple[str, ...],
        most: int = 1,
        *,
        fitting: bool = True,
    ) -> None:
        self._settler, self._cells, self._most = settler, cells, most
        self._fitting = fitting
        self._costs = Costs(settler.search, want.allowed_on(settler.lathe), order)
        self._told: dict[Cell, _Told] = {}
        self._known: dict[int, TrainRows] = {}

    def of(self, number: int) -> TrainRows:
        """The first trains that a set can hang."""
        sharing = [other for other, found in self._known.items() if self._has(number, other, found)]

        def pool(cell: Cell) -> Pool:
            told = self._of_cell(cell)
            held = self._held(told, number)
            for other in sharing:
                # an idler may be a gear that the other set had not
                held = held & (~self._held(told, other) | told.idled)
            return told.pool.take(held)

        start = [self._known[other] for other in sharing]
        first = self._cells.first(
            self._costs, self._most, fitting=self._fitting, chest=self._settler.chests[number],
            start=TrainRows.stack(start) if start else None, pool=pool,
        )  # fmt: skip
        self._known[number] = first
        return first

    def _of_cell(self, cell: Cell) -> _Told:
        if cell not in self._told:
            windows = self._cells.windows(cell)
            lacks = self._settler.lacks(windows)
            pool = self._cells.pool(cell, self._costs)
            self._told[cell] = _Told(
                pool,
                lacks,
                {n: nth_of_kind(of) for n, of in lacks.items()},
                _IDLED[pool.layout],
                {},
            )
        return self._told[cell]

    def _held(self, told: _Told, number: int) -> Bools:
        """Which combinations of a cell a set can hang, idlers apart."""
        if number not in told.held:
            added = np.append(self._settler.added[number], np.iinfo(np.int64).max)
            pool = told.pool
            held = np.zeros(len(pool.row), dtype=np.bool_)
            for layout in values_in(pool.layout):
                n, of = LAYOUTS[layout].stages, pool.layout == layout
                can: Bools = np.all(told.nth[n] < added[told.lacks[n]], axis=1)
                held[of] = can[pool.row[of]]
            told.held[number] = held
        return told.held[number]

    def _has(self, number: int, other: int, found: TrainRows) -> bool:
        """Whether a set has the gears of all trains found with another one."""
        settler = self._settler
        if (settler.added[other] <= settler.added[number]).all():
            return True
        owned = settler.chests[number].stock.owned
        return all(
            count <= owned[gear]
            for seats in found.seats.tolist()
            for gear, count in Counter(seats).items()
            if gear >= 0
        )


_IDLED = np.array([any(layout.idlers) for layout in LAYOUTS])


@dataclass(frozen=True)
class _Told:
    """The combinations of a cell: what they lack, by number of stages, with how many like it
    stand before each gear; which layouts take idlers; and, by set, which it can hang."""

    pool: Pool
    lacks: dict[int, Small]
    nth: dict[int, Ints]
    idled: Bools
    held: dict[int, Bools]
