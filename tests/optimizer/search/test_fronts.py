"""What no other option beats, against every option compared with every other."""

from __future__ import annotations

import random
from collections import Counter
from itertools import combinations_with_replacement, product

import numpy as np
import pytest

from gearchest.optimizer.search.fronts import NO_COST, Fronts, best_of_each, less
from gearchest.optimizer.search.in_view import _unbeaten


def test_costs_compare_by_the_first_that_differs() -> None:
    every = list(product((0, 1, 5), repeat=3))
    pairs = list(product(every, repeat=2))
    one, other = (np.array([pair[k] for pair in pairs]) for k in (0, 1))
    assert less(one, other).tolist() == [a < b for a, b in pairs]


def lacks_of(kinds: int, most: int) -> list[tuple[int, ...]]:
    """Every lack of up to so many gears, one gear twice among them, padded."""
    return [
        (*some, *[-1] * (most - size))
        for size in range(most + 1)
        for some in combinations_with_replacement(range(kinds), size)
    ]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("width", [1, 2])
def test_the_limit_is_the_least_cost_of_what_lacks_a_part_of_it(seed: int, width: int) -> None:
    """Added in two goes, many lacks more than once; where it is down to what a row costs at least
    it need be no lower."""
    chance = random.Random(seed)
    every = lacks_of(4, 3)
    fronts = Fronts(4, 3, width)
    table = np.array(every, dtype=np.int16)
    assert len(set(fronts.pack(table).tolist())) == len(every)
    none = np.zeros((len(every), width), dtype=np.int64)
    assert (fronts.limit(table, none) == NO_COST).all()
    known: list[tuple[tuple[int, ...], tuple[int, ...]]] = []
    for _ in range(2):
        some = [chance.choice(every[1:]) for _ in range(12)]
        costs = [tuple(chance.randrange(1, 4) for _ in range(width)) for _ in some]
        known += zip(some, costs, strict=True)
        fronts.add(fronts.pack(np.array(some, dtype=np.int16)), np.array(costs))
        limit = fronts.limit(table, none)
        floor = np.array([[chance.randrange(4) for _ in range(width)] for _ in every])
        above = fronts.limit(table, floor)
        assert (floor >= 0).any()
        for lacks, told, least, own in zip(every, limit, above, floor, strict=True):
            wanted = Counter(n for n in lacks if n >= 0)
            under = [c for some, c in known if not Counter(n for n in some if n >= 0) - wanted]
            due = min(under, default=(NO_COST,) * width)
            assert tuple(told.tolist()) == due
            assert tuple(least.tolist()) == due or due <= tuple(least.tolist()) <= tuple(
                own.tolist()
            )


def test_the_best_of_each_kind_and_of_equals_the_first() -> None:
    keys = np.array([7, 3, 7, 3, 7, 9])
    costs = np.array([[2, 0], [1, 5], [1, 9], [1, 5], [1, 2], [0, 0]])
    assert best_of_each(keys, costs).tolist() == [1, 4, 5]
    assert best_of_each(keys[:0], costs[:0]).tolist() == []


def test_more_lacks_than_one_number_tells_apart_are_refused() -> None:
    """Up to 6 of 1,447 kinds: 1,448 to the 6th is below 2 to the 63rd, 1,449 to the 6th above."""
    assert 1448**6 < 2**63 < 1449**6
    fronts = Fronts(1447, 6, 1)
    lacks = np.array([[*range(1440, 1445), last] for last in (1445, 1446)], dtype=np.int16)
    fronts.add(fronts.pack(lacks[:1]), np.array([[2**60 + 1]]))
    limit = fronts.limit(lacks, np.zeros((2, 1), dtype=np.int64))
    assert limit.tolist() == [[2**60 + 1], [NO_COST]]
    with pytest.raises(OverflowError, match="up to 6 gears out of 1448 on offer"):
        Fronts(1448, 6, 1)


@pytest.mark.parametrize("seed", range(4))
def test_what_is_left_unbeaten_of_many_options(seed: int) -> None:
    chance = random.Random(seed)
    every = lacks_of(3, 3)
    lacks = [chance.choice(every) for _ in range(25)]
    rank = [chance.randrange(12) for _ in lacks]

    def beats(one: int, other: int) -> bool:
        part = not Counter(lacks[one]) - Counter(lacks[other]) - Counter([-1] * 3)
        costs = (rank[one], one) < (rank[other], other) if lacks[one] == lacks[other] else (
            rank[one] <= rank[other])  # fmt: skip
        return one != other and part and costs

    due = [row for row in range(25) if not any(beats(other, row) for other in range(25))]
    found = _unbeaten(np.array(lacks, dtype=np.int16), np.array(rank), 3, 3)
    assert found.tolist() == due
