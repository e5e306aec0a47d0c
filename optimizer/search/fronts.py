"""Options no other beats, kept as sorted arrays.

An option lacks some gears, loads the teeth and errs; it is beaten by one that lacks a
sub-multiset of those gears at no more load and no more error. What it lacks is packed into
one integer; all options of one lack form a front, and "the least load among options that
lack a subset and err no more" is one binary search for each subset.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np

from gearchest.optimizer.domain.arrays import Ints, Small

NO_LOAD = np.iinfo(np.int64).max
_ERROR_BITS = 31


class Fronts:
    """The undominated (load, error) pairs of every lack seen so far.

    A lack is up to `most` of `kinds` gears. Raises OverflowError where there are more of them
    than one integer can tell apart.
    """

    def __init__(self, kinds: int, most: int) -> None:
        self._radix = kinds + 1
        if self._radix**most > np.iinfo(np.int64).max:
            raise OverflowError(
                f"trains that lack up to {most} gears out of {kinds} on offer are too many to "
                "tell apart"
            )
        self._keys = np.zeros(0, dtype=np.int64)
        self._places = np.zeros(0, dtype=np.int64)  # (rank of key) << 31 | error, ascending
        self._least = np.zeros(0, dtype=np.int64)  # least load up to here within the key

    def pack(self, lacks: Small) -> Ints:
        """(n, k) candidate numbers, ascending, padded with -1, as one integer a row."""
        keys = np.zeros(len(lacks), dtype=np.int64)
        for column in lacks.T:
            keys = np.where(column >= 0, keys * self._radix + column + 1, keys)
        return keys

    def limit(self, lacks: Small, error: Ints, floor: Ints) -> Ints:
        """For each row the least load among options that lack a subset (or the same) and err
        no more; NO_LOAD where there are none. A row at that load or above is beaten.

        `floor`: no order of the row loads the teeth less. Once a row's limit is down to its
        floor it is beaten whatever else there is, and is looked up no further.
        """
        limit = np.full(len(lacks), NO_LOAD, dtype=np.int64)
        count = (lacks >= 0).sum(axis=1)
        alive = np.arange(len(lacks))
        for size in range(lacks.shape[1] + 1):
            for columns in combinations(range(lacks.shape[1]), size):
                rows = alive[count[alive] > columns[-1]] if columns else alive
                if len(rows):
                    subset = lacks[rows[:, None], columns]
                    found = self._least_load(self.pack(subset), error[rows])
                    limit[rows] = np.minimum(limit[rows], found)
            alive = alive[limit[alive] > floor[alive]]
        return limit

    def _least_load(self, keys: Ints, error: Ints) -> Ints:
        if not len(self._keys):
            return np.full(len(keys), NO_LOAD, dtype=np.int64)
        rank = np.minimum(np.searchsorted(self._keys, keys), len(self._keys) - 1)
        known = self._keys[rank] == keys
        at = np.searchsorted(self._places, (rank << _ERROR_BITS) | error, side="right") - 1
        inside = known & (at >= 0) & (self._places[at] >> _ERROR_BITS == rank)
        return np.where(inside, self._least[at], NO_LOAD)

    def rebuild(self, keys: Ints, load: Ints, error: Ints) -> None:
        """Take these options as all there are."""
        self._keys, rank = np.unique(keys, return_inverse=True)
        order = np.lexsort((load, error, rank))
        rank, error, load = rank[order], error[order], load[order]
        self._places = (rank << _ERROR_BITS) | error
        self._least = _running_least(rank, load)


def _running_least(rank: Ints, load: Ints) -> Ints:
    """Within each run of equal rank the running minimum of load."""
    # Later ranks get lower bands, so that one running minimum over all never crosses back.
    band = int(load.max(initial=0)) + 1
    shifted = load - rank * band
    return np.minimum.accumulate(shifted) + rank * band


def undominated(keys: Ints, load: Ints, error: Ints) -> Ints:
    """Row numbers of the options that no other of the *same* lack beats; of equals the
    first."""
    order = np.lexsort((np.arange(len(keys)), load, error, keys))
    sorted_keys, sorted_load = keys[order], load[order]
    if not len(order):
        return order
    _, rank = np.unique(sorted_keys, return_inverse=True)
    least = _running_least(rank, sorted_load)
    first = np.ones(len(order), dtype=np.bool_)
    first[1:] = (rank[1:] != rank[:-1]) | (sorted_load[1:] < least[:-1])
    kept: Ints = np.sort(order[first])
    return kept
