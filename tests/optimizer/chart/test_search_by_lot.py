"""The parts of the search for a good chart, each against trying everything."""

from __future__ import annotations

import random
from itertools import product

import numpy as np
import pytest
from chart_questions import by_hand, by_lot, questions
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.chart import start as start_module
from gearchest.optimizer.chart.question import EMPTY, NEVER, AlikeThreads, ChartQuestion, put_on
from gearchest.optimizer.chart.start import _Search, good_order, rank

SEEDS = range(12)


def demerits(question: ChartQuestion, setups: list[int], thread: int) -> int:
    """Of the setup that suits a kind of thread best, for all of that kind."""
    of = question.threads[thread]
    cost = dict(zip(of.setups.tolist(), of.demerits.tolist(), strict=True))
    return min((cost[one] * of.count for one in setups if one in cost), default=NEVER)


@settings(max_examples=40, deadline=None)
@given(questions(), st.data())
def test_what_a_chart_is_ranked_by(question: ChartQuestion, data: st.DataObject) -> None:
    some = data.draw(st.lists(st.sampled_from(range(len(question))), unique=True))
    cost = sum(demerits(question, some, thread) for thread in range(len(question.threads)))
    assert rank(question, some) == (by_hand(question, some), cost)
    for setup in range(len(question)):
        ends = question.first[setup], question.last[setup]
        assert sum(ends) == by_hand(question, [setup])
        others = [by_hand(question, [one, setup]) - question.first[one] - question.last[setup]
                  for one in range(len(question))]  # fmt: skip
        assert question.onto(setup).tolist() == others
        assert [question.after(one)[setup] for one in range(len(question))] == others


def test_gears_put_on_one_by_one_and_many_at_once() -> None:
    """A kind that was not there, or another than was; not one taken off, not one that stays."""
    before = np.array([0, 0, -1, -1, 3], dtype=np.int16)
    after = np.array([0, 1, 2, -1, -1], dtype=np.int16)
    assert put_on(before, after) == 2
    assert put_on(after, before) == 2
    both = np.stack([before, after])
    assert put_on(both[:, None], both[None]).tolist() == [[0, 2], [2, 0]]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_few_setups_are_taken_down(seed: int) -> None:
    """One to four, the rest in their order; often neighbours, and often not."""
    search = _Search(by_lot(seed))
    order = list(range(7))
    gone = []
    for _ in range(60):
        left = search.thinned(order)
        assert left == sorted(set(left))
        gone.append([one for one in order if one not in left])
    assert {len(one) for one in gone} == {1, 2, 3, 4}
    apart = [one for one in gone if one[-1] - one[0] >= len(one)]
    assert 10 < len(apart) < 50
    assert search.thinned([]) == []
    assert search.thinned([5]) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_every_thread_is_served_and_no_setup_is_spare(seed: int) -> None:
    question = by_lot(seed)
    search = _Search(question)
    for begun in ([], [0], [3, 1], list(range(len(question)))):
        order = search.served(begun)
        assert len(set(order)) == len(order)
        assert question.serves[order].any(axis=0).all()
        for k in range(len(order)):
            rest = order[:k] + order[k + 1 :]
            if question.serves[rest].any(axis=0).all():
                assert rank(question, rest) > rank(question, order)


@pytest.mark.parametrize("seed", SEEDS)
def test_setups_in_an_order_are_chosen_anew_as_well_as_can_be(seed: int) -> None:
    """For the threads that each suits best any setup that serves all of them: of every choice, one
    for each place, none puts on fewer gears, and none as many at fewer demerits."""
    question = by_lot(seed)
    search = _Search(question)
    order = search.served([])
    suits = [
        min(range(len(order)), key=lambda k: (demerits(question, [order[k]], thread), k))
        for thread in range(len(question.threads))
    ]
    groups = [[t for t, k in enumerate(suits) if k == place] for place in range(len(order))]
    groups = [group for group in groups if group]
    layers = [
        [one for one in range(len(question)) if question.serves[one][group].all()]
        for group in groups
    ]
    best = min(
        (
            by_hand(question, chosen),
            sum(
                demerits(question, [one], thread)
                for one, group in zip(chosen, groups, strict=True)
                for thread in group
            ),
        )
        for chosen in product(*layers)
    )
    anew = search._chosen_anew(order)
    assert rank(question, anew) <= best
    assert rank(question, search.bettered(order)) <= rank(question, anew)


@pytest.mark.parametrize("seed", SEEDS)
def test_of_many_setups_those_near_are_looked_at(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Those that cost least in the place of one, of equals the first; all where they are few."""
    question = by_lot(seed)
    search = _Search(question)
    order = search.served([])
    for at, kinds in product(range(len(order)), ([0], [1], [2])):
        serving = [one for one in range(len(question)) if question.serves[one][kinds].all()]
        before, after = order[:at], order[at + 1 :]
        cost = {one: by_hand(question, [*before, one, *after]) for one in serving}
        due = sorted(serving, key=lambda one: (cost[one], one))
        monkeypatch.setattr(start_module, "_NEAR", 2)
        if len(serving) > 2:
            assert search._near(order, at, np.array(kinds)).tolist() == due[:2]
        monkeypatch.setattr(start_module, "_NEAR", len(serving))
        assert search._near(order, at, np.array(kinds)).tolist() == serving


@pytest.mark.parametrize("few", [1, 2, 5, 11, 30])
def test_of_very_many_setups_no_nearer_one_is_passed_over(
    few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    chance = random.Random(few)
    gears = np.array(
        [[chance.randint(-1, 3) for _ in range(6)] for _ in range(200)], dtype=np.int16
    )
    thread = AlikeThreads(np.arange(200), np.zeros(200, dtype=int))
    question = ChartQuestion(gears, np.full(6, EMPTY, dtype=np.int16), False, (thread,))
    monkeypatch.setattr(start_module, "_NEAR", few)
    search = _Search(question)
    for order, at in (([7, 8, 9], 1), ([7, 8, 9], 0), ([7, 8, 9], 2), ([7], 0)):
        rest = order[:at], order[at + 1 :]
        cost = [by_hand(question, [*rest[0], one, *rest[1]]) for one in range(200)]
        due = sorted(range(200), key=lambda one: (cost[one], one))
        assert search._near(order, at, np.array([0])).tolist() == due[:few]


def test_the_search_ends_at_once_where_it_is_told_to() -> None:
    looks: list[int] = []

    def over() -> bool:
        looks.append(1)
        return len(looks) > 2

    question = by_lot(3)
    order = good_order(question, 100, over)
    assert len(looks) == 3
    assert question.serves[order].any(axis=0).all()


def test_a_chart_to_begin_with_is_never_made_worse() -> None:
    for question in map(by_lot, SEEDS):
        every = list(range(len(question)))
        begun = good_order(question, 0, lambda: True, every)
        assert rank(question, begun) <= rank(question, every)
        assert begun == good_order(question, 0, lambda: True, begun)
