"""The options of one pitch: which of its combinations are worth placing.

Trains that lack fewer gears are looked at first, and of those that lack the same gears the
ones that could cost least. A train that lacks a superset of what a placed one lacks and could
cost no less need not be placed: nothing would choose it. So of most lacks one train is placed
that fits, and the rest are never looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.search.asking import Ask
from gearchest.optimizer.search.combine import lack_count, lacking
from gearchest.optimizer.search.costs import Costs
from gearchest.optimizer.search.fronts import Fronts, best_of_each, less
from gearchest.optimizer.search.layers import Layers
from gearchest.optimizer.search.ranking import Windows
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.trains import PitchWindow

_AT_ONCE = 8192
"""Rows worth placing in one go."""

_FIRST_IDLED = 4096
"""Combinations that are tried with idlers in one go, to begin with."""


def options_in(
    costs: Costs, windows: Windows, layers: Sequence[Layers], *, left: bool, ask: Ask
) -> TrainRows:
    """The options that no other beats, of all combinations there are, by their number of
    stages, or in layers of some layouts; the least costly first."""
    search = costs.search
    deep = [one.layout for one in layers]
    layouts = [layout for layout in search.layouts(left=left) if layout not in deep]
    some = {layout: _Lacking.of(windows[layout.stages], layout, costs) for layout in layouts}
    fronts = Fronts(len(search.stock.candidates), search.most_missing, len(costs.order))
    parts = [TrainRows.none(search)]
    for level in range(search.most_missing + 1):
        for layout in layouts:
            place = _with_idlers if any(layout.idlers) else _without_idlers
            for part in place(costs, layout, some[layout], level, fronts, ask):
                parts.append(part)
                fronts.add(fronts.pack(part.lacks), costs.of(part))
        for one in layers:
            for window in one.lacking(level, fronts):
                rows = _Lacking.of(window, one.layout, costs)
                for part in _without_idlers(costs, one.layout, rows, level, fronts, ask):
                    parts.append(part)
                    fronts.add(fronts.pack(part.lacks), costs.of(part))
    every = TrainRows.stack(parts)
    every = every.take(best_of_each(fronts.pack(every.lacks), costs.of(every)))
    return every.take(np.lexsort(costs.of(every).T[::-1]))


@dataclass(frozen=True)
class _Lacking:
    """Combinations that a layout can hang: how many gears they lack, and a cost that none of
    their trains comes below."""

    window: PitchWindow
    count: Ints
    floor: Ints

    @staticmethod
    def of(window: PitchWindow, layout: Layout, costs: Costs) -> _Lacking:
        return _Lacking(window, lack_count(window.lacks), costs.floor(layout, window))

    def take(self, rows: Ints | Bools) -> _Lacking:
        return _Lacking(self.window.take(rows), self.count[rows], self.floor[rows])

    def open(self, fronts: Fronts) -> tuple[_Lacking, Ints]:
        """Those that may cost less than what is known, and the costs they have to stay below."""
        limit = fronts.limit(self.window.lacks, self.floor)
        still = np.flatnonzero(less(self.floor, limit))
        return self.take(still), limit[still]


def _without_idlers(
    costs: Costs, layout: Layout, all_rows: _Lacking, level: int, fronts: Fronts, ask: Ask
) -> Iterator[TrainRows]:
    """Of the combinations lacking exactly `level` gears the best that fit, of each lack one."""
    # Row numbers first: the rows themselves are copied once.
    chosen = np.flatnonzero(all_rows.count == level)
    limit = fronts.limit(all_rows.window.lacks[chosen], all_rows.floor[chosen])
    below = np.flatnonzero(less(all_rows.floor[chosen], limit))
    chosen, limit = chosen[below], limit[below]
    if not len(chosen):
        return
    keys = fronts.pack(all_rows.window.lacks[chosen])
    order = np.lexsort((*all_rows.floor[chosen].T[::-1], keys))
    some, limit, keys = all_rows.take(chosen[order]), limit[order], keys[order]
    few, kept = 1, [TrainRows.none(costs.search)]
    while len(keys):
        # Of each lack the next few by what they could cost, more of them each time.
        _, starts, group = np.unique(keys, return_index=True, return_inverse=True)
        turn = np.arange(len(keys)) - starts[group] < few
        few = few * 4 if len(keys) > _AT_ONCE else len(keys)
        part, rest = _placed(costs, layout, some.take(turn), limit[turn], ask), ~turn
        kept.append(part)
        some, limit, keys = some.take(rest), limit[rest], keys[rest]
        limit = _lowered(limit, keys, fronts.pack(part.lacks), costs.of(part))
        still = less(some.floor, limit)
        some, limit, keys = some.take(still), limit[still], keys[still]
    every = TrainRows.stack(kept)
    yield every.take(best_of_each(fronts.pack(every.lacks), costs.of(every)))


def _lowered(limit: Ints, keys: Ints, found_keys: Ints, found: Ints) -> Ints:
    """The limits, lowered to what was found of the same lack."""
    best = best_of_each(found_keys, found)
    if not len(best) or not len(keys):
        return limit
    known, costs = found_keys[best], found[best]
    at = np.minimum(np.searchsorted(known, keys), len(known) - 1)
    better = (known[at] == keys) & less(costs[at], limit)
    return np.where(better[:, None], costs[at], limit)


def _placed(costs: Costs, layout: Layout, some: _Lacking, limit: Ints, ask: Ask) -> TrainRows:
    """Each combination in its best fitting order that costs less than `limit`."""
    search, limit = costs.search, limit.copy()
    best = np.full((len(limit), 2 * layout.stages), -1, dtype=np.int16)
    orders = list(search.orders(layout, some.window))
    while orders and len(open_rows := np.flatnonzero(less(some.floor, limit))):
        ask()
        # Several orders at once while there are few rows: a call costs more than a row.
        count = max(1, _AT_ONCE // len(open_rows))
        hung = [order.seats(open_rows) for order in orders[:count]]
        orders = orders[count:]
        rows = np.concatenate([rows for rows, _ in hung])
        seats = np.concatenate([seats for _, seats in hung])
        cost = costs.hung(layout, some.window.take(rows), seats)
        better = np.flatnonzero(less(cost, limit[rows]))
        fits = better[search.fits.mask(layout, seats[better])]
        fits = fits[best_of_each(rows[fits], cost[fits])]
        limit[rows[fits]], best[rows[fits]] = cost[fits], seats[fits]
    placed = np.flatnonzero(best[:, 0] >= 0)
    return TrainRows.of(search, layout, some.window.take(placed), best[placed])


def _with_idlers(
    costs: Costs, layout: Layout, all_rows: _Lacking, level: int, fronts: Fronts, ask: Ask
) -> Iterator[TrainRows]:
    """The same for a layout with idlers, which may be missing themselves: those combinations
    first that could cost least, so that the others are beaten before they are tried."""
    few = level - sum(layout.idlers)
    some = all_rows.take((all_rows.count <= level) & (all_rows.count >= few))
    some = some.take(np.lexsort(some.floor.T[::-1]))
    size = _FIRST_IDLED
    while len(some.count):
        part, _ = some.take(np.arange(min(size, len(some.count)))).open(fronts)
        some = some.take(np.arange(min(size, len(some.count)), len(some.count)))
        size *= 2
        for order in costs.search.orders(layout, part.window):
            seats = order.seats(np.arange(len(part.count)))
            yield _idled(costs, layout, part, seats, level, fronts, ask)


def _idled(
    costs: Costs,
    layout: Layout,
    some: _Lacking,
    ordered: tuple[Ints, Small],
    level: int,
    fronts: Fronts,
    ask: Ask,
) -> TrainRows:
    """One order of hanging, with every idler that may stand in it."""
    search, parts = costs.search, [TrainRows.none(costs.search)]
    rows, seats_without = ordered
    for within, seats in search.with_idlers(layout, seats_without, level):
        ask()
        at = rows[within]
        lacks, _ = lacking(search.stock, seats, search.most_missing)
        window = replace(some.window.take(at), lacks=lacks)
        cost = costs.hung(layout, window, seats)
        lighter = np.flatnonzero(less(cost, fronts.limit(lacks, cost)))
        fits = lighter[search.fits.mask(layout, seats[lighter])]
        part = TrainRows.of(search, layout, window.take(fits), seats[fits])
        parts.append(part.take(best_of_each(fronts.pack(part.lacks), cost[fits])))
    return TrainRows.stack(parts)
