"""What a plan says of each want at each step: verdicts against one want asked on its own."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.merit import NOT_COVERED
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.result import Verdict

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
