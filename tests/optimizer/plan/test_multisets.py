"""Numbers of multisets, the leaders of many, and what many sets use: against plain counting."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations_with_replacement
from math import comb

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, gear, instances

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan import judge as judge_module
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.judge import Judge
from gearchest.optimizer.plan.leaders import NOT_ALLOWED, Leaders
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.multisets import LARGEST_SIZE, Numbering
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import held_rows, worth

FEW = st.integers(0, 4)


@pytest.mark.parametrize("things", [0, 1, 2, 5])
def test_multisets_are_numbered_by_their_last_member_then_the_one_before(things: int) -> None:
    numbering = Numbering(things)
    for size in range(5):
        every = sorted(combinations_with_replacement(range(things), size), key=lambda s: s[::-1])
        assert numbering.sets(size).tolist() == [list(one) for one in every]
        assert numbering.count(size) == len(every)
        assert numbering.number(numbering.sets(size)).tolist() == list(range(len(every)))
        for last in range(things if size else 0):
            assert numbering.first(last, size) == next(
                n for n, one in enumerate(every) if one[-1] == last
            )
            ending_below = [one for one in every if one[-1] < last]
            assert numbering.count(size, last) == len(ending_below)


def test_the_largest_size_has_numbers_too() -> None:
    numbering = Numbering(3)
    sets = np.array([[0] * LARGEST_SIZE, [2] * LARGEST_SIZE], dtype=np.int16)
    assert numbering.number(sets).tolist() == [0, comb(LARGEST_SIZE + 2, 2) - 1]


@given(st.lists(st.lists(st.tuples(st.integers(-1, 5), FEW), max_size=6), max_size=5))
def test_the_two_greatest_weights_of_all_shown_in_parts(
    parts: list[list[tuple[int, int]]],
) -> None:
    """Those of -1 do not keep the terms; the sets stand as they were shown."""
    leaders = Leaders()
    for part in parts:
        weights = np.array([weight for weight, _ in part], dtype=np.int64)
        leaders.take(weights, np.array([[c] for _, c in part], dtype=np.int16).reshape(-1, 1))
    shown = [one for part in parts for one in part if one[0] != NOT_ALLOWED]
    greatest = sorted({weight for weight, _ in shown}, reverse=True)[:2]
    for place in (0, 1):
        due = [[c] for weight, c in shown if [weight] == greatest[place : place + 1]]
        assert leaders.sets(place).tolist() == due


@settings(max_examples=20, deadline=None)
@given(instances(), st.integers(0, 4), st.sampled_from([0, 1, judge_module._TABLE]))
def test_many_sets_at_once_are_judged_as_each_by_itself(
    instance: Instance, size: int, table: int
) -> None:
    """Whether rows are looked up in a table of all sets or worked out for those asked."""
    problem = instance.problem()
    every = Enumeration(problem)
    judge = Judge(problem, every.active, every.numbering)
    sets = every.numbering.sets(size)[::3]
    sets = sets[[(np.bincount(one, minlength=1) <= 9).all() for one in sets]]
    asked = [tuple(every.active[one].tolist()) for one in sets]
    kept = [
        k for k, chosen in enumerate(asked)
        if all(chosen.count(c) <= len(problem.prices[c]) for c in chosen)
    ]  # fmt: skip
    sets, asked = sets[kept], [asked[k] for k in kept]
    if not asked:
        return
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(judge_module, "_TABLE", table)
        used = judge.used(sets)
        weights, totals = judge.totals(sets)
    none = len(problem.options.want)
    for row, weight, total, chosen in zip(used, weights, totals, asked, strict=True):
        value = worth(problem, chosen)
        assert [one for one in row.tolist() if one != none] == value.used.tolist()
        assert weight == value.weight
        assert total.tolist() == [value.totals[aim] for aim in problem.aims]
        held = [
            k for k in range(none)
            if all(
                problem.options.missing[k].tolist().count(c) <= chosen.count(c)
                for c in problem.options.missing[k].tolist() if c >= 0
            )
        ]  # fmt: skip
        assert held_rows(problem, chosen).tolist() == held


@settings(max_examples=12, deadline=None)
@given(instances(), st.integers(1, 4), st.sampled_from([1, 2, 7]))
def test_the_best_few_of_many_sets(instance: Instance, most: int, batch: int) -> None:
    """By the aims in their order, then by smaller numbers, whatever the batches."""
    problem = instance.problem()
    every = Enumeration(problem)
    sets = np.array(
        [s for s in every.kept(2).sets.tolist()
         if all(s.count(c) <= len(problem.prices[every.active[c]]) for c in s)],
        dtype=np.int16,
    ).reshape(-1, 2)  # fmt: skip
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(judge_module, "_BATCH", batch)
        best = every.judge.best(sets, most, Watch())
    assert best is not None
    by_hand = sorted(
        (
            [worth(problem, chosen).totals[aim] for aim in problem.aims], chosen,
        )
        for chosen in (tuple(every.active[one].tolist()) for one in sets)
    )  # fmt: skip
    assert best == [chosen for _, chosen in by_hand[:most]]
    assert Aim.MONEY in problem.aims


@pytest.mark.parametrize("table", [0, 1, judge_module._TABLE])
@pytest.mark.parametrize("size", range(5))
def test_options_of_every_width_are_used(
    size: int, table: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The more gears an option lacks the better it is; no, one, two and three of four kinds."""
    monkeypatch.setattr(judge_module, "_TABLE", table)
    lacks = [(), (0,), (1,), (0, 1), (1, 1), (2, 3), (0, 1, 2), (1, 1, 3), (3, 3, 3)]
    instance = Instance(
        [[(some, 9 - 2 * len(some), 0) for some in lacks[start:]] for start in range(4)],
        [Fraction(1), Fraction(3), Fraction(5), Fraction(7)],
        [Offer(gear(c), Fraction(c + 1)) for c in range(4)], candidates=4,
    )  # fmt: skip
    problem = instance.problem()
    judge = Enumeration(problem).judge
    sets = judge.numbering.sets(size)
    kept = [
        row for row in sets.tolist()
        if all(row.count(c) <= len(problem.prices[c]) for c in row)
    ]  # fmt: skip
    if not kept:
        return
    used = judge.used(np.array(kept, dtype=np.int16).reshape(len(kept), size))
    for row, chosen in zip(used.tolist(), kept, strict=True):
        due = worth(problem, tuple(chosen)).used.tolist()
        assert [one for one in row if one != len(problem.options.want)] == due


