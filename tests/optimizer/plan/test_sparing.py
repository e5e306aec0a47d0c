"""What is told of teeth that are overloaded where everything is covered already."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.whatif import extra_gears
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.search.result import Answer, Verdict
from gearchest.reports.plan.advice_words import advice_line, why_sentence
from gearchest.reports.plan.document import plan_document
from gearchest.reports.plan.view import map_parts

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
    assert document["sparing"] == {"gears": [86], "price": 21.0, "wants": ["8 tpi"]}
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
        "4 of 5 threads are covered, and what covers more overloads the teeth."
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
