"""The options of every want: which trains would reach it, lacking which gears, at what cost.

Trains that lack fewer gears are looked at first, and of those that lack the same gears the
ones that could cost least. A train that lacks a superset of what a placed one lacks and could
cost no less need not be placed: nothing would choose it. So of most lacks one train is placed
that fits, and the rest are never looked at.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import Layout, most_gears, most_studs
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.combine import lack_count, lacking
from gearchest.optimizer.search.costs import PLANNED, Costs
from gearchest.optimizer.search.fronts import Fronts, best_of_each, less
from gearchest.optimizer.search.options import OptionTable, WantOptions
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.trains import PitchWindow, TrainSearch

Candidates = Sequence[tuple[Gear, int | None]]
"""Gears that could be added and how many of each (None: any number)."""

_AT_ONCE = 8192
"""Rows worth placing in one go."""

_FIRST_IDLED = 4096
"""Combinations that are tried with idlers in one go, to begin with."""

Ask = Callable[[], None]
"""What a search calls every now and then; it raises to end the search."""


class SearchStoppedError(Exception):
    """Whoever was asked wants the search to end."""


def go_on() -> None:
    """Never end a search."""


WORKERS = os.cpu_count() or 1
"""Threads where nothing is said."""


def find_options(
    lathe: Lathe,
    wants: Sequence[Want],
    candidates: Candidates,
    most_missing: int,
    *,
    order: tuple[str, ...] = PLANNED,
    workers: int = WORKERS,
    progress: Callable[[int, int], None] | None = None,
    ask: Ask = go_on,
    instead: OptionTable | None = None,
) -> OptionTable:
    """The options of every want that no other beats, lacking at most `most_missing` of
    `candidates`; `order` of costs, first counts most.

    Wants of one lead, hand and allowance share the search; `workers` threads, >= 1, take the
    searches in turn. `progress` is told (searches done, searches in all); `ask` is called often,
    in every thread, and ends the search by raising `SearchStoppedError`: wants that were not
    looked at wholly by then have the options of `instead`, without which the error is passed
    on. Raises ValueError
    for more missing gears than any train has, OverflowError for more candidates than `Fronts`
    can tell apart.
    """
    most = most_gears(most_studs())
    if not 0 <= most_missing <= most:
        raise ValueError(f"most_missing must be 0 to {most}, not {most_missing}")
    stock = take_stock(lathe, candidates)
    search = TrainSearch(lathe, stock, most_missing)
    # numpy lets go of the interpreter inside its loops, so threads share the work.
    with ThreadPoolExecutor(workers) as pool:
        running = {
            key: pool.submit(options_of, search, key[0], key[1], left=key[2], order=order, ask=ask)
            for key in dict.fromkeys(search_key(lathe, want) for want in wants)
        }
        found = {}
        try:
            for done, (key, future) in enumerate(running.items(), start=1):
                try:
                    found[key] = future.result()
                except SearchStoppedError:
                    if instead is None:
                        raise
                    continue
                if progress:
                    progress(done, len(running))
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise
    options = [
        _options(found[key], key[1])
        if (key := search_key(lathe, want)) in found
        else _stands_in(instead, place)
        for place, want in enumerate(wants)
    ]
    if instead is not None and len(found) < len(running):
        most_missing = instead.most_missing
    return OptionTable(stock.candidates, tuple(options), most_missing)


def _stands_in(instead: OptionTable | None, place: int) -> WantOptions:
    assert instead is not None
    return instead.wants[place]


def search_key(lathe: Lathe, want: Want) -> tuple[Pitch, Fraction, bool]:
    """What wants that share a search have in common."""
    return want.pitch.lead, want.allowed_on(lathe), want.left


def _options(rows: TrainRows, allowed: Fraction) -> WantOptions:
    demerits = rows.demerits(allowed)
    costs = np.stack([demerits, rows.load, rows.error_units], axis=1)
    return WantOptions(rows.lacks, costs, rows.train)


def options_of(
    search: TrainSearch,
    pitch: Pitch,
    allowed: Fraction,
    *,
    left: bool,
    order: tuple[str, ...] = PLANNED,
    ask: Ask = go_on,
) -> TrainRows:
    """The options of one pitch that no other beats, the least costly first."""
    ask()
    layouts = search.layouts(left=left)
    costs = Costs(search, allowed, order)
    windows = {
        stages: search.window(pitch, allowed, stages)
        for stages in {layout.stages for layout in layouts}
    }
    some = {layout: _Lacking.of(windows[layout.stages], layout, costs) for layout in layouts}
    fronts = Fronts(len(search.stock.candidates), search.most_missing, len(order))
    parts = [TrainRows.none(search)]
    for level in range(search.most_missing + 1):
        for layout in layouts:
            place = _with_idlers if any(layout.idlers) else _without_idlers
            for part in place(costs, layout, some[layout], level, fronts, ask):
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
