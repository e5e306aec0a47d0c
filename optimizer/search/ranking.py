"""The first trains by an order of costs, without making all of them.

Before anything is hung or placed it is known what a combination costs at least. So trains are
made and placed best first, and only until there are enough of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small, distinct, values_in
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.costs import Costs
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.trains import PitchWindow, TrainSearch

Windows = dict[int, PitchWindow]
"""Combinations by their number of stages."""

_FIRST = 256
"""Combinations hung in one go, to begin with."""

_MANY = 65536
"""Combinations hung in one go where all of them are."""


@dataclass(frozen=True)
class Pool:
    """Combinations of all layouts, first by what their trains may come to: layout number, row
    in the window of its stages, costs that none of its trains comes below."""

    layout: Small
    row: Ints
    floor: Ints

    @staticmethod
    def of(windows: Windows, layouts: tuple[Layout, ...], costs: Costs) -> Pool:
        parts = []
        for layout in layouts:
            window = windows[layout.stages]
            number = np.full(len(window), LAYOUTS.index(layout), dtype=np.int16)
            floor = costs.floor(layout, window)
            parts.append(Pool(number, np.arange(len(window)), floor))
        every = Pool(
            np.concatenate([part.layout for part in parts]),
            np.concatenate([part.row for part in parts]),
            np.concatenate([part.floor for part in parts]),
        )
        return every.take(np.lexsort(every.floor.T[::-1]))

    def take(self, rows: Ints | Bools) -> Pool:
        return Pool(self.layout[rows], self.row[rows], self.floor[rows])

    def split(self, size: int) -> tuple[Pool, Pool]:
        at = np.arange(len(self.row))
        return self.take(at[:size]), self.take(at[size:])

    def first(
        self,
        costs: Costs,
        windows: Windows,
        most: int | None,
        *,
        fitting: bool,
        chest: TrainSearch | None = None,
        start: TrainRows | None = None,
        ask: Ask = go_on,
    ) -> TrainRows:
        """The `most` first trains (None: all) that fit, or do not: of these combinations and of
        `start`; what only hangs the same idlers of a stage the other way round is told once.
        `chest`: the search whose gears may be idlers, where that is not the one that made the
        windows; the gears of both are told by the same numbers. `ask` is called often."""
        search, pool = costs.search, self
        found = TrainRows.none(search) if start is None else start
        size = _FIRST if most is not None else _MANY
        parts = [found]
        while True:
            if most is not None or not len(pool.row):
                found = first_rows(costs, TrainRows.stack(parts), most)
                parts = [found]
            last = None
            if most is not None and len(found) >= most:
                last = costs.of(found.take(np.array([most - 1])))[0]
                pool = pool.take(_not_after(pool.floor, last))
            if not len(pool.row):
                return found
            batch, pool = pool.split(size)
            size = min(_MANY, size * 4)
            for layout, rows in batch.hung(search, windows, chest or search):
                ask()
                if last is not None:
                    rows = rows.take(_not_after(costs.of(rows), last))
                mask = search.fits.mask(layout, rows.seats[:, : len(layout.places)])
                parts.append(rows.take(mask if fitting else ~mask))

    def within(self, costs: Costs, windows: Windows, most: int, ask: Ask = go_on) -> TrainRows:
        """Every train that fits and whose first cost is at most `most`, in no order; what only
        hangs the same idlers the other way round as well."""
        search, pool = costs.search, self.take(self.floor[:, 0] <= most)
        found = [TrainRows.none(search)]
        while len(pool.row):
            batch, pool = pool.split(_MANY)
            for layout, rows in batch.hung(search, windows, search):
                ask()
                rows = rows.take(costs.of(rows)[:, 0] <= most)
                mask = search.fits.mask(layout, rows.seats[:, : len(layout.places)])
                found.append(rows.take(mask))
        return TrainRows.stack(found)

    def hung(
        self, search: TrainSearch, windows: Windows, chest: TrainSearch
    ) -> Iterator[tuple[Layout, TrainRows]]:
        """Every way of hanging the combinations, each train once, layout by layout."""
        for number in values_in(self.layout):
            layout = LAYOUTS[number]
            window = windows[layout.stages].take(self.row[self.layout == number])
            orders = list(search.orders(layout, window))
            at_once = max(1, _MANY // len(window))
            for first in range(0, len(orders), at_once):
                hung = [order.seats(order.distinct()) for order in orders[first : first + at_once]]
                rows = np.concatenate([rows for rows, _ in hung])
                ordered = np.concatenate([seats for _, seats in hung])
                choices: Iterator[tuple[Ints, Small]] = iter([(np.arange(len(rows)), ordered)])
                if any(layout.idlers):
                    choices = chest.with_idlers(layout, ordered, 0)
                for at, seats in choices:
                    yield layout, TrainRows.of(search, layout, window.take(rows[at]), seats)


def first_rows(costs: Costs, rows: TrainRows, most: int | None) -> TrainRows:
    """The `most` first of some trains in their order, each once."""
    if len(rows) < 2:
        return rows
    kept = np.lexsort(costs.of(rows).T[::-1])
    return rows.take(kept[_once(rows.take(kept))][:most])


def _not_after(keys: Ints, limit: Ints) -> Bools:
    """Which keys do not come after a limit."""
    after = np.zeros(len(keys), dtype=np.bool_)
    equal = np.ones(len(keys), dtype=np.bool_)
    for column, value in zip(keys.T, limit.tolist(), strict=True):
        after |= equal & (column > value)
        equal &= column == value
    return ~after


def _once(rows: TrainRows) -> Ints:
    """Row numbers of trains that differ by more than the turn of idlers in a stage: of equals
    the first."""
    seats = rows.seats.copy()
    for number in values_in(rows.layout):
        layout, of = LAYOUTS[number], rows.layout == number
        start = 1
        for idlers in layout.idlers:
            if idlers > 1:
                seats[of, start : start + idlers] = np.sort(
                    seats[of, start : start + idlers], axis=1
                )
            start += idlers + 2
    whole = np.column_stack([seats, rows.layout, rows.setting])
    first, _ = distinct(whole)
    return np.sort(first)
