"""Rows told apart as numbers, against numpy's own way over rows."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from gearchest.optimizer.domain.arrays import distinct, values_in


@given(st.integers(0, 9), st.integers(0, 12), st.sampled_from((1, 2, 300, 1 << 40)), st.data())
def test_rows_differ_as_numpy_says(
    columns: int, count: int, most: int, data: st.DataObject
) -> None:
    """Rows of one number, and such as take up far more than one."""
    row = st.lists(st.integers(-most, most), min_size=columns, max_size=columns)
    rows = np.array([data.draw(row) for _ in range(count)], dtype=np.int64).reshape(count, columns)
    first, number = distinct(rows)
    if columns == 0:
        assert (len(first), number.tolist()) == (min(count, 1), [0] * count)
        return
    values, at, of = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    assert rows[first].tolist() == values.tolist()
    assert first.tolist() == at.tolist()
    assert number.tolist() == of.ravel().tolist()


@given(st.lists(st.integers(0, 40), max_size=30))
def test_values_are_those_there_are(row: list[int]) -> None:
    assert values_in(np.array(row, dtype=np.int16)) == sorted(set(row))
