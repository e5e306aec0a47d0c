"""Setups and their order, on questions drawn at random, against every choice in every order."""

from __future__ import annotations

import random
from collections.abc import Callable
from itertools import permutations

import numpy as np
import pytest
from chart_questions import by_hand, by_lot, exhaustive, questions
from hypothesis import given, settings
from ortools.sat.python import cp_model

from gearchest.optimizer.chart import share as share_module
from gearchest.optimizer.chart import start as start_module
from gearchest.optimizer.chart.bound import by_setups
from gearchest.optimizer.chart.model import ChartModel
from gearchest.optimizer.chart.order import EXACT, best_order
from gearchest.optimizer.chart.question import EMPTY, AlikeThreads, ChartQuestion
from gearchest.optimizer.chart.share import Pace, share
from gearchest.optimizer.chart.start import good_order
from gearchest.optimizer.chart.weigh import can_be_weighed, weighed
from gearchest.optimizer.plan.watch import Watch


@settings(max_examples=150, deadline=None)
@given(questions())
def test_weighing_every_chart_equals_exhaustive_search(question: ChartQuestion) -> None:
    assert can_be_weighed(question)
    order = weighed(question)
    assert len(set(order)) == len(order)
    assert question.changes(order) == by_hand(question, order)
    assert (question.changes(order), question.cost(order)) == exhaustive(question)


@settings(max_examples=60, deadline=None)
@given(questions())
def test_bounds_are_bounds_and_charts_are_charts(question: ChartQuestion) -> None:
    """What is not weighed: no chart found beats the best, and no bound lies above it."""
    least, _ = exhaustive(question)
    found = good_order(question, 20, lambda: False)
    assert question.serves[found].any(axis=0).all()
    assert question.changes(found) >= least
    assert by_setups(question, Watch()) <= least
    model = ChartModel(question)
    model.at_most(found)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model.model) == cp_model.OPTIMAL
    assert round(solver.best_objective_bound) <= least


def test_bounds_lie_as_near_as_they_did() -> None:
    """Of forty questions the model settles 37; counting setups leaves 187 gears open in all."""
    tight = left_open = 0
    for question in map(by_lot, range(40)):
        best = question.changes(weighed(question))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        assert solver.solve(ChartModel(question).model) == cp_model.OPTIMAL
        bound, counted = round(solver.best_objective_bound), by_setups(question, Watch())
        assert max(bound, counted) <= best
        tight += bound == best
        left_open += best - counted
    assert tight >= 37
    assert left_open <= 187


@settings(max_examples=40, deadline=None, derandomize=True)
@given(questions(most_threads=5, most_setups=12))
def test_the_search_finds_what_weighing_does(question: ChartQuestion) -> None:
    order = good_order(question, 60, lambda: False)
    assert question.changes(order) == question.changes(weighed(question))


@given(questions(most_setups=6))
def test_the_best_order_of_given_setups(question: ChartQuestion) -> None:
    setups = range(len(question))
    order = best_order(question, list(setups))
    assert sorted(order) == list(setups)
    assert by_hand(question, order) == min(by_hand(question, way) for way in permutations(setups))


def test_longer_orders_are_bettered() -> None:
    """Two drivers and eight screw gears, every pair hung, told by columns: each of the fifteen
    steps of the best order puts on one gear, and the first two."""
    gears = np.array([(a, b) for b in range(8) for a in range(2)], dtype=np.int16)
    start = np.full(2, EMPTY, dtype=np.int16)
    served = tuple(AlikeThreads(np.array([k]), np.array([0])) for k in range(len(gears)))
    question = ChartQuestion(gears, start, False, served)
    assert len(gears) > EXACT
    turned = [k for pair in range(8) for k in ((2 * pair + 1, 2 * pair)[:: (-1) ** pair])]
    assert question.changes(best_order(question, [0, 3, 1, *range(4, 16), 2])) <= 20
    assert question.changes(turned) == 17


@pytest.mark.parametrize(("seed", "count"), [(8, 11), (34, 11), (295, 11), (3, 10)])
def test_runs_of_one_two_and_three_setups_are_moved(seed: int, count: int) -> None:
    """Eleven setups in an order by lot, chosen so that without any of the three lengths one stays
    short of the best order, which weighing them all finds; and ten, for which moving runs does not
    do, so that every order is weighed."""
    draw = random.Random(seed)
    drawn: set[tuple[int, ...]] = set()
    while len(drawn) < count:
        drawn.add(tuple(draw.choice([EMPTY, 0, 1, 2]) for _ in range(4)))
    gears = np.array(sorted(drawn, key=lambda _: draw.random()), dtype=np.int16)
    start = np.full(4, EMPTY, dtype=np.int16)
    served = tuple(AlikeThreads(np.array([k]), np.array([0])) for k in range(count))
    question = ChartQuestion(gears, start, False, served)
    assert (count > EXACT) == (count == 11)
    order = best_order(question, range(count))
    assert by_hand(question, order) == by_hand(question, weighed(question))


@settings(max_examples=25, deadline=None)
@given(question=questions(most_threads=5, most_setups=10))
def test_what_is_called_proven_is(question: ChartQuestion) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(share_module, "can_be_weighed", lambda question: False)
        found = share(question, Watch())
    assert found.bound <= exhaustive(question)[0] <= question.changes(found.order)
    assert not found.weighed


