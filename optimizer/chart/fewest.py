"""The fewest sets that hold everything between them. Sets are told as bits."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

MOST_LOOKS = 4000
"""Choices looked at before it is given up: some hundredths of a second."""


def fewest_sets(sets: Sequence[int], every: int, most_looks: int = MOST_LOOKS) -> int | None:
    """How many of the sets it takes to have all that `every` has, which they have between them;
    None where that is not known after so many choices."""
    within = {held & every for held in sets}
    useful = [held for held in within if not any(held | other == other != held for other in within)]
    holders = {bit: [held for held in useful if held & bit] for bit in _bits(every)}
    search = _Choice(holders, most_looks)
    search.take(every, 0)
    return search.best if search.looks <= most_looks else None


def _bits(held: int) -> list[int]:
    return [1 << place for place in range(held.bit_length()) if held >> place & 1]


class _Choice:
    """Whatever is held by the fewest sets is held by one of them: each is tried."""

    def __init__(self, holders: dict[int, list[int]], most_looks: int) -> None:
        few_first = sorted(holders, key=lambda bit: len(holders[bit]))
        self.holders = [(bit, holders[bit]) for bit in few_first]
        self.beside = {bit: _union(held) for bit, held in self.holders}
        self.largest = max((held.bit_count() for held in chain(*holders.values())), default=1)
        self.most_looks = most_looks
        self.looks = 0
        self.best = len(holders)

    def take(self, lacking: int, taken: int) -> None:
        """Go on from so many sets taken, with what they lack."""
        self.looks += 1
        if not lacking:
            self.best = min(self.best, taken)
            return
        least = max(self._apart(lacking), -(-lacking.bit_count() // self.largest))
        if self.looks > self.most_looks or taken + least >= self.best:
            return
        holders = next(held for bit, held in self.holders if bit & lacking)
        for held in sorted(holders, key=lambda held: -(held & lacking).bit_count()):
            self.take(lacking & ~held, taken + 1)

    def _apart(self, lacking: int) -> int:
        """Of what is lacking so much no two of which one set holds: each takes a set."""
        count = 0
        for bit, _ in self.holders:
            if bit & lacking:
                lacking &= ~self.beside[bit]
                count += 1
        return count


def _union(sets: Sequence[int]) -> int:
    every = 0
    for held in sets:
        every |= held
    return every
