"""Judge many sets of gears at once: for each want the option used, and what that adds up to.

Options are sorted by want and best first, so the option used is the held row with the
smallest number.
"""

from __future__ import annotations

from functools import cached_property
from itertools import combinations

import numpy as np
import numpy.typing as npt

from gearchest.optimizer.domain.arrays import Ints, Small
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.multisets import Numbering
from gearchest.optimizer.plan.problem import Chosen, CopyCosts, Problem
from gearchest.optimizer.plan.watch import Watch

Rows = npt.NDArray[np.int32]

_BATCH = 16_384
"""Sets judged at a time."""

_TABLE = 8
"""A table of all sets of a size is made where it has at most this many times the rows asked
for: smaller subsets then need not be looked at."""


class Judge:
    """`active`: the candidates that can be had, by which sets are numbered; sets are given in
    positions of `active`."""

    def __init__(self, problem: Problem, active: Small, numbering: Numbering) -> None:
        self.problem = problem
        self.active = active
        self.numbering = numbering
        self._place = np.zeros(len(problem.prices), dtype=np.int16)
        self._place[active] = np.arange(len(active))
        self._none = len(problem.options.want)
        self._tables: list[Rows] = []
        self._weighted: dict[Aim | None, Ints] = {}

    @cached_property
    def _by_size(self) -> tuple[tuple[Ints, Ints, Ints], ...]:
        """By size: the different missing-sets' numbers, ascending; where each one's options
        begin and the last one's end; the option rows in that order."""
        options = self.problem.options
        parts = []
        for size in range(options.missing.shape[1] + 1):
            rows = np.flatnonzero(options.size == size)
            numbers = self.numbering.number(self._place[options.missing[rows, :size]])
            order = np.argsort(numbers, kind="stable")
            keys, starts = np.unique(numbers[order], return_index=True)
            parts.append((keys, np.append(starts, len(rows)), rows[order]))
        return tuple(parts)

    def _options_of(self, numbers: Ints, size: int) -> tuple[Ints, Ints]:
        """(i, row) for every option row that misses exactly the set numbers[i]."""
        if size >= len(self._by_size) or not len(self._by_size[size][0]):
            return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
        keys, bounds, rows = self._by_size[size]
        at = np.minimum(np.searchsorted(keys, numbers), len(keys) - 1)
        hits = np.flatnonzero(keys[at] == numbers)
        starts = bounds[at[hits]]
        lengths = bounds[at[hits] + 1] - starts
        within = np.arange(lengths.sum()) - np.repeat(np.cumsum(lengths) - lengths, lengths)
        return np.repeat(hits, lengths), rows[np.repeat(starts, lengths) + within]

    def _use_own(self, used: Rows, numbers: Ints, size: int) -> None:
        """Let each set use the options that miss exactly it where they are better."""
        sets, rows = self._options_of(numbers, size)
        wants = self.problem.options.want[rows]
        np.minimum.at(used, (sets, wants), rows.astype(np.int32))

    def _table(self, size: int) -> Rows:
        """The options used by every set of a size, by number."""
        while len(self._tables) <= size:
            now = len(self._tables)
            count = self.numbering.count(now)
            sets = self.numbering.sets(now)
            used = np.full((count, len(self.problem.weights)), self._none, dtype=np.int32)
            for j in range(now):
                smaller = self.numbering.number(np.delete(sets, j, axis=1))
                np.minimum(used, self._tables[now - 1][smaller], out=used)
            self._use_own(used, np.arange(count), now)
            self._tables.append(used)
        return self._tables[size]

    def used(self, sets: Small) -> Rows:
        """For each set (of one size) and want the option row used; the number of rows where
        there is none."""
        size = sets.shape[1]
        base = max(s for s in range(size + 1) if self.numbering.count(s) <= _TABLE * len(sets) + 1)
        used = np.full((len(sets), len(self.problem.weights)), self._none, dtype=np.int32)
        for columns in combinations(range(size), base):
            numbers = self.numbering.number(sets[:, columns])
            np.minimum(used, self._table(base)[numbers], out=used)
        for wider in range(base + 1, min(size, len(self._by_size) - 1) + 1):
            for columns in combinations(range(size), wider):
                self._use_own(used, self.numbering.number(sets[:, columns]), wider)
        return used

    def best(self, sets: Small, most: int, watch: Watch) -> list[Chosen] | None:
        """The best `most` of sets of one size that cover the same weight, best first; None
        where the watch stops the search."""
        kept = np.zeros((0, sets.shape[1]), dtype=np.int16)
        kept_keys = np.zeros((0, len(self.problem.aims)), dtype=np.int64)
        for start in range(0, len(sets), _BATCH):
            if watch.over:
                return None
            some = sets[start : start + _BATCH]
            _, keys = self.totals(some)
            if len(kept) == most:
                close = keys[:, 0] <= kept_keys[-1, 0]
                some, keys = some[close], keys[close]
            kept, kept_keys = np.concatenate([kept, some]), np.concatenate([kept_keys, keys])
            order = np.lexsort((*kept.T[::-1], *kept_keys.T[::-1]))[:most]
            kept, kept_keys = kept[order], kept_keys[order]
        return [tuple(row) for row in self.active[kept].tolist()]

    def totals(self, sets: Small) -> tuple[Ints, Ints]:
        """Covered weight of some sets of one size, and their totals in the order of the aims."""
        used = self.used(sets)
        problem = self.problem
        totals = [
            self._of_gears(problem.copy_costs[aim], sets)
            if aim in problem.copy_costs
            else self._of_trains(aim, used)
            for aim in problem.aims
        ]
        weight = self._of_trains(None, used)
        return weight, np.stack(totals, axis=1)

    def _of_trains(self, aim: Aim | None, used: Rows) -> Ints:
        """What the options used add up to by an aim, by weight; None for the weight alone."""
        if aim not in self._weighted:
            options = self.problem.options
            cost = 1 if aim is None else options.cost(aim)
            self._weighted[aim] = np.append(self.problem.weights[options.want] * cost, 0)
        total: Ints = self._weighted[aim][used].sum(axis=1)
        return total

    def _of_gears(self, costs: CopyCosts, sets: Small) -> Ints:
        had = [costs[c] for c in self.active]
        table = np.zeros((len(had), max(map(len, had), default=0)), dtype=np.int64)
        for row, copies in zip(table, had, strict=True):
            row[: len(copies)] = copies
        total = np.zeros(len(sets), dtype=np.int64)
        copy = np.zeros(len(sets), dtype=np.int64)
        for j in range(sets.shape[1]):
            if j:
                copy = np.where(sets[:, j] == sets[:, j - 1], copy + 1, 0)
            total += table[sets[:, j], copy]
        return total
