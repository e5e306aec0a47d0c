"""A plan stopped at ten different moments says nothing that the whole search denies.

The watch is a script: it says stop at the n-th look, wherever that falls: in the search, while
steps are proven, among the alternatives, in the cheapest cover, in what could be sold. On two
studs it falls into the search for trains of the gears owned and into the choice of trains as well.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache
from html import unescape
from pathlib import Path

import pytest

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.plan.goal import Cover
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan.document import plan_document
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.plan.text import plan_lines

SMALL = Path(__file__).parents[2] / "bench" / "small"
LATHE = load_lathe(SMALL / "lathe.toml")
WANTS = load_wants(SMALL / "wants.csv", LATHE)
TEETH = (58, 63, 64, 84, 85, 97)
OFFERS = tuple(o for o in load_offers(SMALL / "offers.csv", LATHE) if o.gear.teeth in TEETH)
MOST = 2

LARGE = SMALL.parent / "large"
TWO_STUDS = load_lathe(LARGE / "lathe.toml")
FEW = load_wants(LARGE / "wants.csv", TWO_STUDS)[3:60:8]
TWO_OFFERS = tuple(
    o for o in load_offers(LARGE / "offers.csv", TWO_STUDS) if o.gear.teeth in (71, 93, 127)
)

DENIED = (
    "out of reach",
    "would cover more",
    "cover nothing more",
    "no set on these terms",
    "No set of offers covers",
    "no set of the gears offered",
    "none within the search",
    "brings little",
    "enough",
    "Covers as much",
)
"""What may be said only where all was looked at; a table's heading stands for its cells."""


@dataclass
class Script(Watch):
    """Stops at the n-th look, and counts them. `at` None: never."""

    at: int | None = None
    looks: int = 0

    @property
    def over(self) -> bool:
        self.looks += 1
        if self.at is not None and self.looks >= self.at:
            self.interrupted = True
        return self.interrupted


def stopped(at: int | None) -> tuple[Plan, Script]:
    watch = Script(at=at)
    every = Cover("all", frozenset(range(len(WANTS))))
    question = Question(most=MOST, cover=every, spare=True, workers=1)
    return make_plan([LATHE], WANTS, OFFERS, question, watch, making_tables()), watch


@cache
def whole() -> tuple[Plan, int]:
    plan, watch = stopped(None)
    return plan, watch.looks


def stopped_on_two_studs(at: int | None) -> tuple[Plan, Script]:
    """The same on two studs, where nothing is begun once it is time to stop."""
    watch = Script(at=at, grace=0.0)
    question = Question(most=MOST, workers=1)
    return make_plan([TWO_STUDS], FEW, TWO_OFFERS, question, watch, making_tables()), watch


@cache
def whole_on_two_studs() -> tuple[Plan, int]:
    plan, watch = stopped_on_two_studs(None)
    return plan, watch.looks


def said(page: str) -> str:
    """What a page says outside of drawings, styles and scripts."""
    plain = re.sub(r"<(script|style|svg)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", plain)).split())


def cells(text: str) -> str:
    """Without the heading that stands above cells even where all of these are empty."""
    return text.replace("Next best set Covers as much", "")


def test_the_whole_plan_does_say_what_is_denied_to_those_cut_short() -> None:
    plan, looks = whole()
    assert looks > 100
    assert not plan.cut_short
    assert plan.certain
    assert all(step.proven for step in plan.steps)
    assert plan.goal is not None
    assert plan.goal.step.proven


@pytest.mark.parametrize("tenth", range(10))
def test_stopped_anywhere_it_says_nothing_that_is_not_so(tenth: int) -> None:
    best, looks = whole()
    plan, _ = stopped(1 + (looks - 1) * tenth // 10)
    holds(plan, best)


@pytest.mark.parametrize("tenth", range(10))
def test_stopped_anywhere_on_two_studs_it_says_nothing_that_is_not_so(tenth: int) -> None:
    best, looks = whole_on_two_studs()
    assert looks > 200
    assert not best.cut_short
    assert {state.verdict for row in best.states for state in row} > {Verdict.EXACT, Verdict.OFF}
    plan, watch = stopped_on_two_studs(1 + (looks - 1) * tenth // 10)
    assert watch.looks < looks + 40  # who was told to stop does not go on asking
    holds(plan, best)
    assert plan.cut_short or not plan.settled
    if not plan.cut_short:
        assert "others may be better" in " ".join(plan_lines(plan))
    for row, known in zip(plan.states, best.states, strict=True):
        for state, settled in zip(row, known, strict=False):
            if state.settled:
                assert state == settled or plan.steps != best.steps
            elif state.verdict is Verdict.NOT_LOOKED:
                assert state.answer is None
            else:
                assert state.verdict.covered
                assert state.answer is not None
                assert state.answer.verdict is state.verdict
    if not tenth:
        assert all(state.verdict is Verdict.NOT_LOOKED for row in plan.states for state in row)
        assert not any(step.proven for step in plan.steps)
        assert "not looked at" in " ".join(plan_lines(plan))
        assert plan_lines(plan)[0].startswith("Too little time: 0 of ")


def test_threads_covered_and_not_looked_at_are_not_counted_twice() -> None:
    """One is covered by the best train found so far, though not all were compared; the rest were
    not looked at."""
    plan, _ = stopped_on_two_studs(1)
    best, _ = whole_on_two_studs()
    covered = next(n for n, row in enumerate(best.states) if row[0].verdict.covered)
    states = [row[:1] for row in plan.states]
    states[covered] = (replace(best.states[covered][0], settled=False),)
    step = replace(plan.steps[0], covered=1)
    count = len(states)
    told = plan_lines(replace(plan, steps=(step,), states=tuple(states)))[0]
    assert told == (
        f"Too little time: 1 of {count} threads is covered so far, {count - 1} were not looked at."
    )
    known = tuple((replace(row[0], settled=False),) for row in best.states)
    told = plan_lines(replace(plan, steps=(step,), states=known))[0]
    assert told.endswith("is covered so far, and not all trains were compared.")


def holds(plan: Plan, best: Plan) -> None:
    """What is so of a plan cut short, by the one that was not."""
    for k, (step, proven) in enumerate(zip(plan.steps, best.steps, strict=False)):
        states = [row[k].verdict for row in plan.states]
        assert step.covered == sum(verdict.covered for verdict in states)
        assert step.covered_weight <= proven.covered_weight <= step.bound_weight
        assert (step.demerits >= proven.demerits) or step.covered < proven.covered
        if step.proven:
            assert step.covered_weight == proven.covered_weight
            assert step.demerits == proven.demerits
    if plan.goal and plan.goal.step.proven:
        assert best.goal is not None
        assert plan.goal.step.price == best.goal.step.price
    if plan.spare and best.spare and plan.spare.proven:
        assert len(plan.spare.together) == len(best.spare.together)
    text = " ".join(plan_lines(plan))
    page = cells(said(plan_sheet(plan, Facts(), charts=False, document=plan_document(plan))))
    if plan.cut_short:
        assert not plan.certain
        assert "not all trains were looked at" in text
        assert "not all trains were looked at" in page.lower()
        for words in DENIED:
            assert words not in text, words
            assert words not in page, words
    if not plan.certain:
        assert "not proven" in text
        assert "not proven" in page
        assert "would cover more" not in page
        assert "cover nothing more" not in page
    document = plan_document(plan)
    assert document["cut_short"] is plan.cut_short
    if plan.cut_short:
        assert document["unreachable"] == []
