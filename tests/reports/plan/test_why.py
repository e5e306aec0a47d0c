"""Why these gears, and the tables to save: as the plan has them, in the page and in JSON."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from fractions import Fraction

import pytest
import report_samples as samples

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.plan.cut_gears import cut_sheets
from gearchest.optimizer.plan.result import (
    AddedGear,
    Advice,
    Further,
    Goal,
    Grounds,
    Judged,
    Plan,
    RunnerUp,
    Spare,
)
from gearchest.optimizer.search.result import Verdict, WantStep
from gearchest.reports.page.packing import packed, packed_json
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import why_view
from gearchest.reports.plan.document import plan_document
from gearchest.reports.plan.sheet import plan_sheet


def gear(teeth: int) -> Gear:
    return Gear(teeth, samples.MODULE)


@pytest.fixture(scope="module")
def plan() -> Plan:
    """The sample plan with a last step that has everything to say."""
    bare = samples.plan()
    added = AddedGear(
        Offer(gear(127), Fraction(21), "cut"),
        unlocks=("M5", "M8", "M10"),
        alone=("M6",),
        together=(("M5", (gear(63),)), ("M8", (gear(63),)), ("M10", (gear(63), gear(70)))),
        lost_weight=Fraction(7, 2),
    )
    others = [AddedGear(Offer(gear(teeth), Fraction(9), "buy"), ()) for teeth in (63, 70)]
    last = replace(
        bare.steps[-1],
        gears=(added, *others),
        judged=(
            Judged("covered weight", Fraction(9), Fraction(10), False),
            Judged("tooth load", Fraction(321), Fraction(300), False),
            Judged("money", Fraction(21), Fraction(21), True),
        ),
        next_best=RunnerUp((gear(95),), Fraction(8), Fraction(1)),
        dropped=(gear(21),),
        order=((gear(70), Fraction(20)), (gear(63), Fraction(23))),
        further=(Further("4 BA", (gear(37), gear(91))),),
    )
    miss = replace(bare.states[0][0], verdict=Verdict.DOES_NOT_FIT)
    name = "4 BA"
    states = tuple(
        (*of_want[:-1], WantStep(Verdict.NO_TRAIN, None)) if want.name == name else of_want
        for want, of_want in zip(bare.wants, bare.states, strict=True)
    )
    return replace(
        bare,
        steps=(*bare.steps[:-1], last),
        states=states,
        advice=Advice(4, Grounds.NO_MORE),
        knee=2,
        unreachable=((name, miss),),
        goal=Goal("90 %", False, last, (), beyond=("4 BA",)),
        spare=Spare((gear(20), gear(45)), True, (gear(20), gear(45), gear(80))),
    )


def test_what_a_gear_opens_is_told_by_its_partners(plan: Plan) -> None:
    view = why_view.gear_view(plan.lathe, plan.steps[-1].gears[0])
    assert view.alone == ("M6",)
    assert view.together == (("63", ("M5", "M8")), ("63, 70", ("M10",)))
    assert (view.lost, view.lost_weight) == (("M5", "M8", "M10"), "3.50")


def test_a_step_tells_what_is_proven_and_what_comes_next(plan: Plan) -> None:
    last = why_view.steps_why(plan)[-1]
    assert last.proof == f"not proven (time limit): no set covers more than {last.bound}"
    assert last.judged[0].startswith("tooth load 321")
    assert "not proven: none is below 300" in last.judged[0]
    assert last.judged[1] == "money 21"
    assert last.next_best == "95: weight 8, 1 less"
    assert last.dropped == "21"


def test_gains_of_the_order_add_up(plan: Plan) -> None:
    rows = why_view.purchases(plan)
    start = plan.steps[0].covered_weight
    assert [row.covered for row in rows] == ["20", "23"]
    assert sum(Fraction(row.gain) for row in rows) == 23 - start


def test_remarks_name_knee_goal_and_spare(plan: Plan) -> None:
    said = " ".join(why_view.remarks(plan))
    assert "After 2 added gears a further one brings little." in said
    assert "No set of offers covers 90 %" in said
    assert "In the way: 4 BA." in said
    assert "sold together without losing a thread: 20, 45. One at a time" in said


def test_what_is_left_names_the_nearest_and_the_gears_it_takes(plan: Plan) -> None:
    rows = {row.name: row for row in why_view.left_rows(plan)}
    assert list(rows) == ["4 BA"]
    beyond = rows[plan.unreachable[0][0]]
    assert beyond.mark.word == "does not fit"
    assert beyond.further == "37, 91"


def test_the_page_shows_it_all(plan: Plan) -> None:
    page = samples.quoted(plan_sheet(plan, Facts(), charts=False))
    gear = '<span data-gears="{}"><a href="#map">{}</a></span>'
    linked = f'with {gear.format(4, 63)}: <a href="#w-m5">M5</a>, <a href="#w-m8">M8</a>;'
    next_best = f"{gear.format('', 95)}: weight 8, 1 less"
    for words in (linked, next_best, f"without {gear.format('', 21)} of an earlier step"):
        assert words in page
    for table in ("buying", "order", "proof", "left", "map"):
        assert f'id="{table}"' in page


def test_the_document_tells_the_same(plan: Plan) -> None:
    document = json.loads(json.dumps(plan_document(plan)))
    last = document["steps"][-1]
    assert last["gears"][0]["together"][2] == {"name": "M10", "with": [63, 70]}
    assert last["gears"][0]["lost_weight"] == 3.5
    assert last["next_best"] == {"gears": [95], "covered_weight": 8.0, "loses": 1.0}
    assert last["further"] == [{"name": "4 BA", "gears": [37, 91]}]
    assert last["objectives"][1]["bound"] == 300.0
    assert document["knee"] == 2
    assert document["unreachable"][0]["verdict"] == "does not fit"
    assert document["goal"]["in_the_way"] == ["4 BA"]
    assert document["spare"]["together"] == [20, 45]
    assert samples.plan().goal is None
    assert plan_document(samples.plan())["goal"] is None


def test_packed_texts_unpack_to_themselves() -> None:
    page = plan_sheet(samples.plan(), Facts(), charts=False, document={"name": "</script>é"})
    held = samples.filled(page, "plan-json")["plan-json"]
    assert [json.loads(text) for text in held] == [{"name": "</script>é"}]
    assert packed("a" * 9999) == packed("a" * 9999)
    assert len(packed("a" * 9999)) < 100
    for length in range(40):
        letters = packed("".join(chr(0x21 + 7 * n % 900) for n in range(length)))
        assert not set(letters) & set('<&"\\ ')
    block = f'<script type="application/json" id="a">"{packed_json([1])}"</script>'
    assert samples.unpacked(block, "a") == "[1]"


def test_gears_to_be_cut_come_with_their_sheets() -> None:
    plan = samples.plan()
    page = plan_sheet(plan, Facts(), charts=False, cuts=cut_sheets(plan, making_tables()))
    assert 'id="gear-127"' in page
    assert 'id="gear-63"' not in page
    assert 'id="cut-gears"' not in plan_sheet(plan, Facts(), charts=False)
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
