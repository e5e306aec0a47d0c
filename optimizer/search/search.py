"""The options of every want: which trains would reach it, lacking which gears.

Trains that lack fewer gears are looked at first. A train that lacks a superset of what a
placed one lacks, at no less load and no less error, need not be placed: nothing would choose
it. Of the orders in which one combination can be hung only the least loaded that fits counts,
since all of them cut the same pitch.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import Layout, most_gears, most_studs
from gearchest.optimizer.domain.pitch import Pitch, magnitude, relative_error
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.combine import lacking
from gearchest.optimizer.search.fronts import Fronts, undominated
from gearchest.optimizer.search.options import LOAD_UNIT, OptionTable, WantOptions
from gearchest.optimizer.search.orders import Order, in_units
from gearchest.optimizer.search.rows import TrainRows, error_units
from gearchest.optimizer.search.trains import SLACK, PitchWindow, TrainSearch

Candidates = Sequence[tuple[Gear, int | None]]
"""Gears that could be added and how many of each (None: any number)."""

WORKERS = os.cpu_count() or 1
"""Threads where nothing is said."""


def find_options(
    lathe: Lathe,
    wants: Sequence[Want],
    candidates: Candidates,
    most_missing: int,
    *,
    workers: int = WORKERS,
    progress: Callable[[int, int], None] | None = None,
) -> OptionTable:
    """The undominated options of every want, lacking at most `most_missing` of `candidates`.

    Wants of one pitch and hand share the search, each judged by its own allowance.
    `workers`: threads, >= 1. `progress` is told (pitches done, pitches in all). Raises
    ValueError for more missing gears than any train has, OverflowError for more candidates
    than `Fronts` can tell apart.
    """
    most = most_gears(most_studs())
    if not 0 <= most_missing <= most:
        raise ValueError(f"most_missing must be 0 to {most}, not {most_missing}")
    stock = take_stock(lathe, candidates)
    search = TrainSearch(lathe, stock, most_missing)
    widest: dict[tuple[Pitch, bool], Fraction] = {}
    for want in wants:
        key = (want.pitch.lead, want.left)
        widest[key] = max(widest.get(key, Fraction(0)), want.allowance.relative)
    # numpy lets go of the interpreter inside its loops, so threads share the work.
    with ThreadPoolExecutor(workers) as pool:
        running = {
            key: pool.submit(options_of, search, key[0], allowed, left=key[1])
            for key, allowed in widest.items()
        }
        found = {}
        try:
            for done, (key, future) in enumerate(running.items(), start=1):
                found[key] = future.result()
                if progress:
                    progress(done, len(running))
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise
    return OptionTable(
        stock.candidates,
        tuple(_within(found[want.pitch.lead, want.left], want) for want in wants),
        most_missing,
    )


def _within(rows: TrainRows, want: Want) -> WantOptions:
    """The options within one want's allowance."""
    allowed = want.allowance.relative
    excess = np.abs(rows.error) - float(allowed)
    good = excess <= 0.0
    for row in np.flatnonzero(np.abs(excess) <= SLACK):
        ratio = rows.train(int(row)).ratio
        error = relative_error(ratio, rows.search.lathe.leadscrew, want.pitch)
        good[row] = magnitude(error) <= allowed
    kept = rows.take(good)
    costs = np.stack([kept.load, kept.error_units], axis=1)
    return WantOptions(kept.lacks, costs, kept.train)


def options_of(search: TrainSearch, pitch: Pitch, allowed: Fraction, *, left: bool) -> TrainRows:
    """The undominated options of one pitch, fewest missing gears first."""
    layouts = search.layouts(left=left)
    windows = {n: _Lacking.of(search, pitch, allowed, n) for n in {x.stages for x in layouts}}
    fronts = Fronts(len(search.stock.candidates), search.most_missing)
    every = TrainRows.none(search)
    for level in range(search.most_missing + 1):
        for layout in layouts:
            place = _with_idlers if any(layout.idlers) else _without_idlers
            part = place(search, layout, windows[layout.stages], level, fronts)
            if len(part):
                every = TrainRows.stack([every, part])
                fronts.rebuild(fronts.pack(every.lacks), every.load, every.error_units)
    return _undominated(fronts, every)


