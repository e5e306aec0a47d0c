"""Short rows of long arrays, worked a column at a time: numpy folds and sorts along a row of two
to eight many times slower than the same down as many columns."""

from __future__ import annotations

from functools import reduce
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from gearchest.optimizer.domain.arrays import Small

Kind = TypeVar("Kind", bound=np.generic)


def across(fold: np.ufunc, values: npt.NDArray[Kind], gears: Small) -> npt.NDArray[Kind]:
    """By row of gear indices, at least one of them, the fold of their values."""
    folded: npt.NDArray[Kind] = reduce(fold, (values[column] for column in gears.T))
    return folded


def in_order(columns: list[npt.NDArray[Any]]) -> list[npt.NDArray[Any]]:
    """The same rows, each ascending: neighbouring columns trade places, odd and even in turn."""
    columns = list(columns)
    for turn in range(len(columns)):
        for k in range(turn % 2, len(columns) - 1, 2):
            one, other = columns[k], columns[k + 1]
            columns[k], columns[k + 1] = np.minimum(one, other), np.maximum(one, other)
    return columns
