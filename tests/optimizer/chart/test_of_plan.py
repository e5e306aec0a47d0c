"""The charts that go with a plan."""

from __future__ import annotations

from typing import Any

import pytest
import report_samples as samples
from worked_bench import BENCH, OFFERS, OTHER, WANTS, teeth

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.chart import of_plan
from gearchest.optimizer.chart.build import make_chart
from gearchest.optimizer.chart.of_plan import plan_charts
from gearchest.optimizer.chart.result import GearChart
from gearchest.optimizer.chart.share import Pace
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.result import WantStep
from gearchest.reports.plan.document import plan_document


def test_of_the_gears_owned_and_of_the_step_advised() -> None:
    plan = samples.plan()
    charts = plan_charts(plan, Watch())
    assert [one.step for one in charts] == [0, plan.advice.step]
    for one in charts:
        step = plan.steps[one.step]
        assert sorted(gear.teeth for gear in one.chart.added) == sorted(
            added.offer.gear.teeth for added in step.gears
        )
        states = [states[one.step] for states in plan.states]
        assert [row.verdict.covered for row in one.chart.rows] == [
            state.verdict.covered for state in states
        ]
    document = plan_document(plan, charts)
    assert [one["step"] for one in document["charts"]] == [0, plan.advice.step]
    assert {one["kind"] for one in document["charts"]} == {"chart"}


def planned(wants: list[Want], lathes: tuple[Lathe, ...] = (BENCH,)) -> Plan:
    return make_plan(lathes, wants, OFFERS, Question(most=2), Watch(), making_tables())


def test_with_the_gears_of_the_step_advised_and_none_before_any_thread_is_cut() -> None:
    """30 and 80 are advised for all seven threads; of 0.6 and 1.2 mm the lathe as it is cuts
    neither, and 48 and 80 are the cheapest for them; 1 mm needs nothing."""
    charts = plan_charts(planned(WANTS), Watch())
    assert [(one.step, teeth(one.chart.added)) for one in charts] == [(0, ()), (2, (30, 80))]
    assert [len(one.chart.covered) for one in charts] == [2, 6]
    few = planned(WANTS[1:3])
    (only,) = plan_charts(few, Watch())
    assert (only.step, teeth(only.chart.added)) == (2, (48, 80))
    assert [one.step for one in plan_charts(planned(WANTS[:1]), Watch())] == [0]


def test_two_lathes_have_no_chart_between_them() -> None:
    assert plan_charts(planned(WANTS[:1], (BENCH, OTHER)), Watch()) == ()


def test_what_the_plan_knows_of_threads_is_not_looked_for_again() -> None:
    """In a hurry, and with the states of each chart's own step."""
    plan = planned(WANTS)
    asked: list[tuple[int, object, list[WantStep]]] = []

    def noted(*given: Any, states: list[WantStep]) -> GearChart:
        asked.append((len(given[2]), given[4], states))
        return make_chart(*given, states=states)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(of_plan, "make_chart", noted)
        plan_charts(plan, Watch())
    assert asked == [
        (count, Pace.HURRIED, [states[step] for states in plan.states])
        for count, step in ((0, 0), (2, 2))
    ]


def test_a_chart_made_before_the_time_is_up_stays() -> None:
    watch = Watch()

    def once(*given: Any, states: list[WantStep]) -> GearChart:
        made = make_chart(*given, states=states)
        watch.stop()
        return made

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(of_plan, "make_chart", once)
        assert [one.step for one in plan_charts(planned(WANTS), watch)] == [0]


def test_a_watch_that_is_over_leaves_no_chart() -> None:
    watch = Watch()
    watch.stop()
    assert plan_charts(samples.plan(), watch) == ()
    assert plan_document(samples.plan())["charts"] == []