def _undominated(fronts: Fronts, rows: TrainRows) -> TrainRows:
    return rows.take(undominated(fronts.pack(rows.lacks), rows.load, rows.error_units))


@dataclass(frozen=True)
class _Lacking:
    """Combinations of one number of stages with how many gears they lack, their |error| in
    units, and a load none of their orders comes below."""

    window: PitchWindow
    count: Ints
    units: Ints
    floor: Ints

    @staticmethod
    def of(search: TrainSearch, pitch: Pitch, allowed: Fraction, stages: int) -> _Lacking:
        window = search.window(pitch, allowed, stages)
        count = (window.lacks >= 0).sum(axis=1)
        return _Lacking(window, count, error_units(window.error), search.least_loads(window))

    def take(self, rows: Ints | Bools) -> _Lacking:
        return _Lacking(
            self.window.take(rows), self.count[rows], self.units[rows], self.floor[rows]
        )


def _without_idlers(
    search: TrainSearch, layout: Layout, all_rows: _Lacking, level: int, fronts: Fronts
) -> TrainRows:
    """Combinations lacking exactly `level` gears, each in its least loaded fitting order."""
    some = all_rows.take(all_rows.count == level)
    some, limit = _still_open(some, fronts)
    best = np.full((len(limit), 2 * layout.stages), -1, dtype=np.int16)
    for order in search.orders(layout, some.window):
        rows, seats, load = _lighter(order, limit)
        fits = search.fits.mask(layout, seats)
        limit[rows[fits]], best[rows[fits]] = load[fits], seats[fits]
    placed = np.flatnonzero(best[:, 0] >= 0)
    return TrainRows.of(search, layout, some.window.take(placed), limit[placed], best[placed])


def _still_open(some: _Lacking, fronts: Fronts) -> tuple[_Lacking, Ints]:
    """Combinations that some order may hang light enough not to be beaten; and the loads
    they have to stay below."""
    limit = fronts.limit(some.window.lacks, some.units, some.floor)
    still = np.flatnonzero(limit > some.floor)
    return some.take(still), limit[still]


def _lighter(order: Order, limit: Ints) -> tuple[Ints, Small, Ints]:
    """Rows that may hang in this order and load the teeth less than `limit`, with their
    seats and loads."""
    newtons = order.loads()
    rows = np.flatnonzero(newtons < limit * LOAD_UNIT)
    rows = rows[in_units(newtons[rows]) < limit[rows]]
    rows, seats = order.seats(rows)
    return rows, seats, in_units(newtons[rows])


def _with_idlers(
    search: TrainSearch, layout: Layout, all_rows: _Lacking, level: int, fronts: Fronts
) -> TrainRows:
    """The same for a layout with idlers, which may be missing themselves."""
    few = level - sum(layout.idlers)
    some = all_rows.take((all_rows.count <= level) & (all_rows.count >= few))
    parts = [TrainRows.none(search)]
    some, limit = _still_open(some, fronts)
    for order in search.orders(layout, some.window):
        rows, ordered, load = _lighter(order, limit)
        for within, seats in search.with_idlers(layout, ordered, level):
            fits = search.fits.mask(layout, seats)
            at, seats, weight = rows[within[fits]], seats[fits], load[within[fits]]
            lacks, _ = lacking(search.stock, seats, search.most_missing)
            lighter = weight < fronts.limit(lacks, some.units[at], some.floor[at])
            window = replace(some.window.take(at), lacks=lacks).take(lighter)
            parts.append(TrainRows.of(search, layout, window, weight[lighter], seats[lighter]))
    return _undominated(fronts, TrainRows.stack(parts))
