"""The options of every want: which trains would reach it, lacking which gears, at what cost."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from contextlib import closing
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import most_gears, most_studs
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.asking import Ask, SearchStoppedError, go_on
from gearchest.optimizer.search.copies import Share, in_threads
from gearchest.optimizer.search.costs import PLANNED, Costs
from gearchest.optimizer.search.layers import FEW, Layers
from gearchest.optimizer.search.options import OptionTable, WantOptions
from gearchest.optimizer.search.placing import options_in
from gearchest.optimizer.search.rows import Columns, TrainRows
from gearchest.optimizer.search.trains import TrainSearch

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
    order: tuple[str, ...] = PLANNED,
    workers: int = WORKERS,
    progress: Callable[[int, int], None] | None = None,
    ask: Ask = go_on,
    instead: OptionTable | Callable[[], OptionTable] | None = None,
    share: Share = in_threads,
) -> OptionTable:
    """The options of every want that no other beats, lacking at most `most_missing` of
    `candidates`; `order` of costs, first counts most.

    Wants of one lead, hand and allowance share a search, and those of one lead and hand the
    combinations of the widest allowance; `workers`, >= 1, take the pitches in turn, as they
    `share` work. `progress` is told (pitches done, pitches in all); `ask` is called often,
    by all of them, and ends the search by raising `SearchStoppedError`: wants that were not
    looked at wholly by then have the options of `instead`, or of what it finds then; without it
    the error is passed on. Raises ValueError
    for more missing gears than any train has, OverflowError for more candidates than `Fronts`
    can tell apart.
    """
    most = most_gears(most_studs())
    if not 0 <= most_missing <= most:
        raise ValueError(f"most_missing must be 0 to {most}, not {most_missing}")
    stock = take_stock(lathe, candidates)
    search = TrainSearch(lathe, stock, most_missing)
    jobs = list(_together(lathe, wants).items())

    def work(job: int, ask: Ask) -> dict[Fraction, Columns]:
        (pitch, left), allowed = jobs[job]
        made = options_within(search, pitch, allowed, left=left, order=order, ask=ask)
        return {allowed: rows.columns for allowed, rows in made.items()}

    found: dict[tuple[Pitch, Fraction, bool], TrainRows] = {}
    with closing(share(len(jobs), work, workers, ask)) as done:
        for count, (job, made) in enumerate(done, start=1):
            if made is None and instead is None:
                raise SearchStoppedError
            (pitch, left), _ = jobs[job]
            for allowed, columns in (made or {}).items():
                found[pitch, allowed, left] = TrainRows(search, *columns)
            if progress and made is not None:
                progress(count, len(jobs))
    if instead is not None and any(search_key(lathe, want) not in found for want in wants):
        instead = instead if isinstance(instead, OptionTable) else instead()
        most_missing = instead.most_missing
    options = [
        _options(found[key], key[1])
        if (key := search_key(lathe, want)) in found
        else _stands_in(instead, place)
        for place, want in enumerate(wants)
    ]
    return OptionTable(stock.candidates, tuple(options), most_missing)


def nothing_found(lathe: Lathe, wants: Sequence[Want], candidates: Candidates) -> OptionTable:
    """What is known before anything was looked at, which lacks less than no gear."""
    none = WantOptions(np.zeros((0, 0), np.int16), np.zeros((0, 3), np.int64), _no_train)
    return OptionTable(take_stock(lathe, candidates).candidates, (none,) * len(wants), -1)


def _no_train(row: int) -> Train:
    raise IndexError(f"no option {row}")


def _stands_in(instead: object, place: int) -> WantOptions:
    assert isinstance(instead, OptionTable)
    return instead.wants[place]


def search_key(lathe: Lathe, want: Want) -> tuple[Pitch, Fraction, bool]:
    """What wants that share a search have in common."""
    return want.pitch.lead, want.allowed_on(lathe), want.left


def _together(lathe: Lathe, wants: Sequence[Want]) -> dict[tuple[Pitch, bool], list[Fraction]]:
    """The allowances of each lead and hand."""
    allowances: dict[tuple[Pitch, bool], list[Fraction]] = {}
    for pitch, allowed, left in dict.fromkeys(search_key(lathe, want) for want in wants):
        allowances.setdefault((pitch, left), []).append(allowed)
    return allowances


def _options(rows: TrainRows, allowed: Fraction) -> WantOptions:
    demerits = rows.demerits(allowed)
    costs = np.stack([demerits, rows.load, rows.error_units], axis=1)
    return WantOptions(rows.lacks, costs, rows.train, rows.hung)


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
    return options_within(search, pitch, [allowed], left=left, order=order, ask=ask)[allowed]


def options_within(
    search: TrainSearch,
    pitch: Pitch,
    allowances: Sequence[Fraction],
    *,
    left: bool,
    order: tuple[str, ...] = PLANNED,
    ask: Ask = go_on,
) -> dict[Fraction, TrainRows]:
    """The same for each of several allowances, at least one."""
    ask()
    layouts, widest = search.layouts(left=left), max(allowances)
    idled = {layout.stages for layout in layouts if any(layout.idlers)}
    deep = [
        layout
        for layout in layouts
        if layout.stages not in idled and search.about(widest, layout.stages) > FEW
    ]
    stages = {layout.stages for layout in layouts if layout not in deep}
    windows = {n: search.window(pitch, widest, n, ask) for n in stages}
    found = {}
    for allowed in allowances:
        within = windows
        if allowed != widest:
            within = {n: search.narrowed(w, pitch, allowed) for n, w in windows.items()}
        costs = Costs(search, allowed, order)
        layers = [Layers(costs, layout, pitch, ask) for layout in deep]
        found[allowed] = options_in(costs, within, layers, left=left, ask=ask)
    return found
