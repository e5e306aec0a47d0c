"""What a plan has looked for, in which order, and how much of the time each part may take."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from worked_bench import BENCH, MAKING, OFFERS, OTHER, WANTS, teeth

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan import constraint as constraint_module
from gearchest.optimizer.plan import near_ways, planner
from gearchest.optimizer.plan import solve as solve_module
from gearchest.optimizer.plan.aims import USUAL, Aim, first_of_all, minded_first
from gearchest.optimizer.plan.demand import Demand, SolverLimits
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.goal import Cover
from gearchest.optimizer.plan.planner import SEARCH, Question, make_plan
from gearchest.optimizer.plan.problem import Chosen, Problem
from gearchest.optimizer.plan.result import Advice, Grounds, Plan
from gearchest.optimizer.plan.watch import Progress, StoppedError, Watch
from gearchest.optimizer.plan.whatif import what_if
from gearchest.optimizer.search.finder import Finder
from gearchest.optimizer.search.options import OptionTable
from gearchest.optimizer.search.search import Candidates

TWO_STUDS = replace(BENCH, name="two studs", unmeasured_studs=2)


class Noting(Finder):
    """Notes what it is asked: lathe, gears lacked at most, whether something stands in that is
    known, whether progress is heard; and with what."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: list[tuple[str, int, bool, bool]] = []
        self.candidates: list[Candidates] = []
        self.how: list[dict[str, Any]] = []

    def find(
        self, lathe: Lathe, wants: Sequence[Want], candidates: Candidates, most_missing: int,
        **how: Any,
    ) -> OptionTable:  # fmt: skip
        known = isinstance(how["instead"], OptionTable) and how["instead"].most_missing >= 0
        self.asked.append((lathe.name, most_missing, known, how.get("progress") is not None))
        self.candidates.append(candidates)
        self.how.append(how)
        return super().find(lathe, wants, candidates, most_missing, **how)


def planned(
    *lathes: Lathe, watch: Watch | None = None, finder: Finder | None = None, **asked: Any
) -> Plan:
    return make_plan(
        list(lathes), WANTS[:3], OFFERS, Question(**asked), watch or Watch(), making_tables(),
        finder or Finder(),
    )  # fmt: skip


def searches(*lathes: Lathe, limit: float | None = None, **asked: Any) -> list[Any]:
    finder = Noting()
    planned(*lathes, watch=Watch(limit), finder=finder, **asked)
    return finder.asked


def test_over_one_stud_all_is_looked_for_at_once() -> None:
    assert searches(BENCH, most=2) == [("bench", 2, False, True)]
    assert searches(BENCH, most=0) == [("bench", 0, False, True)]
    assert searches(BENCH, OTHER, missing=1) == [
        ("bench", 1, False, True), ("other", 1, False, True),
    ]  # fmt: skip


def test_over_two_studs_what_the_gears_owned_do_is_looked_for_first() -> None:
    assert searches(TWO_STUDS, missing=2) == [
        ("two studs", 0, False, False), ("two studs", 2, True, True),
    ]  # fmt: skip
    assert searches(TWO_STUDS, most=0) == [("two studs", 0, False, False)]
    assert searches(BENCH, TWO_STUDS, missing=1) == [
        ("bench", 0, False, False), ("two studs", 0, False, False),
        ("bench", 1, True, True), ("two studs", 1, True, True),
    ]  # fmt: skip


def test_with_a_deadline_trains_that_lack_fewer_gears_are_looked_for_first() -> None:
    assert searches(BENCH, limit=600.0, missing=3) == [
        ("bench", 0, False, False), ("bench", 1, True, False), ("bench", 2, True, False),
        ("bench", 3, True, True),
    ]  # fmt: skip
    assert searches(BENCH, limit=600.0, most=0) == [("bench", 0, False, False)]


def test_what_the_search_is_told() -> None:
    """Of a gear from two sources the copies of both, any number where one has any; none that is to
    stay out; the costs of trains in the order of the aims."""
    finder = Noting()
    terms = Terms(keep_out=frozenset({MAKING.gear(48)}), aims=first_of_all(Aim.LOAD, Aim.MONEY))
    gear = MAKING.gear(30)
    offers = [*OFFERS, Offer(gear, Fraction(9), "cut", 2)]
    question = Question(most=1, terms=terms, workers=1)
    make_plan([BENCH], WANTS[:1], offers, question, Watch(), making_tables(), finder)
    (candidates,) = finder.candidates
    assert [(had.teeth, copies) for had, copies in candidates] == [(30, 3), (60, None), (80, None)]
    assert finder.how[0]["order"] == (Aim.LOAD, Aim.DEMERITS, Aim.ERROR)
    assert finder.how[0]["workers"] == 1
    assert planner._candidates([OFFERS[2], OFFERS[1]]) == [(MAKING.gear(60), None)]


def test_an_error_that_comes_last_settles_ties_later() -> None:
    assert minded_first(USUAL) == (Aim.DEMERITS,)
    assert minded_first(first_of_all(Aim.ERROR)) == (Aim.ERROR, Aim.DEMERITS)
    assert minded_first(first_of_all(Aim.LOAD)) == (Aim.LOAD, Aim.DEMERITS)
    assert minded_first((*USUAL, Aim.LOAD)) == (Aim.DEMERITS, Aim.ERROR, Aim.LOAD)
    assert first_of_all(Aim.MONEY) == (Aim.MONEY, Aim.DEMERITS, Aim.ERROR)
    assert [Aim.LOAD.word, Aim.MONEY.word] == ["load", "money"]


