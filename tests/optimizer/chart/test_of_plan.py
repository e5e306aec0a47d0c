"""The charts that go with a plan."""

from __future__ import annotations

import report_samples as samples

from gearchest.optimizer.chart.of_plan import plan_charts
from gearchest.optimizer.plan.watch import Watch
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


def test_a_watch_that_is_over_leaves_no_chart() -> None:
    watch = Watch()
    watch.stop()
    assert plan_charts(samples.plan(), watch) == ()
    assert plan_document(samples.plan())["charts"] == []
