"""What a plan says of each want at each step: verdicts against one want asked on its own."""

from __future__ import annotations

from collections.abc import Generator
from fractions import Fraction
from pathlib import Path
from typing import TypeVar

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.asking import Ask
from gearchest.optimizer.search.copies import Work, in_turn
from gearchest.optimizer.search.finder import Finder
from gearchest.optimizer.search.merit import NOT_COVERED
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.result import Verdict

T = TypeVar("T")

MEDIUM = Path(__file__).parents[2] / "bench" / "medium"


def test_verdicts_are_those_of_the_same_chest_asked_want_by_want() -> None:
    """The search of the plan and of `reach` are two: options pruned there to what no other
    beats, trains looked at best first here. They come to the same demerits."""
    lathe = load_lathe(MEDIUM / "lathe.toml")
    wants = load_wants(MEDIUM / "wants.csv", lathe)
    offers = load_offers(MEDIUM / "offers.csv", lathe)
    plan = make_plan([lathe], wants, offers, Question(most=2), Watch(), making_tables())
    for k, step in enumerate(plan.steps):
        bench = Bench(lathe, [added.offer.gear for added in step.gears])
        lost = Fraction(0)
        for want, states in zip(wants, plan.states, strict=True):
            state, alone = states[k], bench.reach(want)
            assert state.verdict is alone.verdict, (step.most, want.name)
            assert (state.answer.train if alone.best and state.answer else None) == (
                alone.best.train if alone.best else None
            )
            lost += want.weight * (alone.best.merit.demerits if alone.best else NOT_COVERED)
            if state.answer:
                exact = state.answer.error == 0
                assert (state.verdict is Verdict.EXACT) == (exact and state.verdict.covered)
        assert step.demerits == lost


def test_wants_settled_elsewhere_and_in_any_order_are_told_alike() -> None:
    """And those that a copy of the process did not come to are told by the plan's options."""
    lathe = load_lathe(MEDIUM / "lathe.toml")
    wants = load_wants(MEDIUM / "wants.csv", lathe)[:40]
    offers = load_offers(MEDIUM / "offers.csv", lathe)
    given: list[int] = []

    def backwards(
        count: int, work: Work[T], workers: int, ask: Ask
    ) -> Generator[tuple[int, T | None], None, None]:
        given.append(workers)
        for job, made in reversed(list(in_turn(count, work, workers, ask))):
            yield job, None if job == 5 and count == len(wants) else made

    def planned(finder: Finder) -> Plan:
        question = Question(most=2, workers=3)
        return make_plan([lathe], wants, offers, question, Watch(), making_tables(), finder)

    usual, apart = planned(Finder()), planned(Finder(settling=backwards))
    assert 3 in given
    # of one lathe there is nothing to tell apart
    assert {state.lathe for row in usual.states for state in row} == {""}
    assert [n for n in range(40) if usual.states[n] != apart.states[n]] == [5]
    assert not any(state.settled for state in apart.states[5])
