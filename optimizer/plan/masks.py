"""Prove steps by looking at every set of gears, the wants each covers held as bits.

What a set of s gears covers is what its subsets of s - 1 cover, and what the options that
miss exactly these s gears add. So each size is built from the one before by a few array
operations, and the largest is looked at in blocks without being kept. Only the sets that
cover most, and second most, are then judged by the aims.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.plan.best_set import EQUALLY_GOOD, LOOKED, BestSet, proven_totals
from gearchest.optimizer.plan.judge import Judge
from gearchest.optimizer.plan.leaders import NOT_ALLOWED, Leaders
from gearchest.optimizer.plan.multisets import LARGEST_SIZE, Numbering
from gearchest.optimizer.plan.problem import Chosen, Problem
from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.plan.worth import Worth, rank, worth

Bits = npt.NDArray[np.uint64]

MOST_KEPT = 6_000_000
"""Sets of one size held in memory: about 50 bytes each."""

MOST_SHOWN = 100_000_000
"""Sets of one size looked at: ten seconds or so."""

_WORD = 64
_CHUNK = 16


@dataclass(frozen=True)
class Level:
    """All sets of one size, or those of them that end in one gear: members, covered wants as
    bits, price, gears that must be in, and whether they can be had for the budget."""

    sets: Small
    cover: Bits
    money: Ints
    inside: Ints
    allowed: Bools


@dataclass(frozen=True)
class Survey:
    """The best sets of one size that cover most, best first, and the best of those that cover
    second most (empty where there are none)."""

    best: tuple[Chosen, ...]
    second: tuple[Chosen, ...]


class Enumeration:
    """Every set of gears of a problem, size by size, as long as the watch lets it."""

    def __init__(self, problem: Problem, watch: Watch | None = None) -> None:
        self.problem = problem
        self._watch = watch or Watch()
        self.active = np.array(
            [c for c, prices in enumerate(problem.prices) if prices], dtype=np.int16
        )
        self.numbering = Numbering(len(self.active))
        self.judge = Judge(problem, self.active, self.numbering)
        self._kept: list[Level] = [self._empty()]
        self._surveys: dict[int, Survey] = {}
        self._worths: dict[Chosen, Worth] = {}

    @cached_property
    def open(self) -> Ints:
        """Wants that the lathe as it is does not cover and some set does."""
        options = self.problem.options
        return np.setdiff1d(options.want, options.want[options.size == 0])

    @cached_property
    def words(self) -> int:
        """64-bit words in a cover."""
        return max(1, -(-len(self.open) // _WORD))

    @cached_property
    def options(self) -> tuple[tuple[Ints, Ints], ...]:
        """By size: the numbers of the missing-sets of open wants, ascending; and the bit each
        sets."""
        options = self.problem.options
        position = np.full(len(self.problem.weights), -1, dtype=np.int64)
        position[self.open] = np.arange(len(self.open))
        place = np.zeros(len(self.problem.prices), dtype=np.int16)
        place[self.active] = np.arange(len(self.active))
        by_size = []
        for size in range(options.missing.shape[1] + 1):
            rows = np.flatnonzero((options.size == size) & (position[options.want] >= 0))
            numbers = self.numbering.number(place[options.missing[rows, :size]])
            order = np.argsort(numbers, kind="stable")
            by_size.append((numbers[order], position[options.want[rows]][order]))
        return tuple(by_size)

    def _none(self, size: int) -> Level:
        """No sets at all."""
        none = np.zeros(0, dtype=np.int64)
        sets = np.zeros((0, size), dtype=np.int16)
        cover = np.zeros((0, self.words), dtype=np.uint64)
        return Level(sets, cover, none, none, np.zeros(0, dtype=np.bool_))

    def _empty(self) -> Level:
        """The one set without gears."""
        zero = np.zeros(1, dtype=np.int64)
        sets = np.zeros((1, 0), dtype=np.int16)
        cover = np.zeros((1, self.words), dtype=np.uint64)
        return Level(sets, cover, zero, zero, np.ones(1, dtype=np.bool_))

    def reaches(self, size: int) -> bool:
        """Whether there are few enough sets of a size to look at all of them."""
        kept, shown = self.numbering.count(max(0, size - 1)), self.numbering.count(size)
        return size <= LARGEST_SIZE and kept <= MOST_KEPT and shown <= MOST_SHOWN

    # levels

    def kept(self, size: int) -> Level:
        """All sets of a size, built once. Raises `StoppedError` where the watch stops it."""
        while len(self._kept) <= size:
            blocks = [self._none(len(self._kept))]
            for block in self.blocks(len(self._kept)):
                self._watch.check()
                blocks.append(block)
            self._kept.append(
                Level(*(np.concatenate(parts) for parts in zip(*map(_fields, blocks), strict=True)))
            )
        return self._kept[size]

    def blocks(self, size: int) -> Iterator[Level]:
        """All sets of a size >= 1, those that end in the same gear at a time."""
        smaller = self.kept(size - 1)
        drops = [self.numbering.number(np.delete(smaller.sets, j, axis=1)) for j in range(size - 1)]
        for last in range(len(self.active)):
            yield self._block(size, last, smaller, drops)

    def _block(self, size: int, last: int, smaller: Level, drops: list[Ints]) -> Level:
        """The sets of a size that end in `last`: every smaller set with members up to it, and
        it."""
        count = self.numbering.count(size - 1, last + 1)
        shift = self.numbering.first(last, size - 1) if size > 1 else 0
        cover = smaller.cover[:count].copy()
        for drop in drops:
            cover |= smaller.cover[drop[:count] + shift]
        self._add_own(size, last, cover)
        sets = smaller.sets[:count]
        copies = np.zeros(count, dtype=np.int64)
        copies[shift:] = (sets[shift:] == last).sum(axis=1)
        money, inside, allowed = self._terms(last, copies)
        money += smaller.money[:count]
        allowed &= smaller.allowed[:count]
        if self.problem.budget is not None:
            allowed &= money <= self.problem.budget
        column = np.full((count, 1), last, dtype=np.int16)
        return Level(
            np.concatenate([sets, column], axis=1),
            cover,
            money,
            smaller.inside[:count] + inside,
            allowed,
        )

    def _add_own(self, size: int, last: int, cover: Bits) -> None:
        """Set the bits of the options that miss exactly a set of this block."""
        if size >= len(self.options):
            return
        numbers, position = self.options[size]
        first = self.numbering.first(last, size)
        start, end = np.searchsorted(numbers, [first, first + len(cover)])
        rows, bits = numbers[start:end] - first, position[start:end]
        values = np.uint64(1) << (bits % _WORD).astype(np.uint64)
        np.bitwise_or.at(cover, (rows, bits // _WORD), values)

    def _terms(self, last: int, copies: Ints) -> tuple[Ints, Ints, Bools]:
        """What one more copy of `last` costs, whether it must be in, whether it can be had,
        where a set already has so many."""
        prices = np.array([*self.problem.prices[self.active[last]], 0], dtype=np.int64)
        had = np.minimum(copies, len(prices) - 1)
        include = Counter(self.problem.include)[int(self.active[last])]
        return prices[had], (copies < include).astype(np.int64), copies < len(prices) - 1

    # coverage

    @cached_property
    def _weights(self) -> Ints:
        return self.by_patterns(self.problem.weights[self.open])

    def by_patterns(self, values: Ints) -> Ints:
        """For each 16 bits of a cover what each pattern adds up to, by values of open wants."""
        chunks = self.words * _WORD // _CHUNK
        weights = np.pad(values, (0, chunks * _CHUNK - len(values)))
        table = np.zeros((chunks, 1 << _CHUNK), dtype=np.int64)
        for bit, weight in enumerate(weights):
            half = 1 << (bit % _CHUNK)
            row = table[bit // _CHUNK]
            row[half : 2 * half] = row[:half] + weight
        return table

    def weight(self, cover: Bits) -> Ints:
        """Weight of the open wants in each cover."""
        return self.add_up(self._weights, cover)

    def add_up(self, by_patterns: Ints, cover: Bits) -> Ints:
        """What each cover adds up to, from a table `by_patterns`."""
        patterns = cover.astype("<u8", copy=False).view("<u2")
        total = np.zeros(len(cover), dtype=np.int64)
        for chunk in range(-(-len(self.open) // _CHUNK)):
            total += by_patterns[chunk][patterns[:, chunk]]
        return total

    # choosing

    def survey(self, size: int, watch: Watch) -> Survey | None:
        """The sets of a size that keep the terms and cover most, and second most; None where
        the watch stops the search."""
        if size in self._surveys:
            return self._surveys[size]
        need = min(size, len(self.problem.include))
        leaders = Leaders()
        try:
            for block in self.sized(size):
                if watch.over:
                    return None
                weights = self.weight(block.cover)
                weights[~block.allowed | (block.inside < need)] = NOT_ALLOWED
                leaders.take(weights, block.sets)
        except StoppedError:
            return None
        best = self.judge.best(leaders.sets(0), 1 + EQUALLY_GOOD, watch)
        second = self.judge.best(leaders.sets(1), 1, watch)
        if best is None or second is None:
            return None
        self._surveys[size] = Survey(tuple(best), tuple(second))
        return self._surveys[size]

    def step(self, most: int, watch: Watch) -> BestSet | None:
        """The best set of at most `most` gears, proven; None where the watch stops the search
        or no set keeps the terms."""
        surveys = [self.survey(size, watch) for size in range(most + 1)]
        include = len(self.problem.include)
        pool = [s for size, s in enumerate(surveys) if size == most or size >= include]
        if None in surveys or not any(survey and survey.best for survey in pool):
            return None
        sets = [chosen for survey in pool if survey for chosen in survey.best + survey.second]
        ranked = sorted(sets, key=lambda chosen: rank(self.problem, chosen, self._worth(chosen)))
        best = ranked[0]
        weight = self._worth(best).weight
        less = [chosen for chosen in ranked if self._worth(chosen).weight < weight]
        alike = [c for c in ranked[1:] if len(c) == len(best) and c not in less]
        return BestSet(
            best,
            proven_totals(self.problem, best),
            LOOKED,
            equally_good=tuple(alike[:EQUALLY_GOOD]),
            next_best=less[0] if less else None,
        )

    def _worth(self, chosen: Chosen) -> Worth:
        if chosen not in self._worths:
            self._worths[chosen] = worth(self.problem, chosen)
        return self._worths[chosen]

    def sized(self, size: int) -> Iterator[Level]:
        """All sets of a size, in one piece where they are kept."""
        if size < len(self._kept):
            yield self._kept[size]
        else:
            yield from self.blocks(size)


def _fields(level: Level) -> tuple[npt.NDArray[np.generic], ...]:
    return level.sets, level.cover, level.money, level.inside, level.allowed
