"""Searches that are cut short: what was found is kept, and no more is claimed than was seen."""

from __future__ import annotations

import contextlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, exhaustive, gear, instances, judge

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.domain.gear import Chest, Offer
from gearchest.optimizer.domain.lathe import GearMaking, Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.planner import Question, make_plan, usual_missing
from gearchest.optimizer.plan.start import greedy, grow, included_first
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import worth
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.finder import Finder
from gearchest.optimizer.search.options import OptionTable
from gearchest.optimizer.search.search import Candidates, find_options

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


class Ticking(Watch):
    """A watch on which a millisecond goes by at each look."""

    looks = 0

    @property
    def seconds(self) -> float:
        self.looks += 1
        return self.looks / 1000


class Endless(Finder):
    """Asks on and on about trains that lack gears; `stopped` are the seconds at which it was told
    to end."""

    def __init__(self, watch: Ticking, stop_after: int = 10**6) -> None:
        super().__init__()
        self.watch, self.stop_after = watch, stop_after
        self.stopped: list[float] = []

    def find(
        self, lathe: Lathe, wants: Sequence[Want], candidates: Candidates, most_missing: int,
        **how: Any,
    ) -> OptionTable:  # fmt: skip
        if not most_missing:
            return super().find(lathe, wants, candidates, most_missing, **how)
        asked = 0
        with contextlib.suppress(SearchStoppedError):
            while True:
                asked += 1
                if asked == self.stop_after:
                    self.watch.stop()
                how["ask"]()
        self.stopped.append(self.watch.looks / 1000)
        known: OptionTable = how["instead"]
        return known


def test_the_search_leaves_some_of_the_time_to_choose_gears_in() -> None:
    """Of 10 s, and of what is left of them when it begins; but whoever interrupts it is heard."""
    lathe = load_lathe(SMALL / "lathe.toml")
    wants = load_wants(SMALL / "wants.csv", lathe)[:2]
    offers = load_offers(SMALL / "offers.csv", lathe)
    for stop_after, earliest, latest in ((10**6, 5.0, 9.0), (3, 0.0, 0.1)):
        watch = Ticking(time_limit=10.0)
        finder = Endless(watch, stop_after)
        plan = make_plan([lathe], wants, offers, Question(1), watch, making_tables(), finder)
        assert plan.cut_short
        assert earliest <= finder.stopped[0] <= latest


@pytest.mark.parametrize(("count", "ends"), [(100, 5.6), (300, 3.5)])
def test_the_more_wants_the_more_time_is_left_to_judge_them(count: int, ends: float) -> None:
    """Of 10 s a fiftieth a want, up to half of all; of the rest the search has seven tenths."""
    lathe = load_lathe(SMALL / "lathe.toml")
    two = load_wants(SMALL / "wants.csv", lathe)[:2]
    wants = [replace(two[k % 2], name=f"thread {k}") for k in range(count)]
    offers = load_offers(SMALL / "offers.csv", lathe)
    watch = Ticking(time_limit=10.0)
    finder = Endless(watch, 10**6)
    make_plan([lathe], wants, offers, Question(1), watch, making_tables(), finder)
    assert finder.stopped == [pytest.approx(ends, abs=0.02)]


def test_how_many_gears_trains_may_lack_unless_it_is_said() -> None:
    """All four of a train over one stud. Over two, three where the allowances of all pitches come
    to a twentieth together, a pitch counted once and by its widest; else two."""
    one = Lathe("bench", mm(2), GearMaking(Fraction(1)), Chest(()), unmeasured_studs=1)
    two = replace(one, unmeasured_studs=2)

    def usual(lathe: Lathe, *allowed: tuple[int, Fraction]) -> int:
        return usual_missing(lathe, [Want("w", mm(p), Allowance(a)) for p, a in allowed])

    half, more = Fraction(1, 40), Fraction(1, 39)
    assert usual(one, (1, half), (2, more)) == 4
    assert usual(two, (1, half), (2, half), (2, half / 2)) == 3
    assert usual(two, (1, half), (2, half / 2), (2, more)) == 2
    assert usual(two, (1, half), (2, half), (3, Fraction(0))) == 3


def test_a_plan_without_time_claims_nothing() -> None:
    lathe = load_lathe(SMALL / "lathe.toml")
    wants = load_wants(SMALL / "wants.csv", lathe)
    offers = load_offers(SMALL / "offers.csv", lathe)
    watch = Watch(time_limit=0.0, grace=60.0)  # the gears owned are looked at, however slowly
    plan = make_plan([lathe], wants, offers, Question(most=2), watch, making_tables())
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


@settings(max_examples=25, deadline=None)
@given(instances(), st.integers(1, 3))
def test_what_is_grown_cannot_be_bettered_by_one_gear(instance: Instance, most: int) -> None:
    """Neither one more nor one changed makes it better: by judging every such set."""
    problem = instance.problem()
    grown = grow(problem, (), most, Watch())
    best = judge(instance, grown)
    assert best is not None
    for other in exhaustive(instance, most):
        gone = Counter(grown) - Counter(other.chosen)
        come = Counter(other.chosen) - Counter(grown)
        changed = len(grown) == most and gone.total() == come.total() == 1
        more = len(grown) < most and not gone and come.total() == 1
        if changed or more:
            assert other.key[:-2] >= best.key[:-2]
