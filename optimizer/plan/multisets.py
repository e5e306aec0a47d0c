"""Every multiset of 0, 1, 2, ... of n things, numbered so that arrays can be indexed by them.

A multiset is its members ascending, a1 <= a2 <= ... <= as; its number is the sum of
binomial(a_j + j - 1, j) over j = 1..s (the combinatorial number system over a_j + j - 1).
Numbers run from 0 without a gap, and the multisets that end in m follow upon all that end in
less: those of size s with members up to m are the first binomial(m + s, s).
"""

from __future__ import annotations

from math import comb

import numpy as np

from gearchest.optimizer.domain.arrays import Ints, Small

LARGEST_SIZE = 8


class Numbering:
    """Numbers of multisets of up to `LARGEST_SIZE` of `things` things."""

    def __init__(self, things: int) -> None:
        self.things = things
        self._terms = np.array(
            [[comb(member + j, j + 1) for member in range(things)] for j in range(LARGEST_SIZE)],
            dtype=np.int64,
        ).reshape(LARGEST_SIZE, things)

    def count(self, size: int, up_to: int | None = None) -> int:
        """How many multisets of a size there are with members below `up_to`."""
        below = self.things if up_to is None else up_to
        return comb(below + size - 1, size) if below + size > 0 else 1

    def first(self, last: int, size: int) -> int:
        """The number of the first multiset of a size that ends in `last`."""
        return comb(last + size - 1, size)

    def number(self, sets: Small) -> Ints:
        """The numbers of multisets, one a row, members ascending."""
        numbers = np.zeros(len(sets), dtype=np.int64)
        for j in range(sets.shape[1]):
            numbers += self._terms[j][sets[:, j]]
        return numbers

    def sets(self, size: int) -> Small:
        """All multisets of a size, in the order of their numbers."""
        sets = np.zeros((1, 0), dtype=np.int16)
        for now in range(1, size + 1):
            blocks = [
                np.pad(
                    sets[: self.count(now - 1, last + 1)], ((0, 0), (0, 1)), constant_values=last
                )
                for last in range(self.things)
            ]
            sets = np.concatenate([np.zeros((0, now), dtype=np.int16), *blocks])
        return sets
