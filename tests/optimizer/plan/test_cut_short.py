"""Searches that are cut short: what was found is kept, and no more is claimed than was seen."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, exhaustive, gear, instances

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.start import greedy, included_first
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import worth
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.search import find_options

SMALL = Path(__file__).parents[2] / "bench" / "small"


def test_wants_not_come_to_keep_what_was_found_before() -> None:
    lathe = load_lathe(SMALL / "lathe.toml")
    wants = load_wants(SMALL / "wants.csv", lathe)[:6]
    candidates = [(o.gear, o.copies) for o in load_offers(SMALL / "offers.csv", lathe)]
    plain = find_options(lathe, wants, candidates, 0)
    whole = find_options(lathe, wants, candidates, 2)
    asked = 0

    def ask() -> None:
        nonlocal asked
        asked += 1
        if asked > 20:
            raise SearchStoppedError

    with pytest.raises(SearchStoppedError):
        find_options(lathe, wants, candidates, 2, workers=1, ask=ask)
    asked = 0
    cut = find_options(lathe, wants, candidates, 2, workers=1, ask=ask, instead=plain)
    assert cut.most_missing == 0
    kept = [len(options) for options in cut.wants]
    assert kept[0] == len(whole.wants[0])
    assert kept[-1] == len(plain.wants[-1])


def test_a_plan_without_time_claims_nothing() -> None:
    lathe = load_lathe(SMALL / "lathe.toml")
    wants = load_wants(SMALL / "wants.csv", lathe)
    offers = load_offers(SMALL / "offers.csv", lathe)
    question = Question(most=2)
    plan = make_plan([lathe], wants, offers, question, Watch(time_limit=0.0), making_tables())
    assert plan.cut_short
    assert plan.steps[0].proven
    assert plan.unreachable == ()
    assert not any(step.proven for step in plan.steps[1:])
    assert [step.most for step in plan.steps] == [0, 1, 2]


@settings(max_examples=60, deadline=None)
@given(instances(), st.integers(0, 3))
def test_a_greedy_set_keeps_the_terms_and_leaves_no_gear_that_would_help(
    instance: Instance, most: int
) -> None:
    problem = instance.problem()
    start = included_first(problem, most)
    found = greedy(problem, start, most)
    assert problem.allowed(found, most)
    assert not Counter(start) - Counter(found)
    value = worth(problem, found).weight
    better = [
        other
        for other in exhaustive(instance, most)
        if len(other.chosen) == len(found) + 1
        and not Counter(found) - Counter(other.chosen)
        and problem.allowed(other.chosen, most)
        and worth(problem, other.chosen).weight > value
    ]
    assert not better


def test_where_one_gear_covers_nothing_two_are_taken() -> None:
    instance = Instance(
        [[((0, 1), 0, 0)], [((0, 1), 0, 0)], [((2, 3), 0, 0)]],
        [Fraction(1)] * 3,
        [Offer(gear(c), Fraction(1)) for c in range(4)],
        candidates=4,
    )
    assert greedy(instance.problem(), (), 2) == (0, 1)
    assert greedy(instance.problem(), (), 1) == ()
