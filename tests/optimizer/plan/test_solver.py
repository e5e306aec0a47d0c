"""What is made of what the constraint solver says, whatever it says; and how long it is given."""

from __future__ import annotations

import threading
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from ortools.sat.python import cp_model
from plan_instances import Instance, gear
from stopping import StopsAt

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan import constraint
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.best_set import CONSTRAINT, EQUALLY_GOOD, BestSet, Total
from gearchest.optimizer.plan.constraint import best_set, cheapest_set
from gearchest.optimizer.plan.demand import Demand, SolverLimits
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.problem import COUNT, NUMBERS, WEIGHT
from gearchest.optimizer.plan.running import run
from gearchest.optimizer.plan.solve import AS_IT_IS, NOT_PROVEN, one_more, solve, unproven
from gearchest.optimizer.plan.watch import Progress, StoppedError, Watch

ONE = Fraction(1)

INSTANCE = Instance(
    [[((0,), 3, 1)], [((1,), 5, 2)], [((2,), 1, 4)], [((), 7, 0)], []],
    [Fraction(3), Fraction(2), ONE, Fraction(4), Fraction(9)],
    [Offer(gear(c), Fraction(price)) for c, price in enumerate((6, 2, 1))],
    candidates=3,
)
"""The lathe as it is covers 4; 0, 1 and 2 bring 3, 2 and 1. Prices are 6, 2 and 1."""

ALL = (0, 1, 2)


def totals(found: BestSet | None) -> list[tuple[str, int, int, bool]]:
    assert found
    return [(one.objective, one.value, one.bound, one.proven) for one in found.totals]


def proven(**values: int) -> list[tuple[str, int, int, bool]]:
    names = {"weight": WEIGHT, "demerits": Aim.DEMERITS, "money": Aim.MONEY, "error": Aim.ERROR,
             "count": COUNT, "numbers": NUMBERS}  # fmt: skip
    return [(names[name], value, value, True) for name, value in values.items()]


def test_every_objective_of_the_best_two_gears() -> None:
    """4 + 3 + 2 of weight; 4 x 7 + 3 x 3 + 2 x 5 demerits; errors of 3 x 1 + 2 x 2."""
    found = best_set(INSTANCE.problem(), 2, None, Watch())
    assert totals(found) == proven(weight=9, demerits=47, money=8, error=7, count=2, numbers=0)
    assert found
    assert (found.chosen, found.proven_by, found.stopped_by) == ((0, 1), CONSTRAINT, "")
    assert found.proven


def test_every_objective_of_the_cheapest_that_covers_a_weight_of_six() -> None:
    """Gear 1 for 2, or 2 and 1 for 3: with the 4 of the lathe as it is."""
    found = cheapest_set(INSTANCE.problem(), None, Watch(), demand=Demand(weight=6))
    assert totals(found) == proven(money=2, weight=6, demerits=38, error=4, count=1, numbers=0)
    assert found
    assert found.chosen == (1,)
    assert found.proven


@pytest.mark.parametrize(
    ("start", "floor", "first"),
    [((0, 1), 0, (Aim.MONEY, 2, 2, True)), ((1,), 2, (Aim.MONEY, 2, 2, True))],
)
def test_from_a_set_known_and_a_price_that_no_set_lies_below(
    start: tuple[int, ...], floor: int, first: tuple[str, int, int, bool]
) -> None:
    """Where the one costs no more than that the solver is not asked for money."""
    asked: list[str] = []
    watch = Watch(report=lambda said: asked.append(said.objective))
    demand = Demand(weight=6, money=floor)
    found = cheapest_set(INSTANCE.problem(), start, watch, SolverLimits(1), demand)
    assert totals(found)[0] == first
    assert totals(found)[1] == (WEIGHT, 6, 6, True)
    assert found
    assert found.chosen == (1,)
    assert (Aim.MONEY not in asked) or not floor


def test_all_that_can_be_covered_is_not_asked_for_again() -> None:
    asked: list[str] = []
    watch = Watch(report=lambda said: asked.append(said.objective))
    found = cheapest_set(INSTANCE.problem(), ALL, watch, SolverLimits(1), Demand(weight=10))
    assert totals(found)[:2] == proven(money=9, weight=10)
    assert WEIGHT not in asked


Run = Callable[[cp_model.CpSolver, cp_model.CpModel, Watch], Any]


