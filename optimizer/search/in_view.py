"""Options over every gear in view, none of them owned: what holds whichever of them are there.

A pitch's options lack some gears in view. Those owned taken off, each lacks the rest; the ones
that others then beat go. An option that needs more copies than can be had goes with all that need
as much of that gear, those it beat among them. So nothing is left out, and a change of the gears
owned, or of those to be had, needs no search.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import most_gears
from gearchest.optimizer.domain.stock import UNLIMITED
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.combine import nth_of_kind
from gearchest.optimizer.search.costs import DEMERITS, ERROR, LOAD, SMALLER_NUMBERS
from gearchest.optimizer.search.fronts import Fronts, best_of_each, less
from gearchest.optimizer.search.options import OptionTable, WantOptions
from gearchest.optimizer.search.search import Candidates, search_key
from gearchest.optimizer.search.trains import settings

MOST_KINDS = 130
"""Gears of a view: two of each common tooth count."""

MOST_OPTIONS = 1_500_000
"""Options of a view, of some fifty bytes each."""

MOST_SETTINGS = 2
"""Positions of levers; each multiplies the options."""

AT_ONCE = 12
"""Pitches looked for in one go: what was found is kept though the next is called back."""

_COLUMNS = {DEMERITS: 0, LOAD: 1, ERROR: 2}
"""Costs that options tell, by column."""

_LAST = np.iinfo(np.int16).max

Find = Callable[..., OptionTable]


@dataclass
class InView:
    """The options of some pitches over `gears`, by `search_key`; `bare` the lathe with what cannot
    be missing alone; `order` of costs."""

    bare: Lathe
    gears: tuple[Gear, ...]
    order: tuple[str, ...]
    known: dict[Any, WantOptions] = field(default_factory=dict)

    def look(self, wants: Iterable[Want], ask: Ask, find: Find, workers: int) -> None:
        """Look for the options of those not met before. `ask` may end it by what it raises; what
        was found by then is kept."""
        new = {
            key: want for want in wants if (key := search_key(self.bare, want)) not in self.known
        }
        pitches: dict[Any, list[Any]] = {}  # whose allowances share a search
        for pitch, allowed, left in new:
            pitches.setdefault((pitch, left), []).append((pitch, allowed, left))
        together = list(pitches.values())
        every = [(gear, None) for gear in self.gears]
        most = most_gears(self.bare.studs)
        for start in range(0, len(together), AT_ONCE):
            some = [key for keys in together[start : start + AT_ONCE] for key in keys]
            found = find(
                self.bare, [new[key] for key in some], every, most,
                order=self.order, workers=workers, ask=ask,
            )  # fmt: skip
            self.gears = found.candidates  # less those that overtop the cover
            self.known |= zip(some, found.wants, strict=True)

    def forget(self) -> None:
        """Let go of pitches asked longest ago, where there is too much: edits bring ever new
        allowances."""
        count = sum(map(len, self.known.values()))
        while count > MOST_OPTIONS and len(self.known) > 1:
            count -= len(self.known.pop(next(iter(self.known))))

    def knows(self, wants: Iterable[Want]) -> bool:
        """Whether all of them were met."""
        return all(search_key(self.bare, want) in self.known for want in wants)

    def first(self, want: Want, owned: Counter[Gear]) -> Train | None:
        """The train of a want met before that costs least with these gears; None for none."""
        options = self.known[search_key(self.bare, want)]
        if not len(options):
            return None
        had = np.array([owned[gear] for gear in self.gears], dtype=np.int64)
        missing = options.missing
        there: Bools = np.all((nth_of_kind(missing) < had[missing]) | (missing < 0), axis=1)
        row = int(there.argmax())
        return options.train(row) if there[row] else None

    def table(
        self,
        owned: Counter[Gear],
        wants: Sequence[Want],
        candidates: Candidates,
        most: int,
        ask: Ask = go_on,
    ) -> OptionTable:
        """As `find_options` for the lathe with these gears; all wants are known."""
        copies: Counter[Gear] = Counter()
        for gear, count in candidates:
            copies[gear] += UNLIMITED if count is None else count
        had = np.array([owned[gear] for gear in self.gears], dtype=np.int64)
        more = np.array([min(copies[gear], UNLIMITED) for gear in self.gears], dtype=np.int64)
        kinds = tuple(gear for gear, some in zip(self.gears, more, strict=True) if some)
        place = np.where(more > 0, np.cumsum(more > 0) - 1, -1).astype(np.int16)
        made: dict[Any, WantOptions] = {}
        for want in wants:
            key = search_key(self.bare, want)
            if key not in made:
                ask()
                options = self.known[key] = self.known.pop(key)  # asked last
                made[key] = self._left(options, had, more, place, len(kinds), most)
        return OptionTable(kinds, tuple(made[search_key(self.bare, w)] for w in wants), most)

    def _left(
        self, options: WantOptions, had: Ints, more: Ints, place: Small, kinds: int, most: int
    ) -> WantOptions:
        """What is left of one pitch's options."""
        missing = options.missing
        if not len(missing):
            return WantOptions(missing[:, :most], options.costs, options.train, options.hung)
        none = missing < 0
        nth = nth_of_kind(missing)
        beyond = nth - had[missing]
        gone = (beyond >= 0) & ~none
        possible = ((beyond < more[missing]) | none).all(axis=1) & (gone.sum(axis=1) <= most)
        rows = np.flatnonzero(possible)
        lacks = np.where(gone[rows], place[missing[rows]], _LAST)
        lacks.sort(axis=1)
        lacks = np.where(lacks == _LAST, np.int16(-1), lacks)[:, :most].astype(np.int16)
        if had.any():
            rank = self._ranks(options)[rows]
            kept = _unbeaten(lacks, rank, kinds, most)
            rows, lacks = rows[kept], lacks[kept]
        train, at, hung = options.train, rows, options.hung
        return WantOptions(
            lacks, options.costs[rows], lambda row: train(int(at[row])), hung and hung.take(rows)
        )

    def _ranks(self, options: WantOptions) -> Ints:
        """The options' places by cost; those that cost the same share one."""
        ranks: Ints = np.arange(len(options), dtype=np.int64)
        if self.order[-1] not in SMALLER_NUMBERS:
            costs = options.costs[:, [_COLUMNS[name] for name in self.order]]
            new = np.any(costs[1:] != costs[:-1], axis=1)
            ranks = np.concatenate([[0], np.cumsum(new)])
        return ranks


