"""What is told of teeth that are overloaded where everything is covered already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from plan_instances import Instance, gear
from worked_bench import BENCH
from worked_bench import OFFERS as WORKED_OFFERS
from worked_bench import WANTS as WORKED

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.plan import sparing as sparing_module
from gearchest.optimizer.plan.best_set import BestSet
from gearchest.optimizer.plan.build import Builder
from gearchest.optimizer.plan.formulate import Terms, formulate
from gearchest.optimizer.plan.goal import Cover
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Advice, Grounds, Plan
from gearchest.optimizer.plan.served import serve
from gearchest.optimizer.plan.solve import solve
from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.plan.whatif import extra_gears
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.search.result import Answer, Verdict, WantStep
from gearchest.optimizer.search.search import find_options
from gearchest.reports.plan.advice_words import advice_line, why_sentence
from gearchest.reports.plan.document import plan_document
from gearchest.reports.plan.steps_view import cards
from gearchest.reports.plan.text import plan_lines
from gearchest.reports.plan.view import map_parts, step_views

LATHE = load_lathe(Path("mini-7-metric"))
"""Of nylon gears, which 8 tpi overloads."""

WANTS = [
    want_from(pitch, lathe=LATHE, use=None, diameter=None, left=False)
    for pitch in ("1 mm", "M10", "8 tpi", "11 tpi")
]
OFFERS = [
    Offer(LATHE.making.gear(teeth), Fraction(price))
    for teeth, price in {63: 12, 70: 14, 76: 15, 86: 21, 90: 16}.items()
]


def plan(offers: list[Offer], wants: list[Any] = WANTS, **asked: Any) -> Plan:
    return make_plan([LATHE], wants, offers, Question(**asked), Watch(), making_tables())


def trains(gear: Gear | None) -> list[Answer]:
    """The train to set up of each want with one gear more, each looked for by itself."""
    loose = dict(LATHE.chest.loose)
    if gear:
        loose[gear] = loose.get(gear, 0) + 1
    lathe = replace(LATHE, chest=replace(LATHE.chest, loose=tuple(loose.items())))
    found = [reach(lathe, want, []).best for want in WANTS]
    assert all(found)
    return [one for one in found if one]


def test_the_gear_told_is_the_one_with_the_fewest_demerits_of_all_and_spares_the_teeth() -> None:
    assert [one.merit.overloaded for one in trains(None)] == [False, False, True, False]
    told = plan(OFFERS)
    assert len(told.steps) == 1  # all is covered as it is
    assert told.overloads(0) == ("8 tpi",)
    demerits = {
        offer.gear.teeth: sum(one.merit.demerits for one in trains(offer.gear)) for offer in OFFERS
    }
    best = min(demerits, key=lambda teeth: demerits[teeth])
    spares = told.sparing
    assert spares
    assert [gear.teeth for gear in spares.gears] == [best] == [86]
    assert spares.wants == ("8 tpi",)
    assert not any(one.merit.overloaded for one in trains(spares.gears[0]))
    assert spares.gears[0] in extra_gears(told)  # it can be ticked in the report
    assert advice_line(told) == (
        "All 4 threads are covered as it is, but 8 tpi overloads the teeth."
    )
    assert why_sentence(told) == "Getting 86, for 21, would spare them."
    document: Any = plan_document(told)
    assert document["sparing"] == {"gears": [86], "price": 21.0, "wants": ["8 tpi"], "added": []}
    assert document["advice"]["why"] == f"{advice_line(told)} {why_sentence(told)}"


def test_nothing_is_told_where_no_gear_spares_them_or_none_are_overloaded() -> None:
    beside = [offer for offer in OFFERS if offer.gear.teeth == 76]
    assert trains(beside[0].gear)[2].merit.overloaded
    told = plan(beside)
    assert told.sparing is None
    assert why_sentence(told) == ""
    assert "8 tpi overloads the teeth" in advice_line(told)
    kind = plan(OFFERS, WANTS[:2])
    assert kind.sparing is None
    assert advice_line(kind) == "You need nothing: all 2 threads are covered."


def test_steps_that_were_asked_for_are_told_without_it() -> None:
    told = plan(OFFERS, most=1)
    assert told.sparing is None
    assert [added.offer.gear.teeth for added in told.steps[1].gears] == [86]
    assert told.overloads(1) == ()
    assert told.overloads(0) == ("8 tpi",)


def test_gears_that_cover_more_only_by_overloading_the_teeth_are_not_denied() -> None:
    """6 tpi at six times what nylon bears is no gain; that a 86 spares 8 tpi is told."""
    lathe_wants = [*WANTS, want_from("6 tpi", lathe=LATHE, use=None, diameter=None, left=False)]
    told = plan(OFFERS, lathe_wants)
    assert [step.covered for step in told.steps] == [4, 5]
    (bought,) = told.steps[1].gears
    loose = ((bought.offer.gear, 1), *LATHE.chest.loose)
    lathe = replace(LATHE, chest=replace(LATHE.chest, loose=loose))
    six = reach(lathe, lathe_wants[4], []).best
    assert six
    assert six.merit.overloaded
    assert told.advice.step == 0
    assert advice_line(told) == (
        "4 of 5 threads are covered, and what covers 5 overloads the teeth."
    )
    assert told.sparing
    assert [gear.teeth for gear in told.sparing.gears] == [86]
    assert why_sentence(told) == (
        "8 tpi overloads the teeth; getting 86, for 21, would spare them."
    )


def test_what_is_exact_and_overloads_teeth_is_not_folded_away_in_the_map() -> None:
    four = want_from("4 mm", lathe=LATHE, use=None, diameter=None, left=False)
    told = plan(OFFERS, [WANTS[0], four])
    assert [state.verdict for (state,) in told.states] == [Verdict.EXACT] * 2
    assert told.overloads(0) == ("4 mm",)
    rows = {row.name: row for part in map_parts(told) for row in part.rows}
    assert rows["1 mm"].settled
    assert not rows["4 mm"].settled
    assert rows["4 mm"].cells[0].strain == "teeth overloaded"
    assert rows["1 mm"].cells[0].strain == ""


@pytest.mark.parametrize("stopped", [StoppedError, SearchStoppedError, None])
def test_nothing_is_told_of_it_where_there_is_no_time(
    stopped: type[Exception] | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nor where there are too many sets to look at."""

    def one_more(*_: object) -> None:
        if stopped:
            raise stopped

    monkeypatch.setattr(sparing_module, "one_more", one_more)
    told = plan(OFFERS[:2])
    assert told.overloads(0) == ("8 tpi",)
    assert told.sparing is None


