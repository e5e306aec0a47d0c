"""The charts' data are the plan's, and the words beside them say the same."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from fractions import Fraction

import pytest
import report_samples as samples

from gearchest.optimizer.domain.want import Allowance
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import charts
from gearchest.reports.plan.sheet import plan_sheet

PLAN = samples.plan()
LAST = [(w, s[-1].answer) for w, s in zip(PLAN.wants, PLAN.states, strict=True) if s[-1].answer]


def test_returns_are_the_steps_weights_against_gears_and_money() -> None:
    gears = charts.returns_by_gears(PLAN).figure["data"][0]
    money = charts.returns_by_money(PLAN).figure["data"][0]
    weights = [float(step.covered_weight) for step in PLAN.steps]
    assert gears["x"] == [step.most for step in PLAN.steps]
    assert money["x"] == [float(step.price) for step in PLAN.steps]
    assert gears["y"] == money["y"] == weights


def test_the_knee_is_told_and_marked_where_there_is_one() -> None:
    bent = replace(PLAN, knee=2)
    for chart in (charts.returns_by_gears(bent), charts.returns_by_money(bent)):
        (note,) = chart.figure["layout"]["annotations"]
        assert note["y"] == float(PLAN.steps[2].covered_weight)
    assert "After 2 gears a further one brings little." in charts.returns_by_gears(bent).summary
    straight = charts.returns_by_gears(replace(PLAN, knee=None))
    assert "annotations" not in straight.figure["layout"]
    assert "brings little" not in straight.summary


def test_errors_are_shares_of_each_wants_own_allowance() -> None:
    shares = charts.errors(PLAN).figure["data"][0]["x"]
    wanted = [float(answer.error) / float(want.allowance.relative) for want, answer in LAST]
    assert shares == pytest.approx([max(-1.6, min(1.6, share)) for share in wanted])
    inside = sum(abs(share) <= 1 for share in wanted)
    assert f"{inside} of {len(wanted)} trains stay within" in charts.errors(PLAN).summary


def test_where_no_error_is_allowed_every_error_stands_at_the_edge() -> None:
    strict = tuple(replace(want, allowance=Allowance(Fraction(0))) for want in PLAN.wants)
    plan = replace(PLAN, wants=strict)
    shares = charts.errors(plan).figure["data"][0]["x"]
    wanted = [math.copysign(1.6, answer.error) if answer.error else 0 for _, answer in LAST]
    assert shares == wanted
    assert {-1.6, 0, 1.6} == set(wanted)
    assert "none is allowed" in plan_sheet(plan, Facts())


def test_loads_and_turns_are_the_trains() -> None:
    before, after = charts.loads(PLAN).figure["data"]
    assert after["x"] == [float(answer.train.tooth_load) for _, answer in LAST]
    assert len(before["x"]) == len(after["x"])
    turns = charts.turns(PLAN).figure
    assert turns["data"][0]["x"] == [float(answer.train.ratio) for _, answer in LAST]
    edges = [(band["x0"], band["x1"]) for band in turns["layout"]["shapes"]]
    crank = float(PLAN.lathe.policy.hand_crank_above)
    assert edges[:2] == [(1, 2), (2, crank)]
    assert edges[2][0] == crank


def test_a_want_named_with_markup_stays_text() -> None:
    names = charts.loads(PLAN).figure["data"][1]["y"]
    assert "&lt;/script&gt;&lt;b&gt;stand screw&lt;/b&gt;" in names
    page = plan_sheet(PLAN, Facts())
    assert "<b>stand screw" not in page


def test_figures_carry_no_template_and_stay_small() -> None:
    for chart in charts.plan_charts(PLAN):
        assert "template" not in chart.figure["layout"]
        assert len(json.dumps(chart.figure)) < 6000 + 200 * len(PLAN.wants)


def test_neither_logo_nor_cloud() -> None:
    page = plan_sheet(PLAN, Facts())
    own = page[: page.index('id="plotly-source"')]
    assert "displayModeBar: false" in own
    assert "displaylogo: false" in own
    assert "showSendToCloud" not in own
