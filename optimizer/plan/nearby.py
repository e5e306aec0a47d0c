"""Sets of gears near some named ones, and what they would choose.

A set holds so many of each kind. Two sets are as far apart as the gears one would have to add
and take away: with one gear broken and one bought in its place a set is two from where it was.
Sets and needs are whole numbers, a bit for each copy of each kind, so that "this set has what that
train needs" is one operation.

Not every set near is looked at. What a set chooses is chosen as well once gears are gone that it
does not need; so of the gears of a set only those of its choice are taken away in turn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, combinations_with_replacement

import numpy as np
import numpy.typing as npt

from gearchest.optimizer.domain.arrays import Small

Words = npt.NDArray[np.uint64]

WORD = 64
"""Bits in a word."""


@dataclass(frozen=True)
class NamedSet:
    """A set of gears by kind, and how far around it answers are to be right."""

    counts: tuple[int, ...]
    radius: int

    def near(self, counts: Sequence[int]) -> bool:
        """Whether a set is within the radius."""
        return sum(abs(a - b) for a, b in zip(counts, self.counts, strict=True)) <= self.radius


@dataclass(frozen=True)
class Copies:
    """Sets as bits: `most` copies there may be of each kind."""

    most: tuple[int, ...]

    @cached_property
    def _first(self) -> list[int]:
        return [0, *accumulate(self.most)]

    @cached_property
    def _kind(self) -> list[int]:
        return [kind for kind, most in enumerate(self.most) for _ in range(most)]

    def bits(self, counts: Iterable[int]) -> int:
        """So many of each kind, at most what there may be."""
        return sum(
            ((1 << count) - 1) << first for count, first in zip(counts, self._first, strict=False)
        )

    def of(self, kinds: Iterable[int]) -> int:
        """A set of kinds, each as often as it is listed, listed together."""
        bits, last, nth = 0, -1, 0
        for kind in kinds:
            nth = nth + 1 if kind == last else 0
            bits |= 1 << self._first[kind] + nth
            last = kind
        return bits

    def words(self, rows: Small) -> Words:
        """Each row of kinds, listed together and padded with -1, as a set: by word of its bits,
        the lowest first."""
        found = np.zeros((max(1, -(-self._first[-1] // WORD)), len(rows)), dtype=np.uint64)
        first = np.array(self._first)
        nth = np.zeros(len(rows), dtype=np.int64)
        for k, column in enumerate(rows.T):
            if k:
                nth = np.where(column == rows[:, k - 1], nth + 1, 0)
            of = np.flatnonzero(column >= 0)
            at = first[column[of]] + nth[of]
            found[at // WORD, of] |= np.uint64(1) << (at % WORD).astype(np.uint64)
        return found

    def kinds(self, bits: int) -> list[int]:
        """The kinds a set holds."""
        return list(dict.fromkeys(self._kind[at] for at in _places(bits)))

    def of_kind(self, bits: int, kind: int) -> int:
        """Those of a set that are of one kind."""
        return bits & ((1 << self.most[kind]) - 1) << self._first[kind]

    def less(self, bits: int, kind: int) -> int:
        """A set that holds some of a kind, with one less of it."""
        return bits ^ 1 << self.of_kind(bits, kind).bit_length() - 1

    def around(self, named: Iterable[NamedSet]) -> dict[int, int]:
        """Named sets with gears added, as far as they reach: each with how many gears may then
        be taken away."""
        found: dict[int, int] = {}
        for name in named:
            room = [most - count for count, most in zip(name.counts, self.most, strict=True)]
            kinds = [kind for kind, more in enumerate(room) if more > 0]
            for steps in range(name.radius + 1):
                for added in combinations_with_replacement(kinds, steps):
                    if all(added.count(kind) <= room[kind] for kind in added):
                        counts = list(name.counts)
                        for kind in added:
                            counts[kind] += 1
                        bits = self.bits(counts)
                        found[bits] = max(found.get(bits, 0), name.radius - steps)
        return found


def _places(bits: int) -> Iterator[int]:
    while bits:
        lowest = bits & -bits
        yield lowest.bit_length() - 1
        bits ^= lowest


def look_around(
    sets: Mapping[int, int], copies: Copies, chosen: Callable[[int], int | None]
) -> None:
    """Ask what is `chosen` of some sets and of all that come of them by taking so many gears away,
    but for those of which it is known then. `chosen` tells what the choice needs, None where
    there is none, which holds with any less as well."""
    looked: dict[int, int] = {}

    def look(bits: int, taken: int) -> None:
        if looked.get(bits, -1) >= taken:
            return
        looked[bits] = taken
        needs = chosen(bits)
        if needs is not None and taken:
            for kind in copies.kinds(needs):
                look(copies.less(bits, kind), taken - 1)

    for bits, taken in sets.items():
        look(bits, taken)
