"""Drivers against driven gears whose ratio lies in a window: sorted products, not loops.

A *half* is an unordered choice of drivers (or of driven gears). Halves are grouped by how
many of their gears are missing and sorted by the product of their teeth; for each half of
one side a binary search finds the slice of the other side that the window allows. What a
combination lacks is at least what its two halves lack, so groups that lack too much are never
joined.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

import numpy as np
import numpy.typing as npt

from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small
from gearchest.optimizer.domain.gear import Place
from gearchest.optimizer.domain.stock import Stock
from gearchest.optimizer.search.columns import across, in_order

CHUNK = 1 << 18
"""Most combinations joined at a time: bounds memory, not the answer."""


_PAYS = 8
"""Counts are tabulated where that takes at most so many numbers for each value looked up at once: a
look at the table takes a sixth of a binary search, which making it costs for five numbers."""


@dataclass(frozen=True)
class Halves:
    """Halves of one size: `gears` (n, size), rows ascending; `product` of teeth, ascending
    within each group; `groups[m]` is the slice of halves that lack m gears; `lacks`: which."""

    gears: Small
    product: Ints
    groups: tuple[slice, ...]
    lacks: Small
    counted: dict[int, npt.NDArray[np.int32]] = field(
        default_factory=dict, compare=False, repr=False
    )
    """By group, of each whole number how many products lie below it; made where it pays."""

    def below(self, group: int, values: Floats, *, or_at: bool = False) -> Ints:
        """How many products of a group lie below each value (or at it)."""
        product = self.product[self.groups[group]]
        if group not in self.counted:
            if len(values) * _PAYS < int(product[-1]):
                side: Literal["left", "right"] = "right" if or_at else "left"
                return np.searchsorted(product, values, side=side)
            self.counted[group] = _counted(product)
        counted = self.counted[group]
        whole = np.floor(values) + 1.0 if or_at else np.ceil(values)
        np.clip(whole, 0.0, len(counted) - 1.0, out=whole)
        return counted[whole.astype(np.int64)].astype(np.int64)

    def with_only(self, useful: Bools) -> Halves:
        """Those that lack only such candidates as are `useful`."""
        good = across(np.logical_and, np.append(useful, True), self.lacks)
        ends = np.concatenate([[0], np.cumsum(good)])
        groups = tuple(slice(int(ends[g.start]), int(ends[g.stop])) for g in self.groups)
        return Halves(self.gears[good], self.product[good], groups, self.lacks[good])

    @property
    def sizes(self) -> list[int]:
        """How many lack 0, 1, 2, ... gears."""
        return [group.stop - group.start for group in self.groups]


@dataclass(frozen=True)
class Combos:
    """Combinations of a driver half and a driven half, (n, stages) gear indices each."""

    drivers: Small
    driven: Small

    def take(self, rows: Ints | Bools) -> Combos:
        """Some of the rows."""
        return Combos(self.drivers[rows], self.driven[rows])


def lacking(stock: Stock, gears: Small, most: int) -> tuple[Small, Bools]:
    """What each row of gear indices lacks beyond what is owned.

    Returns (n, most) candidate numbers, ascending and padded at the end with -1, and which
    rows lack no more than `most` gears and only such as could be added.
    """
    last = np.iinfo(np.int16).max
    ordered = in_order(list(gears.T))
    owned, addable = stock.owned.astype(np.int16), stock.addable.astype(np.int16)
    nth = np.zeros(len(gears), dtype=np.int16)  # of its kind in the row
    good = np.ones(len(gears), dtype=np.bool_)
    count = np.zeros(len(gears), dtype=np.int16)
    lacks = []
    for k, column in enumerate(ordered):
        if k:
            nth = np.where(column == ordered[k - 1], nth + np.int16(1), np.int16(0))
        beyond = nth - owned[column]
        gone = beyond >= 0
        good &= ~gone | (beyond < addable[column])
        count += gone
        lacks.append(np.where(gone, stock.candidate[column], np.int16(last)))
    good &= count <= most
    lacks = [np.where(c == last, np.int16(-1), c) for c in in_order(lacks)[:most]]
    lacks += [np.full(len(gears), -1, dtype=np.int16)] * (most - len(lacks))
    table = np.empty((len(gears), most), dtype=np.int16)
    for k, column in enumerate(lacks):
        table[:, k] = column
    return table, good


def lack_count(lacks: Small) -> Ints:
    """By row of candidate numbers, how many there are."""
    count = np.zeros(len(lacks), dtype=np.int64)
    for column in lacks.T:
        count += column >= 0
    return count


def nth_of_kind(lacks: Small) -> Ints:
    """Of each gear in ascending rows of candidate numbers, how many like it stand before it."""
    nth = np.zeros(lacks.shape, dtype=np.int64)
    for k in range(1, lacks.shape[1]):
        nth[:, k] = np.where(lacks[:, k] == lacks[:, k - 1], nth[:, k - 1] + 1, 0)
    return nth


def halves(stock: Stock, size: int, side: Place, most: int) -> Halves:
    """All halves of `size` for one side of a train, lacking at most `most` gears.

    `side` is DRIVER for drivers (one of them on the first driver's shaft) or SCREW for
    driven gears (one of them on the screw); the others sit on studs.
    """
    usable = np.flatnonzero(stock.allowed[side] | stock.allowed[Place.STUD])
    rows = _multisets(usable.astype(np.int16), size)
    rows = rows[stock.allowed[side][rows].any(axis=1)]
    lacks, good = lacking(stock, rows, most)
    rows, lacks = rows[good], lacks[good]
    count = lack_count(lacks)
    product = across(np.multiply, stock.teeth, rows)
    order = np.lexsort((product, count))
    edges = np.searchsorted(count[order], np.arange(most + 2))
    groups = tuple(slice(int(a), int(b)) for a, b in pairwise(edges))
    return Halves(rows[order], product[order], groups, lacks[order])


def _multisets(kinds: Small, size: int) -> Small:
    """Every choice of `size` >= 1 of some ascending kinds, any of them more than once, in order."""
    at = np.arange(len(kinds)).reshape(-1, 1)
    for _ in range(size - 1):
        count = len(kinds) - at[:, -1]
        more = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
        at = np.repeat(at, count, axis=0)
        at = np.column_stack([at, at[:, -1] + more])
    return kinds[at]


def join(
    drivers: Halves, driven: Halves, lowest: Floats, highest: Floats, least: int, most: int
) -> Iterator[tuple[Combos, Small]]:
    """All combinations with lowest <= drivers/driven <= highest whose halves together lack
    `least` to `most` gears, in chunks, each with the number of the bounds it keeps: there may be
    several, and they share the work."""
    for i in range(min(most + 1, len(drivers.groups))):
        for j in range(max(0, least - i), min(most + 1 - i, len(driven.groups))):
            group, other = drivers.groups[i], driven.groups[j]
            tops, bottoms = drivers.product[group], driven.product[other]
            if not len(tops) or not len(bottoms):
                continue
            if len(tops) < len(bottoms):
                for number, few, many in _slices(tops, driven, j, 1 / highest, 1 / lowest):
                    yield Combos(drivers.gears[group][few], driven.gears[other][many]), number
            else:
                for number, few, many in _slices(bottoms, drivers, i, lowest, highest):
                    yield Combos(drivers.gears[group][many], driven.gears[other][few]), number


def _counted(product: Ints) -> npt.NDArray[np.int32]:
    """Of each whole number up to the largest of some products and one more how many lie below."""
    counted = np.zeros(int(product[-1]) + 2, dtype=np.int32)
    np.cumsum(np.bincount(product), out=counted[1:], dtype=np.int32)
    return counted


def _slices(
    few: Ints, halves: Halves, group: int, lowest: Floats, highest: Floats
) -> Iterator[tuple[Small, npt.NDArray[np.intp], npt.NDArray[np.intp]]]:
    """Numbers of bounds and index pairs with lowest <= many/few <= highest, `many` being the
    products of a group, bounds by bounds."""
    at_once = max(1, CHUNK // len(few))
    for a in range(0, len(lowest), at_once):
        low, high = lowest[a : a + at_once], highest[a : a + at_once]
        start = halves.below(group, np.multiply.outer(low, few).ravel())
        upto = halves.below(group, np.multiply.outer(high, few).ravel(), or_at=True)
        count = upto - start
        ends = np.cumsum(count)
        first = 0
        while first < len(ends):
            # Whole rows of `few` up to a chunk; at least one.
            done = ends[first - 1] if first else 0
            last = max(first + 1, int(np.searchsorted(ends, done + CHUNK, side="right")))
            counts = count[first:last]
            row = np.repeat(np.arange(first, last), counts)
            within = np.arange(len(row)) - np.repeat(np.cumsum(counts) - counts, counts)
            number, left = np.divmod(row, len(few))
            yield (number + a).astype(np.int16), left, start[row] + within
            first = last
