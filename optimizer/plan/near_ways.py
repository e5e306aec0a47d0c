"""The ways that sets of gears near some named ones would choose, where there are too many ways to
find them all: the trains of all gears that can be ticked are made best first, and only until each
of those sets has its choice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Small
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS, most_gears
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.stock import owned_gears, take_stock
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.nearby import WORD, Copies, NamedSet, Words, look_around
from gearchest.optimizer.plan.ways import Ways, are_exact
from gearchest.optimizer.search.asking import Ask, SearchStoppedError
from gearchest.optimizer.search.cells import Cells
from gearchest.optimizer.search.combine import lacking
from gearchest.optimizer.search.copies import Share
from gearchest.optimizer.search.costs import Costs
from gearchest.optimizer.search.ranking import first_rows
from gearchest.optimizer.search.rows import Columns, TrainRows
from gearchest.optimizer.search.search import search_key
from gearchest.optimizer.search.trains import TrainSearch

FIRST, MORE, MOST_FIRST = 160, 8, 81_920
"""Trains made of all gears at first; so many times as many where a set has the gears for none of
them, up to so many: one that none of these serves is looked at by itself. What serves one such
set mostly serves hundreds, and looking at each by itself takes a search."""

FIRST_OF_A_SET = 64
"""Trains made of such a set, for itself and for those that have less."""

_ONES = (1 << WORD) - 1

MOST_CHESTS = 100
"""Sets looked at by themselves that are kept for the next want."""


class NearWays:
    """The ways of a lathe without the gears that can be ticked: `bare`; `most`: of each, how many
    can be. `order` of costs; `room`: a want keeps its first ways up to so many, even where no set
    near chooses them."""

    def __init__(
        self,
        bare: Lathe,
        most: Sequence[tuple[Gear, int]],
        sets: Sequence[NamedSet],
        order: tuple[str, ...],
        room: int,
    ) -> None:
        self.bare, self.order, self.room = bare, order, room
        chest = Counter(dict(bare.chest.loose)) + Counter(dict(most))
        whole = replace(bare, chest=replace(bare.chest, loose=tuple(chest.items())))
        stock = take_stock(whole)
        self.copies = Copies(tuple(count for _, count in most))
        self.sets = self.copies.around(sets)
        held = owned_gears(bare)
        owned = np.array([held[gear] for gear in stock.gears], dtype=np.int64)
        number = np.arange(len(stock.gears), dtype=np.int16)
        self._bare = replace(stock, owned=owned, addable=stock.owned - owned, candidate=number)
        kinds = {gear: kind for kind, (gear, _) in enumerate(most)}
        self._kinds = np.array([kinds.get(gear, -1) for gear in stock.gears], dtype=np.int16)
        self._places = {gear: at for at, gear in enumerate(stock.gears)}
        self._gears = [gear for gear, _ in most]
        self.search = TrainSearch(whole, stock)
        self.every = self.copies.bits(self.copies.most)
        self.chest = lru_cache(MOST_CHESTS)(self._chest)

    def _chest(self, bits: int) -> TrainSearch:
        """The search with the gears of a set alone."""
        owned = self._bare.owned.copy()
        for kind in self.copies.kinds(bits):
            if self._gears[kind] in self._places:
                count = self.copies.of_kind(bits, kind).bit_count()
                owned[self._places[self._gears[kind]]] += count
        search = TrainSearch(self.search.lathe, replace(self.search.stock, owned=owned))
        search.fits, search.teeth = self.search.fits, self.search.teeth
        return search

    def missing(self, rows: TrainRows) -> Small:
        """What the bare lathe lacks of each train, by the places of gears in the stock."""
        most = most_gears(self.bare.studs)
        found = np.full((len(rows), most), -1, dtype=np.int16)
        for number, of in rows.by_layout:
            seats = rows.seats[of, : len(LAYOUTS[number].places)]
            found[of] = lacking(self._bare, seats, most)[0]
        return found

    def needs(self, rows: TrainRows) -> Words:
        """The same as sets of the gears that can be ticked."""
        missing = self.missing(rows)
        return self.copies.words(np.where(missing >= 0, self._kinds[missing], np.int16(-1)))

    def about(self, wants: Sequence[Want]) -> float:
        """About how many combinations all these gears make for some wants."""
        stages = {layout.stages for want in wants for layout in self.search.layouts(left=want.left)}
        widest: dict[tuple[Pitch, bool], Fraction] = {}
        for want in wants:
            lead, allowed, left = search_key(self.bare, want)
            widest[lead, left] = max(widest.get((lead, left), Fraction(0)), allowed)
        return sum(self.search.about(sum(widest.values(), Fraction(0)), n) for n in stages)

    def find(
        self,
        wants: Sequence[Want],
        workers: int,
        ask: Ask,
        share: Share,
        progress: Callable[[int, int], None] | None,
    ) -> list[Ways]:
        """The ways of each want, those told only for having no error last. See `find_options`."""
        jobs = {search_key(self.bare, want): want for want in wants}
        keys, found = list(jobs), {}

        def work(job: int, ask: Ask) -> tuple[Columns, Columns]:
            return self.columns(jobs[keys[job]], ask)

        with closing(share(len(keys), work, workers, ask)) as done:
            for count, (job, made) in enumerate(done, start=1):
                if made is None:
                    raise SearchStoppedError
                found[keys[job]] = made
                if progress:
                    progress(count, len(keys))
        ways = []
        for want in wants:
            some, others = (self.ways(want, of) for of in found[search_key(self.bare, want)])
            ways.append(some.with_exact(others))
        return ways

    def columns(self, want: Want, ask: Ask) -> tuple[Columns, Columns]:
        """The trains of a want, the one to set up first standing first; and those without error."""
        found = []
        for exact in (False, True):
            choosing = _Choosing(self, want, ask, exact=exact)
            look_around(self.sets, self.copies, choosing.of)
            found.append(choosing.chosen(0 if exact else self.room).columns)
        return found[0], found[1]

    def ways(self, want: Want, columns: Columns) -> Ways:
        """Trains found for a want."""
        rows = TrainRows(self.search, *columns)
        exact: Bools = rows.error_units == 0
        rounded = np.flatnonzero(exact)
        exact[rounded] = are_exact(self.bare, want, rows.hung.take(rounded))
        return Ways(rows.hung, exact, self.missing(rows), self.search.stock.gears)


@dataclass(frozen=True)
class _Source:
    """The first trains of a set of gears: `whole` where these are all there are."""

    held: int
    rows: TrainRows
    words: Words
    whole: bool

    def needs(self, row: int) -> int:
        """What a row needs."""
        return sum(word << WORD * at for at, word in enumerate(self.words[:, row].tolist()))

    def first(self, bits: int) -> int | None:
        """The row to be set up first by a set, of those held, that has its gears."""
        lacks = [np.uint64(~bits >> WORD * word & _ONES) for word in range(len(self.words))]
        for some in (slice(0, FIRST), slice(FIRST, None)):
            lacking = np.zeros(self.words[:, some].shape[1], dtype=np.bool_)
            for needs, lack in zip(self.words[:, some], lacks, strict=True):
                lacking |= (needs & lack) != 0
            if not lacking.all():
                return (some.start or 0) + int(lacking.argmin())
        return None


class _Choosing:
    """What sets choose for one want. Of some sets the first trains are known; what a set within
    one of them chooses is the first of these that it has the gears for."""

    def __init__(self, near: NearWays, want: Want, ask: Ask, *, exact: bool) -> None:
        self._near, self._want, self._ask, self._exact = near, want, ask, exact
        self._allowed = want.allowed_on(near.bare)
        self._cells: dict[int, Cells] = {}
        self._sources = {near.every: self._made(near.every, FIRST)}
        self._taken: dict[tuple[int, int], None] = {}

    def of(self, bits: int) -> int | None:
        """What the choice of a set needs; None where it has none."""
        while True:
            for held, source in self._sources.items():
                if bits & ~held:
                    continue
                row = source.first(bits)
                if row is not None:
                    self._taken[held, row] = None
                    return source.needs(row)
                if source.whole:
                    return None
            self._look_further(bits)

    def _look_further(self, bits: int) -> None:
        """Make more trains, for a set that has the gears for none of those known."""
        self._ask()
        near = self._near
        every = self._sources[near.every]
        if not every.whole and len(every.rows) < MOST_FIRST:
            # The best stand first however many are made, so what was taken stays where it is.
            self._sources[near.every] = self._made(near.every, MORE * len(every.rows))
            return
        # Its likes have no other choice either: those that hold whatever gives none yet.
        for kind in near.copies.kinds(near.every & ~bits):
            wider = bits | near.copies.of_kind(near.every, kind)
            if all(
                wider & ~held or one.first(wider) is None for held, one in self._sources.items()
            ):
                bits = wider
        self._sources[bits] = self._made(bits, FIRST_OF_A_SET)

    def _made(self, held: int, most: int) -> _Source:
        near = self._near
        search = near.search if held == near.every else near.chest(held)
        if held not in self._cells:
            cells = Cells.of(search, self._want, self._allowed, self._ask)
            self._cells[held] = cells.exact if self._exact else cells
        costs = Costs(search, self._allowed, near.order)
        rows = self._cells[held].first(costs, most)
        return _Source(held, rows, near.needs(rows), len(rows) < most)

    def chosen(self, room: int) -> TrainRows:
        """The trains chosen, the one to set up first standing first; and up to so many in all the
        first of all gears that no other beats."""
        every = self._sources[self._near.every]
        rows: dict[int, list[int]] = {}
        for held, row in self._taken:
            rows.setdefault(held, []).append(row)
        parts = [TrainRows.none(self._near.search)]
        parts += [self._sources[held].rows.take(np.array(some)) for held, some in rows.items()]
        needs = [every.needs(row) for row in range(min(FIRST, len(every.rows)))]
        more = _unbeaten(needs, room - len(self._taken))
        parts.append(every.rows.take(np.array(more, dtype=np.int64)))
        costs = Costs(self._near.search, self._allowed, self._near.order)
        return first_rows(costs, TrainRows.stack(parts), None)


def _unbeaten(needs: Sequence[int], most: int) -> list[int]:
    """Places of the first `most` of those that need all of what none before them needs."""
    kept: list[int] = []
    for at, one in enumerate(needs):
        if len(kept) >= most:
            break
        if all(needs[before] & ~one for before in kept):
            kept.append(at)
    return kept