def saying(*said: Any) -> Run:
    """Solves, and says of one objective after the other what it came to; the rest to the end."""
    answers = iter(said)

    def run(solver: cp_model.CpSolver, model: cp_model.CpModel, watch: Watch) -> Any:
        status = solver.solve(model)
        return next(answers, status)

    return run


@pytest.mark.parametrize("objectives", [0, 1, 2])
def test_an_objective_that_is_not_proven_ends_the_proof(
    objectives: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = [cp_model.OPTIMAL] * objectives + [cp_model.FEASIBLE]
    monkeypatch.setattr(constraint, "run", saying(*said))
    found = best_set(INSTANCE.problem(), 2, None, Watch())
    due = proven(weight=9, demerits=47, money=8)[: objectives + 1]
    assert totals(found) == [*due[:-1], (*due[-1][:3], False)]
    assert found
    assert (found.chosen, found.proven) == ((0, 1), False)
    assert found.stopped_by == "time limit of the step"


def test_nothing_found_in_time_is_not_that_there_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was known before stays; of the cheapest set no answer is made up."""
    problem = INSTANCE.problem()
    monkeypatch.setattr(constraint, "run", saying(*[cp_model.UNKNOWN] * 9))
    assert best_set(problem, 2, None, Watch()) is None
    found = best_set(problem, 2, (2,), Watch())
    assert found
    assert (found.chosen, totals(found)) == ((2,), [(WEIGHT, 5, 9, False)])  # 9 is its bound
    assert not found.proven
    with pytest.raises(StoppedError):
        cheapest_set(problem, None, Watch())
    monkeypatch.setattr(constraint, "run", saying(cp_model.INFEASIBLE))
    assert cheapest_set(problem, None, Watch()) is None


def test_a_watch_that_is_over_stops_it_before_the_solver_is_asked() -> None:
    watch = Watch()
    watch.stop()
    found = best_set(INSTANCE.problem(), 2, (1,), watch)
    assert found
    assert (found.chosen, found.totals, found.stopped_by) == ((1,), (), "interrupted")
    assert not found.proven
    assert best_set(INSTANCE.problem(), 2, None, watch) is None


class Hard:
    """A solver that goes on until it is told to stop."""

    class Parameters:
        random_seed = -1
        catch_sigint_signal = True

    def __init__(self) -> None:
        self.parameters, self.stopped = self.Parameters(), threading.Event()

    def solve(self, model: object) -> object:
        return cp_model.FEASIBLE if self.stopped.wait(60.0) else cp_model.UNKNOWN

    def stop_search(self) -> None:
        self.stopped.set()


def test_the_solver_is_stopped_where_the_watch_is() -> None:
    """It is looked at while the solver works, which takes no keys for itself."""
    solver, watch = Hard(), StopsAt(3)
    assert run(solver, cp_model.CpModel(), watch) == cp_model.FEASIBLE  # type: ignore[arg-type]
    assert not solver.parameters.catch_sigint_signal
    assert watch.looks >= 3


class Clock(Watch):
    """A watch that goes on by two seconds for each objective."""

    now = 0.0
    seconds = property(lambda self: self.now)  # type: ignore[assignment]


@pytest.mark.parametrize(
    ("limit", "step", "given"),
    [
        (None, None, [float("inf")] * 3),
        (100.0, None, [100.0, 98.0, 96.0]),
        (None, 5.0, [5.0, 3.0, 1.0]),
        (100.0, 5.0, [5.0, 3.0, 1.0]),
        (3.5, 5.0, [3.5, 1.5]),
        (None, 3.0, [3.0, 1.0, 0.0]),
    ],
)
def test_the_solver_is_given_what_the_step_and_the_watch_leave(
    limit: float | None, step: float | None, given: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    watch = Clock(limit)
    seen: list[tuple[float, int]] = []

    def run(solver: cp_model.CpSolver, model: cp_model.CpModel, watch: Clock) -> Any:
        parameters = solver.parameters
        seen.append((parameters.max_time_in_seconds, parameters.num_workers))
        parameters.max_time_in_seconds = 60.0
        status = solver.solve(model)
        watch.now += 2.0
        return status

    monkeypatch.setattr(constraint, "run", run)
    best_set(INSTANCE.problem(), 2, None, watch, SolverLimits(3, step))
    assert [seconds for seconds, _ in seen][: len(given)] == given
    assert {workers for _, workers in seen} == {3}


def test_what_is_told_meanwhile_is_in_figures_of_the_question() -> None:
    """Gears asked for, unless as many as it takes may be; weight and money as they are."""
    said: list[Progress] = []
    best_set(INSTANCE.problem(), 2, ALL[:2], Watch(report=said.append), SolverLimits(1))
    assert {one.most for one in said} <= {2}
    assert {one.best for one in said if one.objective == WEIGHT} <= {Fraction(9)}
    said.clear()
    cheapest_set(INSTANCE.problem(), ALL, Watch(report=said.append), SolverLimits(1), Demand(6))
    assert {one.most for one in said} == {None}
    assert {one.best for one in said if one.objective == Aim.MONEY} == {Fraction(9)}


def test_sets_that_do_as_well_are_found_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight gears do the same, at prices of 1 to 8: five are told beside the first, the cheapest
    first; none of fewer gears, and none that covers less."""
    instance = Instance(
        [[((c,), 0, 0) for c in range(8)], [((8,), 0, 0)]], [Fraction(2), ONE],
        [Offer(gear(c), Fraction(c + 1)) for c in range(9)], candidates=9,
    )  # fmt: skip
    looked = solve(instance.problem(), 1, Watch())[1]
    monkeypatch.setattr(Enumeration, "reaches", lambda self, size: False)
    solved = solve(instance.problem(), 1, Watch(), 1)
    assert [one.proven_by for one in solved] == [AS_IT_IS, CONSTRAINT]
    assert solved[1].equally_good == looked.equally_good == tuple((c,) for c in range(1, 6))
    assert EQUALLY_GOOD == 5
    assert solved[1].next_best is None
    two = solve(instance.problem(), 2, Watch(), 1)[2]
    assert two.equally_good == tuple((c, 8) for c in range(1, 6))


def test_one_gear_more_than_the_steps() -> None:
    steps = solve(INSTANCE.problem(), 1, Watch())
    more = one_more(INSTANCE.problem(), steps, Watch())
    assert more
    assert more.chosen == (0, 1)
    watch = Watch()
    watch.stop()
    assert one_more(INSTANCE.problem(), steps, watch) is None


def test_too_many_sets_are_not_looked_at_for_one_gear_more(monkeypatch: pytest.MonkeyPatch) -> None:
    steps = solve(INSTANCE.problem(), 1, Watch())
    asked: list[int] = []
    monkeypatch.setattr(Enumeration, "reaches", lambda self, size: asked.append(size))
    assert one_more(INSTANCE.problem(), steps, Watch()) is None
    assert asked == [2]


def test_of_a_set_not_proven_it_is_known_what_few_gears_can_cover() -> None:
    """One gear, and want 4 by two: of at most one gear no set covers more than 4 + 3 + 2 + 1."""
    options = [*INSTANCE.options[:4], [((0, 1), 0, 0)]]
    problem = Instance(options, INSTANCE.weights, INSTANCE.offers, candidates=3).problem()
    watch = Watch()
    watch.stop()
    for most, bound in ((0, 4), (1, 10), (2, 19)):
        found = unproven(problem, most, (), watch)
        assert totals(found) == [(WEIGHT, 4, bound, False)]
        assert (found.proven_by, found.stopped_by) == (NOT_PROVEN, "interrupted")


def test_each_step_is_reported_with_its_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """None where not all trains were looked for."""
    for whole in (True, False):
        said: list[Progress] = []
        solve(INSTANCE.problem(), 2, Watch(report=said.append), whole=whole)
        assert said == [
            Progress(1, WEIGHT, Fraction(7), Fraction(7) if whole else None),
            Progress(2, WEIGHT, Fraction(9), Fraction(9) if whole else None),
        ]
    assert len(solve(INSTANCE.problem(), 9, Watch(), past=False)) == 4  # three gears cover all
    assert len(solve(INSTANCE.problem(), 4, Watch())) == 5
    assert len(solve(INSTANCE.problem(), None, Watch())) == 4
    seven = Instance(
        [[((c,), 0, 0)] for c in range(7)], [ONE] * 7,
        [Offer(gear(c), ONE) for c in range(7)], candidates=7,
    )  # fmt: skip
    assert len(solve(seven.problem(), None, Watch())) == 1 + 5
    assert isinstance(solve(INSTANCE.problem(), 0, Watch())[0].totals[0], Total)
