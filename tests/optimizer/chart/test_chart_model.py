"""The constraint model of a chart against counting by hand what it counts."""

from __future__ import annotations

from itertools import combinations, pairwise, permutations

import numpy as np
import pytest
from chart_questions import by_hand, by_lot, changed, questions
from hypothesis import given, settings
from ortools.sat.python import cp_model

from gearchest.optimizer.chart import modelled as modelled_module
from gearchest.optimizer.chart.model import ChartModel
from gearchest.optimizer.chart.modelled import modelled
from gearchest.optimizer.chart.question import EMPTY, AlikeThreads, ChartQuestion
from gearchest.optimizer.chart.start import rank
from gearchest.optimizer.chart.weigh import weighed
from gearchest.optimizer.plan.watch import Watch


def in_order(question: ChartQuestion, order: tuple[int, ...]) -> int:
    """Gears put on along an order, a step of two and more counting two; what hangs before the usual
    train is hung again is the last, or any after which two are counted though it were fewer."""
    start = tuple(question.start.tolist())
    hung = [tuple(question.gears[k].tolist()) for k in order]
    steps = [min(2, changed(a, b)) for a, b in pairwise(hung)]
    first = changed(start, hung[0]) + sum(steps)
    back = [changed(one, start) if question.back else 0 for one in hung]
    ends = [2 - step + end for step, end in zip(steps, back, strict=False)]
    return first + min([*ends, back[-1]])


def put_on_once(question: ChartQuestion, setups: tuple[int, ...]) -> int:
    """Every gear that hangs in a place and did not at the start, and every gear of the start whose
    place holds another once, or none, where it is hung again."""
    start = question.start.tolist()
    told: set[tuple[int, int]] = set()
    for setup in setups:
        for place, gear in enumerate(question.gears[setup].tolist()):
            if gear == start[place]:
                continue
            if gear != EMPTY:
                told.add((place, gear))
            if question.back and start[place] != EMPTY:
                told.add((place, EMPTY))
    return len(told)


def counted(question: ChartQuestion) -> int:
    """Over every choice of setups that serves all threads."""
    every = range(len(question))
    return min(
        max(min(in_order(question, order) for order in permutations(some)),
            put_on_once(question, some))
        for count in range(1, len(question) + 1)
        for some in combinations(every, count)
        if question.serves[list(some)].any(axis=0).all()
    )  # fmt: skip


def solved(model: ChartModel) -> tuple[int, list[int]]:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model.model) == cp_model.OPTIMAL
    hung = [s for s, one in enumerate(model.hung) if solver.boolean_value(one)]
    return round(solver.objective_value), hung


@settings(max_examples=40, deadline=None)
@given(questions(most_threads=4, most_setups=5))
def test_the_model_counts_what_it_says(question: ChartQuestion) -> None:
    least, hung = solved(ChartModel(question))
    assert least == counted(question)
    assert question.serves[hung].any(axis=0).all()
    assert max(min(in_order(question, order) for order in permutations(hung)),
               put_on_once(question, tuple(hung))) == least  # fmt: skip


@pytest.mark.parametrize("seed", range(6))
def test_charts_that_need_more_gears_than_one_known_are_left_out(seed: int) -> None:
    question = by_lot(seed)
    best = weighed(question)
    model = ChartModel(question)
    model.at_most(best)
    least, _ = solved(model)
    assert least <= question.changes(best)
    model.model.add(model.changes > question.changes(best))
    assert cp_model.CpSolver().solve(model.model) == cp_model.INFEASIBLE


@pytest.mark.parametrize("seed", range(6))
def test_a_chart_is_bettered_and_bounded(seed: int) -> None:
    """From a chart with every setup in it; from the best there is none better."""
    question = by_lot(seed)
    best = weighed(question)
    every = list(range(len(question)))
    order, bound = modelled(question, every, Watch(), 0.4)
    assert rank(question, best) <= rank(question, order) < rank(question, every)
    assert question.serves[order].any(axis=0).all()
    assert bound == solved(ChartModel(question))[0] <= by_hand(question, best)
    order, again = modelled(question, best, Watch(), None)
    assert rank(question, order) == rank(question, best)
    assert again == bound


@pytest.mark.parametrize("seconds", [None, 0.25])
@pytest.mark.parametrize("limit", [None, 50.0])
def test_how_long_the_solver_may_take(
    seconds: float | None, limit: float | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the watch leaves, and so many of its own seconds; where it finds nothing in time the
    chart stays, and what it proves is less than nothing or nothing."""
    given: list[tuple[float, float, int]] = []

    class Clock(Watch):
        remaining = property(lambda self: limit)  # type: ignore[assignment]

    def run(solver: cp_model.CpSolver, model: cp_model.CpModel, watch: Watch) -> object:
        told = solver.parameters
        given.append((told.max_time_in_seconds, told.max_deterministic_time, told.num_workers))
        told.max_time_in_seconds = 60.0
        solver.solve(model)
        return cp_model.UNKNOWN

    monkeypatch.setattr(modelled_module, "run", run)
    question = by_lot(1)
    every = list(range(len(question)))
    order, bound = modelled(question, every, Clock(), seconds)
    endless = float("inf")
    assert given == [(limit or endless, seconds or endless, 1)]
    assert order == every
    assert bound >= 0


def test_one_setup_that_hangs_already_takes_nothing() -> None:
    gears = np.array([[0, 1], [2, 1]], dtype=np.int16)
    thread = AlikeThreads(np.array([0, 1]), np.array([3, 0]))
    question = ChartQuestion(gears, gears[0], True, (thread,))
    assert solved(ChartModel(question)) == (0, [0])


def test_the_usual_train_is_hung_again_after_a_setup_that_hangs() -> None:
    """Three gears, and two for each of two setups more, and one at the end, in any order; a fourth
    setup would leave nothing to hang again, but takes a gear itself."""
    gears = np.array([[1, 1, 0], [1, 2, 1], [2, 1, 1], [9, 5, EMPTY]], dtype=np.int16)
    threads = tuple(
        AlikeThreads(np.array(some), np.zeros(len(some), int)) for some in ([0, 3], [0], [1], [2])
    )
    question = ChartQuestion(gears, np.array([9, EMPTY, EMPTY], dtype=np.int16), True, threads)
    assert put_on_once(question, (0, 1, 2)) == 7
    assert solved(ChartModel(question))[0] == counted(question) == 8
    assert question.changes(weighed(question)) == 8