@pytest.mark.parametrize("batch", [1, 2])
def test_a_set_shown_later_wins_by_the_first_aim_whatever_it_costs(
    batch: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Gear 0 for nothing, with five demerits; gear 1 for 100, with one; gear 2 with nine."""
    monkeypatch.setattr(judge_module, "_BATCH", batch)
    instance = Instance(
        [[((0,), 5, 0), ((1,), 1, 0), ((2,), 9, 0)]], [Fraction(1)],
        [Offer(gear(c), Fraction(price)) for c, price in enumerate((0, 100, 1))], candidates=3,
    )  # fmt: skip
    judge = Enumeration(instance.problem()).judge
    sets = np.array([[0], [2], [1]], dtype=np.int16)
    assert judge.best(sets, 1, Watch()) == [(1,)]
    assert judge.best(sets, 2, Watch()) == [(1,), (0,)]


def test_every_copy_of_a_gear_has_its_own_price() -> None:
    """The first for 1, two for 5, as many as may be for 7."""
    sources = [(1, 1), (5, 2), (7, None)]
    offers = [Offer(gear(0), Fraction(price), copies=copies) for price, copies in sources]
    instance = Instance(
        [[((0, 0, 0, 0), 0, 0)], [((1, 1), 0, 0)]], [Fraction(1)] * 2,
        [*offers, Offer(gear(1), Fraction(2))], candidates=2,
    )  # fmt: skip
    judge = Enumeration(instance.problem()).judge
    money = judge.problem.aims.index(Aim.MONEY)
    for chosen, price in {(0, 0, 0, 0): 18, (0, 0, 0, 1): 13, (0, 0, 1, 1): 10}.items():
        _, totals = judge.totals(np.array([chosen], dtype=np.int16))
        assert totals[0, money] == price == judge.problem.price(chosen)


def test_a_watch_that_is_over_stops_the_judging() -> None:
    instance = Instance([[((0,), 1, 1)]], [1], [], candidates=1)  # type: ignore[list-item]
    every = Enumeration(instance.problem())
    watch = Watch()
    watch.stop()
    assert every.judge.best(np.zeros((1, 0), dtype=np.int16), 1, watch) is None
    assert every.judge.best(np.zeros((0, 0), dtype=np.int16), 1, watch) == []