def without_error(lathe: Lathe, want: Want) -> Want:
    """The want that only trains without error cover; one that nothing covers as it is."""
    if want.allowed_on(lathe) < 0:
        return want
    return replace(want, allowance=Allowance(Fraction(0)))


def in_view_of(
    lathe: Lathe, candidates: Candidates, order: tuple[str, ...]
) -> tuple[InView, Counter[Gear]] | None:
    """An empty view for a question, and the gears owned of it; None where one would be too
    large, or its costs are not told."""
    owned = Counter(dict(lathe.chest.loose))
    fixed = lathe.fixed_first_driver
    held = ((fixed, owned.pop(fixed)),) if fixed is not None and fixed in owned else ()
    gears = sorted({*owned, *(gear for gear, _ in candidates)}, key=lambda gear: gear.order)
    told = order[-1] in SMALLER_NUMBERS or set(order) <= set(_COLUMNS)
    if (
        not told
        or lathe.studs > 1
        or len(gears) > MOST_KINDS
        or len(settings(lathe)) > MOST_SETTINGS
    ):
        return None
    bare = replace(lathe, chest=Chest(held, lathe.chest.pinned))
    return InView(bare, tuple(gears), order), owned


def _unbeaten(lacks: Small, rank: Ints, kinds: int, most: int) -> Ints:
    """The rows that no other beats, least costly first: one that lacks a part of the same gears,
    or the same, at no more cost."""
    fronts = Fronts(kinds, most, 1)
    cost = rank[:, None]
    count = (lacks >= 0).sum(axis=1)
    kept = []
    for level in range(most + 1):
        rows = np.flatnonzero(count == level)
        rows = rows[less(cost[rows], fronts.limit(lacks[rows], cost[rows]))]
        keys = fronts.pack(lacks[rows])
        best = best_of_each(keys, cost[rows])
        fronts.add(keys[best], cost[rows[best]])
        kept.append(rows[best])
    return np.sort(np.concatenate(kept))