def test_a_gear_that_spares_only_some_of_the_teeth_is_told_for_those() -> None:
    """Of two threads that overload teeth, as the states with the gear say; one that is not covered
    then is spared nothing."""
    told = plan(OFFERS[:2])
    heavy = next(states[0] for states in told.states if states[0].overloaded)
    kind = next(states[0] for states in told.states if not states[0].overloaded)
    gone = WantStep(Verdict.NO_TRAIN, None)
    strained = replace(told, states=((heavy,), (heavy,), (kind,), (heavy,)))
    terms = Terms(include=(gear(0),))
    problem = Instance([], [], [Offer(gear(0), Fraction(7, 2))], terms, 1).problem()
    asked: list[tuple[object, object]] = []

    class Made:
        wants = WANTS
        after = (kind, heavy, gone)

        def __init__(self) -> None:
            self.problem = problem

        def states(self, chosen: tuple[int, ...], some: list[int]) -> tuple[WantStep, ...]:
            asked.append((chosen, some))
            return self.after

    made: Any = Made()
    spares = sparing_module._spared(made, strained, (0,))
    assert asked == [((0,), [0, 1, 3])]
    assert spares
    assert (spares.gears, spares.price, spares.wants) == (
        (gear(0),), Fraction(7, 2), (WANTS[0].name,),
    )  # fmt: skip
    Made.after = (heavy, heavy, gone)
    assert sparing_module._spared(made, strained, (0,)) is None