def test_pitches_done_are_reported() -> None:
    said: list[Progress] = []
    planned(BENCH, watch=Watch(report=said.append), most=1, workers=1)
    search = [one for one in said if one.objective == SEARCH]
    assert [(one.most, one.best, one.bound) for one in search] == [(1, n, 3) for n in (1, 2, 3)]


def test_a_plan_that_no_gears_were_looked_for_says_so() -> None:
    """0.6 and 1.2 mm are not cut with what is owned, and nobody asked with what they would be."""
    plan = planned(BENCH, most=0)
    assert (plan.sought, plan.advice) == (False, Advice(0, Grounds.NOT_LOOKED))
    plan = planned(BENCH, most=1, priced=False, worth=Fraction(1, 10))
    assert (plan.sought, plan.priced) == (True, False)
    assert (plan.advice.grounds, plan.advice.worth) == (Grounds.TOO_DEAR, Fraction(1, 10))
    assert plan.unreachable == ()
    hopeless = make_plan([BENCH], WANTS[5:6], [], Question(most=1), Watch(), making_tables())
    assert [name for name, _ in hopeless.unreachable] == ["0.7"]
    untold = Question(most=1, beyond=False)
    plan = make_plan([BENCH], WANTS[5:6], [], untold, Watch(), making_tables())
    assert plan.unreachable == ()


def test_steps_end_where_all_is_covered_unless_more_are_asked_for() -> None:
    """The 30 covers all three, for 5; 48 and 80 do for 4, and nothing betters that."""
    assert [len(planned(BENCH, most=most).steps) for most in (None, 0, 1, 3)] == [2, 1, 2, 3]
    assert len(planned(BENCH, most=3, past=False).steps) == 2
    more = make_plan([BENCH], WANTS, OFFERS, Question(most=4), Watch(), making_tables())
    until = Question(most=4, past=False)
    ends = make_plan([BENCH], WANTS, OFFERS, until, Watch(), making_tables())
    assert [teeth(added.offer.gear for added in step.gears) for step in ends.steps] == [
        (), (30,), (30, 80),
    ]  # fmt: skip
    assert len(more.steps) > len(ends.steps)


@pytest.mark.parametrize("certain", [True, False])
def test_a_goal_nobody_had_time_for_is_not_certain(
    certain: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none_found(*_: object) -> None:
        if not certain:
            raise StoppedError

    monkeypatch.setattr(planner, "cheapest_cover", none_found)
    goal = planned(BENCH, most=1, cover=Cover("all", frozenset({0, 1}))).goal
    assert goal
    assert (goal.reached, goal.certain, goal.asked) == (False, certain, "all")
    assert teeth(added.offer.gear for added in goal.step.gears) == (30,)  # how far the plan comes


class Clock(Watch):
    """A watch whose hand stands still."""

    now = 0.0
    seconds = property(lambda self: self.now)  # type: ignore[assignment]


def shares(
    limit: float | None, most: int, monkeypatch: pytest.MonkeyPatch, terms: Terms | None = None
) -> list[Any]:
    """What the solver is given for each step, no set being looked at."""
    given: list[Any] = []

    def best_set(
        problem: Problem, size: int, start: Chosen, watch: Watch, limits: SolverLimits,
        demand: Demand,
    ) -> None:  # fmt: skip
        given.append((size, limits.seconds, limits.workers, demand.weight))

    monkeypatch.setattr(constraint_module, "best_set", best_set)
    monkeypatch.setattr(solve_module.Enumeration, "reaches", lambda self, size: False)
    planned(BENCH, watch=Clock(limit), most=most, missing=1, workers=3, terms=terms or Terms())
    return given


def test_each_step_has_a_fair_share_of_the_time_left(monkeypatch: pytest.MonkeyPatch) -> None:
    """A third of thirty seconds, then half of what is left, then all of it, as none of it is used
    up; and a step covers no less than the one before: 1, then 6 with the 30."""
    assert shares(30.0, 3, monkeypatch) == [
        (1, 10.0, 3, 1), (2, 15.0, 3, 6), (3, 30.0, 3, 6),
    ]  # fmt: skip
    assert [given[1] for given in shares(None, 3, monkeypatch)] == [None] * 3


def test_a_set_that_lacks_what_must_be_in_says_nothing_of_larger_ones(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """60 and 80 must be in, of which a step of one gear holds one: a step of two need not cover as
    much as that; one of three covers no less than both."""
    both = Terms(include=(MAKING.gear(60), MAKING.gear(80)))
    assert [given[3] for given in shares(None, 3, monkeypatch, both)] == [0, 0, 1 + 3]


def looked_at_alone(most: int, monkeypatch: pytest.MonkeyPatch) -> int:
    """How many sets are looked at by themselves for a table cut short, the first trains of all
    gears being one."""
    seen: list[int] = []
    chest: Callable[[Any, int], Any] = near_ways.NearWays._chest

    def noted(self: Any, bits: int) -> Any:
        seen.append(bits)
        return chest(self, bits)

    monkeypatch.setattr(near_ways.NearWays, "_chest", noted)
    monkeypatch.setattr(near_ways, "FIRST", 1)
    monkeypatch.setattr(near_ways, "MOST_FIRST", most)
    extra = [MAKING.gear(z) for z in (30, 80, 48, 60)]
    wide = replace(WANTS[0], allowance=Allowance(Fraction(1, 5)))
    table = what_if(BENCH, [wide], extra, [(Counter(), 2)], most_ways=0)
    assert not table.complete
    return len(seen)


def test_more_trains_of_all_gears_are_made_before_a_set_is_looked_at_by_itself(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert looked_at_alone(10**6, monkeypatch) == 0
    assert looked_at_alone(1, monkeypatch) > 0
