"""The orders in which one combination of drivers and driven gears can be hung.

All orders of a combination cut the same pitch; they differ in tooth load, in what sits
where, and in whether they fit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, permutations

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.domain.gear import Place
from gearchest.optimizer.domain.stock import Stock
from gearchest.optimizer.search.combine import Combos


@dataclass(frozen=True)
class Order:
    """One order: stage k runs from column `tops[k]` of the drivers to column `bottoms[k]`
    of the driven gears."""

    stock: Stock
    combos: Combos
    tops: tuple[int, ...]
    bottoms: tuple[int, ...]

    def distinct(self) -> Ints:
        """Rows this order hangs differently from an earlier one: an order that only swaps
        equal gears is no new one."""
        again = _swaps_equals(self.combos.drivers, self.tops)
        again |= _swaps_equals(self.combos.driven, self.bottoms)
        return np.flatnonzero(~again)

    def seats(self, rows: Ints) -> tuple[Ints, Small]:
        """Of these rows those whose meshing gears are of one class and sit where they may,
        with their gears as driver, driven, driver, driven, ..."""
        seats = np.empty((len(rows), 2 * len(self.tops)), dtype=np.int16)
        for k, (top, bottom) in enumerate(zip(self.tops, self.bottoms, strict=True)):
            seats[:, 2 * k] = self.combos.drivers[rows, top]
            seats[:, 2 * k + 1] = self.combos.driven[rows, bottom]
        if self.stock.uniform:
            return rows, seats
        good = _may_sit(self.stock, seats)
        return rows[good], seats[good]


def orders(stock: Stock, combos: Combos, stages: int) -> Iterator[Order]:
    """Every order, those with the larger driven gears towards the screw first: driven from
    the spindle they load the teeth least."""
    for bottoms in permutations(range(stages)):
        for tops in permutations(range(stages)):
            yield Order(stock, combos, tops, bottoms)


def _may_sit(stock: Stock, seats: Small) -> Bools:
    last = seats.shape[1] - 1
    good = stock.allowed[Place.DRIVER][seats[:, 0]] & stock.allowed[Place.SCREW][seats[:, last]]
    for k in range(0, last, 2):
        good &= stock.mesh_class[seats[:, k]] == stock.mesh_class[seats[:, k + 1]]
    for k in range(1, last, 2):
        one, other = seats[:, k], seats[:, k + 1]
        good &= stock.allowed[Place.STUD][one] & stock.allowed[Place.STUD][other]
        # Members of a pinned pair share a stud with each other and with nothing else.
        loose = (stock.mate[one] < 0) & (stock.mate[other] < 0)
        good &= loose | (stock.mate[one] == other)
    return good


def _swaps_equals(gears: Small, order: tuple[int, ...]) -> Bools:
    """Whether an order puts two equal gears (neighbours in an ascending row) out of turn."""
    again = np.zeros(len(gears), dtype=np.bool_)
    for one, other in _out_of_turn(order):
        again |= gears[:, one] == gears[:, other]
    return again


@lru_cache
def _out_of_turn(order: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """Neighbouring columns (i, i + 1) that `order` visits the wrong way round."""
    at = {column: k for k, column in enumerate(order)}
    return tuple((i, j) for i, j in pairwise(sorted(order)) if at[j] < at[i])