def test_of_the_sets_beyond_the_step_advised_the_one_with_the_fewest_demerits() -> None:
    """Past the last step one gear more is looked for; else it is the next step or an alternative to
    it, so it covers no less."""
    table = find_options(BENCH, WORKED, [(offer.gear, None) for offer in WORKED_OFFERS], 4)
    served = serve([BENCH], [table])
    problem = formulate(WORKED, table, WORKED_OFFERS, Terms())
    steps = solve(problem, 3, Watch())
    made = Builder(served, WORKED, problem)
    told = made.plan(steps)
    gears = [gear.teeth for gear in problem.candidates]

    def beyond(step: int, found: Sequence[BestSet]) -> list[int]:
        advised = replace(told, advice=Advice(step, Grounds.NO_MORE))
        chosen = sparing_module._one_more(made, advised, found, Watch(), beyond=True)
        return [gears[c] for c in chosen or ()]

    assert beyond(0, steps) == [30]
    assert beyond(1, steps) == [30, 80]
    assert beyond(2, steps) == [30, 48, 80]
    assert beyond(2, steps[:3]) == [30, 48, 80]
    # 48 80 80 stands beside 30 48 80, with more demerits; were it kinder it would be taken
    third = told.steps[3]
    (other,) = third.alternatives
    for demerits, weight, due in (
        (third.demerits - 1, third.covered_weight, [48, 80, 80]),
        (third.demerits, third.covered_weight, [48, 80, 80]),  # as kind, and cheaper
        (third.demerits - 1, third.covered_weight - 1, [30, 48, 80]),
    ):
        kinder = replace(other, demerits=demerits, covered_weight=weight)
        told = replace(told, steps=(*told.steps[:3], replace(third, alternatives=(kinder,))))
        assert beyond(2, steps) == due


def test_a_gear_that_covers_less_on_teeth_that_bear_it_is_told_beside_one_that_covers_all() -> None:
    """Against each gear looked at by itself: a 63 covers all three, two of them overloaded."""
    inch = load_lathe(Path("mini-7-inch"))
    wants = [
        want_from(pitch, lathe=inch, use=None, diameter=None, left=False)
        for pitch in ("M10", "Tr16x4", "module 1")
    ]

    def with_one(gear: Gear) -> list[Answer | None]:
        loose = ((gear, 1), *inch.chest.loose)
        lathe = replace(inch, chest=replace(inch.chest, loose=loose))
        return [reach(lathe, want, []).best for want in wants]

    def lost(answers: list[Answer | None]) -> int:
        return sum(one.merit.demerits if one else 200 for one in answers)

    each = {offer.gear.teeth: with_one(offer.gear) for offer in OFFERS}
    assert [bool(one and one.merit.overloaded) for one in each[63]] == [False, True, True]
    told = make_plan([inch], wants, OFFERS, Question(), Watch(), making_tables())
    assert [step.covered for step in told.steps] == [1, 3]
    assert told.advice.step == 0
    assert told.sparing
    assert told.sparing.gears[0].teeth == min(each, key=lambda teeth: lost(each[teeth])) == 86
    assert told.sparing.added == tuple(
        want.name
        for want, one in zip(wants, each[86], strict=True)
        if one and not one.merit.overloaded and want.name != "M10"
    )
    assert told.sparing.wants == ()
    assert f"{advice_line(told)} {why_sentence(told)}" == (
        "1 of 3 threads is covered, and what covers 3 overloads the teeth. "
        "Getting 86, for 21, would cover 1 more on teeth that bear it."
    )
    over = "Tr16x4 and module 1 overload the teeth"
    lines = plan_lines(told)
    (at,) = [n for n, line in enumerate(lines) if line.startswith("  1: ")]
    assert lines[at + 1].strip() == over
    assert [card.strain for card in cards(told, None)] == ["", over]
    assert [step.strains for step in step_views(told)] == [(), ("Tr16x4", "module 1")]
    assert sum(line.strip() == over for line in lines) == 1


def test_the_cheapest_cover_says_whose_teeth_it_overloads() -> None:
    inch = load_lathe(Path("mini-7-inch"))
    wants = [
        want_from(pitch, lathe=inch, use=None, diameter=None, left=False)
        for pitch in ("M10", "Tr16x4", "module 1")
    ]
    question = Question(most=0, cover=Cover("all", frozenset(range(3))))
    told = make_plan([inch], wants, OFFERS, question, Watch(), making_tables())
    lines = plan_lines(told)
    at = lines.index("cheapest to cover all:")
    assert "price 12, 63" in lines[at + 1]
    assert lines[at + 2] == "     Tr16x4 and module 1 overload the teeth"
