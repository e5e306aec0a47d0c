"""Sets of gears near some named ones, and the options that matter for them.

A set holds so many of each kind. Two sets are as far apart as the gears one would have to add
and take away: with one gear broken and one bought in its place a set is two from where it was.
Sets and needs are bits, one for each copy of each kind, so that "this set has what that train
needs" is one operation.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np
import numpy.typing as npt

from gearchest.optimizer.domain.arrays import Bools, Ints

Words = npt.NDArray[np.uint64]
WORD = 64
ROWS_AT_A_TIME = 1 << 21
"""Comparisons in one go: what fits the processor's cache matters more than their number."""


@dataclass(frozen=True)
class NamedSet:
    """A set of gears by kind, and how far around it answers are to be right."""

    counts: tuple[int, ...]
    radius: int

    def near(self, counts: Sequence[int]) -> bool:
        """Whether a set is within the radius."""
        return sum(abs(a - b) for a, b in zip(counts, self.counts, strict=True)) <= self.radius


def sets_near(named: Iterable[NamedSet], most: Sequence[int]) -> Ints:
    """Every set within reach of a named one, (n, kinds), each once; `most`: of each kind."""
    found: set[tuple[int, ...]] = set()
    moves = [(kind, by) for kind in range(len(most)) for by in (1, -1)]
    for name in named:
        for steps in range(name.radius + 1):
            for chosen in combinations_with_replacement(moves, steps):
                counts = list(name.counts)
                for kind, by in chosen:
                    counts[kind] += by
                if all(0 <= count <= top for count, top in zip(counts, most, strict=True)):
                    found.add(tuple(counts))
    return np.array(sorted(found), dtype=np.int64).reshape(-1, len(most))


def as_bits(counts: Ints, most: Sequence[int]) -> Words:
    """(n, kinds) counts as (n, words): of a kind's bits as many are set as there are copies."""
    first = np.concatenate([[0], np.cumsum(most)]).astype(np.int64)
    bits = np.zeros((len(counts), -(-int(first[-1]) // WORD) or 1), dtype=np.uint64)
    for kind, top in enumerate(most):
        for copy in range(top):
            word, place = divmod(int(first[kind]) + copy, WORD)
            there = (counts[:, kind] > copy).astype(np.uint64)
            bits[:, word] |= there << np.uint64(place)
    return bits


def chosen_by(sets: Words, needs: Words, exact: Bools) -> Bools:
    """Which options some set would choose: the first it has the gears for, and the first of
    these without error. `needs`: one row an option, the one to set up first standing first."""
    chosen = np.zeros(len(needs), dtype=np.bool_)
    if not len(needs):
        return chosen
    at_a_time = max(1, ROWS_AT_A_TIME // len(needs))
    for start in range(0, len(sets), at_a_time):
        lack = ~sets[start : start + at_a_time]
        able = np.ones((len(lack), len(needs)), dtype=np.bool_)
        for word in range(needs.shape[1]):
            able &= (needs[None, :, word] & lack[:, None, word]) == 0
        for some in (able, able & exact):
            first = some.argmax(axis=1)
            chosen[first[some[np.arange(len(some)), first]]] = True
    return chosen
