"""Halves, what they lack and what two of them come to, against every choice of gears there is."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations_with_replacement, permutations, product
from math import prod

import numpy as np
import pytest
from drawn import MAKING, loose

from gearchest.optimizer.domain.gear import Chest, Place
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.stock import Stock, take_stock
from gearchest.optimizer.search import combine
from gearchest.optimizer.search.columns import across, in_order
from gearchest.optimizer.search.combine import (
    Halves,
    halves,
    join,
    lack_count,
    lacking,
    nth_of_kind,
)

LATHE = Lathe("bench", mm(2), MAKING, Chest(loose(20, 20, 30, 40)))
STOCK = take_stock(LATHE, [(MAKING.gear(z), n) for z, n in ((30, 1), (25, None), (60, 2))])
"""20 twice, 25 as often as one likes, 30 once and once more, 40 once, 60 twice."""


def lack(stock: Stock, row: tuple[int, ...]) -> list[int] | None:
    """Candidate numbers of what a row lacks, ascending; None where that can't be had."""
    found = []
    for gear, count in Counter(row).items():
        gone = count - int(stock.owned[gear])
        if gone > stock.addable[gear]:
            return None
        found += [int(stock.candidate[gear])] * gone
    return sorted(found)


def rows_of(stock: Stock, size: int, side: Place) -> list[tuple[int, ...]]:
    """Every half: one of its gears on the shaft at that end, the others on studs."""
    gears = range(len(stock.gears))
    may = stock.allowed
    return [
        row
        for row in combinations_with_replacement(gears, size)
        if any(may[side][gear] for gear in row)
        and all(may[side][gear] or (size > 1 and may[Place.STUD][gear]) for gear in row)
    ]


@pytest.mark.parametrize("most", [0, 1, 2, 3])
@pytest.mark.parametrize("size", [1, 2, 4])
def test_what_rows_lack_is_what_counting_says(size: int, most: int) -> None:
    """In whatever order their gears stand."""
    every = list(product(range(5), repeat=size))
    lacks, good = lacking(STOCK, np.array(every, dtype=np.int16), most)
    assert lacks.shape == (len(every), most)
    for row, told, can in zip(every, lacks.tolist(), good, strict=True):
        due = lack(STOCK, row)
        assert can == (due is not None and len(due) <= most)
        if due is not None and can:
            assert told == due + [-1] * (most - len(due))
    assert lack_count(lacks).tolist() == [most - row.count(-1) for row in lacks.tolist()]


def test_which_of_its_kind_each_gear_of_a_row_is() -> None:
    rows = np.array([[0, 0, 0, 0], [1, 1, 2, 2], [0, 3, 3, -1], [5, -1, -1, -1]], dtype=np.int16)
    told = nth_of_kind(rows)
    assert told[:2].tolist() == [[0, 1, 2, 3], [0, 1, 0, 1]]
    assert (told[2, :3].tolist(), told[3, 0]) == ([0, 0, 1], 0)


def test_more_may_lack_than_a_row_has_gears() -> None:
    lacks, good = lacking(STOCK, np.array([[1], [0]], dtype=np.int16), 3)
    assert (lacks.tolist(), good.tolist()) == ([[0, -1, -1], [-1, -1, -1]], [True, True])


@pytest.mark.parametrize("side", [Place.DRIVER, Place.SCREW])
@pytest.mark.parametrize("size", [1, 2, 3])
def test_halves_are_all_there_are_by_what_they_lack_and_by_their_product(
    size: int, side: Place
) -> None:
    """The 20 goes nowhere but on a stud, the 40 nowhere but on the first driver's shaft."""
    stud, driver = frozenset({Place.STUD}), frozenset({Place.DRIVER})
    gears = [replace(MAKING.gear(20), places=stud), replace(MAKING.gear(40), places=driver)]
    lathe = replace(LATHE, chest=Chest(loose(*gears, gears[0], 30)))
    stock = take_stock(lathe, [(MAKING.gear(z), n) for z, n in ((30, 1), (25, None))])
    for most in range(4):
        found = halves(stock, size, side, most)
        due = [(row, lacks) for row in rows_of(stock, size, side)
               if (lacks := lack(stock, row)) is not None and len(lacks) <= most]  # fmt: skip
        told = list(zip(map(tuple, found.gears.tolist()), found.lacks.tolist(), strict=True))
        assert len(told) == len(due)
        assert {(row, tuple(n for n in lacks if n >= 0)) for row, lacks in told} == {
            (row, tuple(lacks)) for row, lacks in due
        }
        assert found.product.tolist() == [prod(stock.teeth[list(row)]) for row, _ in told]
        assert len(found.groups) == most + 1
        assert found.sizes == [sum(len(n) == count for _, n in due) for count in range(most + 1)]
        for count, group in enumerate(found.groups):
            assert (np.diff(found.product[group]) >= 0).all()
            assert (lack_count(found.lacks[group]) == count).all()


