"""Of many sets of gears, shown some at a time, those that cover most and second most."""

from __future__ import annotations

import numpy as np

from gearchest.optimizer.domain.arrays import Ints, Small

NOT_ALLOWED = -1
"""Stands for the weight of a set that does not keep the terms."""


class Leaders:
    """The sets that cover most and second most of all shown so far."""

    def __init__(self) -> None:
        self._by_weight: dict[int, list[Small]] = {}

    def take(self, weights: Ints, sets: Small) -> None:
        """Look at some sets; those of weight NOT_ALLOWED are passed over."""
        for _ in range(2):
            top = int(weights.max(initial=NOT_ALLOWED))
            if top == NOT_ALLOWED or (len(self._by_weight) == 2 and top < min(self._by_weight)):
                break
            rows = weights == top
            self._by_weight.setdefault(top, []).append(sets[rows])
            weights = np.where(rows, NOT_ALLOWED, weights)
        for weight in self._weights()[2:]:
            del self._by_weight[weight]

    def _weights(self) -> list[int]:
        return sorted(self._by_weight, reverse=True)

    def sets(self, place: int) -> Small:
        """Sets of the most (0) or second most (1) weight."""
        for weight in self._weights()[place : place + 1]:
            return np.concatenate(self._by_weight[weight])
        return np.zeros((0, 0), dtype=np.int16)
