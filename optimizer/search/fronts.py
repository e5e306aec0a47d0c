"""The best option of every lack seen so far, kept as sorted arrays.

An option lacks some gears and costs: whole numbers, the first counting most. It is beaten by
one that lacks a sub-multiset of those gears and costs no more. What it lacks is packed into
one integer, so that "the least cost among options that lack a subset" is one binary search
for each subset.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.search.combine import lack_count

NO_COST = np.iinfo(np.int64).max


def less(one: Ints, other: Ints) -> Bools:
    """By row, whether one cost comes before the other; (n, k) each, the first column most."""
    result = np.zeros(len(one), dtype=np.bool_)
    equal = np.ones(len(one), dtype=np.bool_)
    for k in range(one.shape[1]):
        result |= equal & (one[:, k] < other[:, k])
        equal &= one[:, k] == other[:, k]
    return result


class Fronts:
    """The least cost of every lack; costs have `width` columns.

    A lack is up to `most` of `kinds` gears. Raises OverflowError where there are more of them
    than one integer can tell apart.
    """

    def __init__(self, kinds: int, most: int, width: int) -> None:
        self._radix = kinds + 1
        if self._radix**most > np.iinfo(np.int64).max:
            raise OverflowError(
                f"trains that lack up to {most} gears out of {kinds} on offer are too many to "
                "tell apart"
            )
        self._keys = np.zeros(0, dtype=np.int64)
        self._costs = np.zeros((0, width), dtype=np.int64)

    def pack(self, lacks: Small) -> Ints:
        """(n, k) candidate numbers, ascending, padded with -1, as one integer a row."""
        return self._packed(lacks.T, len(lacks))

    def _packed(self, columns: Iterable[Small], rows: int) -> Ints:
        keys = np.zeros(rows, dtype=np.int64)
        for column in columns:
            keys = np.where(column >= 0, keys * self._radix + column + 1, keys)
        return keys

    def limit(self, lacks: Small, floor: Ints) -> Ints:
        """For each row the least cost among options that lack a subset or the same; NO_COST
        where there are none. A row that costs as much or more is beaten.

        `floor`: the row costs no less. Once a row's limit is down to its floor it is beaten
        whatever else there is, and is looked up no further.
        """
        limit = np.full(floor.shape, NO_COST, dtype=np.int64)
        if not len(self._keys):
            return limit
        count = lack_count(lacks)
        alive = np.arange(len(lacks))
        for size in range(lacks.shape[1] + 1):
            for columns in combinations(range(lacks.shape[1]), size):
                rows = alive[count[alive] > columns[-1]] if columns else alive
                if len(rows):
                    some = (lacks[rows, column] for column in columns)
                    self._lower(limit, rows, self._packed(some, len(rows)))
            alive = alive[less(floor[alive], limit[alive])]
        return limit

    def _lower(self, limit: Ints, rows: Ints, keys: Ints) -> None:
        at = np.minimum(np.searchsorted(self._keys, keys), len(self._keys) - 1)
        known = self._keys[at] == keys
        rows, costs = rows[known], self._costs[at[known]]
        better = less(costs, limit[rows])
        limit[rows[better]] = costs[better]

    def add(self, keys: Ints, costs: Ints) -> None:
        """Take these options in."""
        keys = np.concatenate([self._keys, keys])
        costs = np.concatenate([self._costs, costs])
        kept = best_of_each(keys, costs)
        self._keys, self._costs = keys[kept], costs[kept]


def best_of_each(keys: Ints, costs: Ints) -> Ints:
    """For each different key the row of least cost, by key; of equals the first."""
    order = np.lexsort((*costs.T[::-1], keys))
    sorted_keys = keys[order]
    first = np.ones(len(order), dtype=np.bool_)
    first[1:] = sorted_keys[1:] != sorted_keys[:-1]
    kept: Ints = order[first]
    return kept
