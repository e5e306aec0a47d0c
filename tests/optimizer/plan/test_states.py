"""What a plan says of each want at each step: verdicts against one want asked on its own."""

from __future__ import annotations

from pathlib import Path

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.result import Verdict

MEDIUM = Path(__file__).parents[2] / "bench" / "medium"


def test_verdicts_are_those_of_the_same_chest_asked_want_by_want() -> None:
    """The search of the plan and of `reach` are two: options pruned here, every train there."""
    lathe = load_lathe(MEDIUM / "lathe.toml")
    wants = load_wants(MEDIUM / "wants.csv", lathe)
    offers = load_offers(MEDIUM / "offers.csv", lathe)
    plan = make_plan([lathe], wants, offers, Question(most=2), Watch(), making_tables())
    another = 0
    for k, step in enumerate(plan.steps):
        bench = Bench(lathe, [added.offer.gear for added in step.gears])
        for want, states in zip(wants, plan.states, strict=True):
            state, alone = states[k], bench.reach(want)
            assert state.verdict is alone.verdict, (step.most, want.name)
            if alone.easiest:
                assert state.answer is not None
                assert state.answer.train.tooth_load == alone.easiest.train.tooth_load
            if state.without_error:
                another += 1
                assert state.verdict is Verdict.EXACT
                assert state.without_error.error == 0
                assert state.answer is not None
                assert state.answer.error != 0
    assert another, "no want in the instance is exact with another train than the easiest"
