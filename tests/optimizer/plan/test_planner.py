"""The whole way to a plan: where its steps end, and where the what-if table does."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from stopping import StopsAt, asked

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.plan.goal import Cover
from gearchest.optimizer.plan.planner import SEARCH, Question, make_plan
from gearchest.optimizer.plan.watch import Progress, Watch
from gearchest.optimizer.plan.whatif import extra_gears, what_if
from gearchest.optimizer.search.asking import SearchStoppedError

SMALL = Path(__file__).parents[2] / "bench" / "small"
LATHE = load_lathe(SMALL / "lathe.toml")
WANTS = load_wants(SMALL / "wants.csv", LATHE)[:8]
OFFERS = [o for o in load_offers(SMALL / "offers.csv", LATHE) if o.gear.teeth in (58, 64, 85)]


def test_steps_that_are_proven_to_bring_nothing_more_are_dropped() -> None:
    """Asked for five gears where three are on offer: the steps end with the last that differs."""
    plan = make_plan([LATHE], WANTS, OFFERS, Question(most=5), Watch(), making_tables())
    sets = [tuple(added.offer.gear for added in step.gears) for step in plan.steps]
    assert len(sets) < 6
    assert len(set(sets)) == len(sets)
    assert all(step.proven for step in plan.steps)


def test_repeats_that_are_not_proven_stay() -> None:
    watch = Watch(time_limit=0.0)
    plan = make_plan([LATHE], WANTS, OFFERS, Question(most=5), watch, making_tables())
    assert [step.most for step in plan.steps] == [0, 1, 2, 3, 4, 5]


@pytest.mark.parametrize("at", [1, 5, 40])
def test_the_table_ends_with_the_search_that_is_stopped(at: int) -> None:
    plan = make_plan([LATHE], WANTS, OFFERS, Question(most=1), Watch(), making_tables())
    watch = StopsAt(at)
    with pytest.raises(SearchStoppedError):
        what_if(LATHE, WANTS, extra_gears(plan), workers=1, ask=asked(watch))
    assert watch.looks <= at + len(WANTS)


@pytest.mark.parametrize(
    ("question", "missing"),
    [
        (Question(most=0), 0),
        (Question(most=1), 1),
        (Question(most=3), 3),
        (Question(most=9), 4),
        (Question(most=2, missing=1), 1),
        (Question(most=0, missing=1), 1),
        (Question(most=1, cover=Cover("half", share=Fraction(1, 2))), 4),
    ],
)
def test_no_more_gears_are_looked_for_than_may_be_added(question: Question, missing: int) -> None:
    """Nor than a train on one stud has, four; the cheapest cover may add any number."""
    said: list[Progress] = []
    make_plan([LATHE], WANTS[:2], OFFERS, question, Watch(report=said.append), making_tables())
    assert {one.most for one in said if one.objective == SEARCH} == {missing}