def test_halves_with_only_some_candidates() -> None:
    """Nothing lacks the 30 any more; what lacks nothing stays, and each stays in its group."""
    every = halves(STOCK, 2, Place.DRIVER, 2)
    few = every.with_only(np.array([True, False, True]))
    kept = [k for k, lacks in enumerate(every.lacks.tolist()) if 1 not in lacks]
    assert 0 < len(kept) < len(every.gears)
    assert few.gears.tolist() == every.gears[kept].tolist()
    assert few.product.tolist() == every.product[kept].tolist()
    assert few.lacks.tolist() == every.lacks[kept].tolist()
    count = lack_count(few.lacks)
    assert few.sizes == [int((count == n).sum()) for n in range(3)]
    assert [group.start for group in few.groups] == [0, *np.cumsum(few.sizes)[:-1].tolist()]


LOW = np.array([0.5, 1.0, 4.0])
HIGH = np.array([2.0, 1.0, 1e9])
"""Bounds that powers of two hit to the last bit."""


def joined(drivers: Halves, driven: Halves, least: int, most: int) -> list[tuple[object, ...]]:
    found = []
    for combos, number in join(drivers, driven, LOW, HIGH, least, most):
        parts = combos.drivers.tolist(), combos.driven.tolist(), number.tolist()
        found += [(tuple(a), tuple(b), n) for a, b, n in zip(*parts, strict=True)]
    return found


@pytest.mark.parametrize("chunk", [1, 4, 50, 1 << 18])
@pytest.mark.parametrize(("least", "most"), [(0, 2), (1, 1), (2, 2), (0, 0), (1, 2)])
def test_joined_are_all_within_bounds_that_lack_so_many(
    monkeypatch: pytest.MonkeyPatch, least: int, most: int, chunk: int
) -> None:
    """Bounds included, each once, whatever is made at a time: more drivers than driven gears, and
    fewer."""
    monkeypatch.setattr(combine, "CHUNK", chunk)
    small = take_stock(replace(LATHE, chest=Chest(loose(20, 40))), [(MAKING.gear(80), None)])
    sparse = take_stock(replace(LATHE, chest=Chest(loose(20))), [(MAKING.gear(40), 1)])
    assert halves(sparse, 2, Place.DRIVER, 2).sizes == [0, 1, 0]
    pairs = [(STOCK, small), (small, STOCK), (STOCK, sparse), (sparse, STOCK)]
    for one, other in pairs[: 4 if most - least else 2]:
        drivers, driven = halves(one, 2, Place.DRIVER, 2), halves(other, 2, Place.SCREW, 2)
        due = [
            (tuple(a), tuple(b), n)
            for a, p, i in zip(drivers.gears.tolist(), drivers.product, lack_count(drivers.lacks),
                               strict=True)
            for b, q, j in zip(driven.gears.tolist(), driven.product, lack_count(driven.lacks),
                               strict=True)
            for n in range(3)
            if least <= i + j <= most and LOW[n] * q <= p <= HIGH[n] * q
        ]  # fmt: skip
        found = joined(drivers, driven, least, most)
        assert len(found) == len(set(found))
        assert set(found) == set(due)
        assert len(due) > 3


def test_no_more_is_made_at_a_time_than_a_chunk_or_the_mates_of_one_half(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(combine, "CHUNK", 40)
    every = halves(STOCK, 2, Place.DRIVER, 0)
    many = halves(STOCK, 3, Place.SCREW, 3)
    low, high = np.full(20, 1e-9), np.full(20, 1e9)
    parts = [len(number) for _, number in join(every, many, low, high, 0, 3)]
    groups = [size for size in many.sizes if size]
    assert sum(parts) == 20 * len(every.gears) * sum(groups)
    widest = [max(min(len(every.gears), size), max(len(every.gears), size)) for size in groups]
    assert max(parts) <= max(40, *widest)
    assert len(parts) < sum(parts) / 15


def test_rows_fold_and_sort_a_column_at_a_time() -> None:
    rows = np.array([[0, 2, 2], [1, 0, 2]], dtype=np.int16)
    assert across(np.multiply, np.array([2, 3, 5]), rows).tolist() == [50, 30]
    assert across(np.add, np.array([2, 3, 5]), rows[:, :1]).tolist() == [2, 3]
    for size in range(1, 7):
        every = np.array(list(permutations(range(size))))
        columns = in_order(list(every.T))
        assert np.column_stack(columns).tolist() == [list(range(size))] * len(every)


@pytest.mark.parametrize("pays", [0, 10**9])
def test_products_below_a_value_are_counted_one_by_one(
    monkeypatch: pytest.MonkeyPatch, pays: int
) -> None:
    """Looked up in a table or not: at products, a hair beside them, and far outside."""
    monkeypatch.setattr(combine, "_PAYS", pays)
    some = halves(STOCK, 3, Place.DRIVER, 2)
    for group, members in enumerate(some.groups):
        products = [float(one) for one in some.product[members]]
        near = [np.nextafter(one, one + side) for one in products for side in (-1, 0, 1)]
        values = np.array([-np.inf, -1.5, 0.0, *near, 1e300, np.inf])
        below, upto = some.below(group, values), some.below(group, values, or_at=True)
        assert below.tolist() == [sum(one < value for one in products) for value in values]
        assert upto.tolist() == [sum(one <= value for one in products) for value in values]
        assert (group in some.counted) == (pays > 0)