def test_taking_off_alone_leads_to_a_setup_for_nothing() -> None:
    """One gear, two, the other alone, with a third, that alone: three put on for five setups."""
    gears = [(0, -1, -1), (0, 0, -1), (-1, 0, -1), (-1, 0, 0), (-1, -1, 0)]
    served = tuple(AlikeThreads(np.array([k]), np.array([0])) for k in range(5))
    start = np.full(3, EMPTY, dtype=np.int16)
    question = ChartQuestion(np.array(gears, dtype=np.int16), start, False, served)
    assert question.changes(weighed(question)) == exhaustive(question)[0] == 3
    assert by_setups(question, Watch()) <= 3


def test_a_watch_that_is_over_leaves_a_chart() -> None:
    """Whatever the clock says every thread is served; a bound of nothing claims nothing."""
    gears = np.array([(k % 7, k // 7) for k in range(49)], dtype=np.int16)
    start = np.full(2, EMPTY, dtype=np.int16)
    served = tuple(AlikeThreads(np.arange(k, 49, 13), np.zeros(len(range(k, 49, 13)), int))
                   for k in range(13))  # fmt: skip
    question = ChartQuestion(gears, start, False, served)
    watch = Watch()
    watch.stop()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(share_module, "can_be_weighed", lambda question: False)
        found = share(question, watch)
    assert question.serves[list(found.order)].any(axis=0).all()
    assert found.bound <= question.changes(found.order)


@pytest.mark.parametrize(
    ("pace", "remaining"),
    [(Pace.THOROUGH, 10.0), (Pace.THOROUGH, None), (Pace.USUAL, 10.0), (Pace.HURRIED, 10.0)],
)
def test_how_long_is_looked(pace: Pace, remaining: float | None) -> None:
    """Where somebody gave ten seconds and waits, four are for the search, however many rounds; else
    the rounds are counted, in a hurry a sixth of them."""
    gears = np.array([(k % 7, k // 7) for k in range(49)], dtype=np.int16)
    start = np.full(2, EMPTY, dtype=np.int16)
    served = tuple(AlikeThreads(np.array([k]), np.array([0])) for k in range(20))
    question = ChartQuestion(gears, start, False, served)
    asked: list[tuple[int, list[bool]]] = []

    class Clock(Watch):
        now = 1.0
        seconds = property(lambda self: self.now)
        remaining = property(lambda self: remaining)

    watch = Clock(remaining)

    def searched(_: ChartQuestion, rounds: int, over: Callable[[], bool]) -> list[int]:
        ends = []
        for watch.now in (1.0, 4.9, 5.1, 9.0):  # it began at 1
            ends.append(over())
        asked.append((rounds, ends))
        return list(range(20))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(share_module, "good_order", searched)
        patch.setattr(share_module, "MOST_MODELLED", 0)
        share(question, watch, pace)
    ((rounds, ends),) = asked
    counted = 800 if pace is Pace.USUAL or remaining is None else 800 // 6
    if pace is Pace.THOROUGH and remaining is not None:
        assert rounds > 10**6
        assert ends == [False, False, True, True]
    else:
        assert rounds == counted
        assert not any(ends)


@pytest.mark.parametrize("seed", range(6))
def test_what_a_setup_costs_more_in_each_gap(seed: int) -> None:
    """By putting it there and counting anew."""
    question = by_lot(seed)
    search = start_module._Search(question)
    setups = range(len(question))
    for order in ([], [2], [3, 0, 4], list(setups)[::-1]):
        alone = by_hand(question, order)
        counted = [
            [by_hand(question, [*order[:gap], one, *order[gap:]]) - alone for one in setups]
            for gap in range(len(order) + 1)
        ]
        assert [gap.tolist() for gap in search._gaps(order)] == counted
        some = [gap.tolist() for gap in search._gaps(order, 1, 3)]
        assert some == counted[1:3] or not order


def test_the_search_comes_as_far_as_it_did() -> None:
    """Setups and threads by lot, too many to weigh: gears put on, and demerits, as begun and after
    three rounds."""
    found = [[0, 0], [0, 0]]
    for seed in range(12):
        draw = random.Random(seed)
        some = sorted(
            {tuple(draw.choice([EMPTY, 0, 1, 2, 3, 4]) for _ in range(5)) for _ in range(45)}
        )
        start = np.array(draw.choice(some) if seed % 2 else (EMPTY,) * 5, dtype=np.int16)
        threads = []
        for _ in range(14):
            served = sorted(draw.sample(range(len(some)), draw.randint(1, 6)))
            demerits = np.array([draw.randint(0, 4) for _ in served])
            threads.append(AlikeThreads(np.array(served), demerits, draw.choice([1, 1, 2])))
        gears = np.array(some, dtype=np.int16)
        question = ChartQuestion(gears, start, bool(seed % 2), tuple(threads))
        for totals, rounds in zip(found, (0, 3), strict=True):
            order = good_order(question, rounds, lambda: False)
            totals[0] += by_hand(question, order)
            totals[1] += question.cost(order)
    assert found[0] <= [229, 383]
    assert found[1] <= [225, 390]


def test_gaps_told_by_parts_are_those_told_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Thirty setups, each for a thread of its own, so that parts are parted."""
    chance = random.Random(5)
    gears = np.array([[chance.randint(0, 6) for _ in range(6)] for _ in range(60)], dtype=np.int16)
    threads = tuple(AlikeThreads(np.array([k, k + 30]), np.zeros(2, dtype=int)) for k in range(30))
    question = ChartQuestion(gears, np.full(6, EMPTY, dtype=np.int16), False, threads)
    found = []
    for size in (1, 2, 100):
        monkeypatch.setattr(start_module, "_PART", size)
        found.append(good_order(question, 3, lambda: False))
    assert len(found[0]) == 30
    assert found == [found[0]] * 3
