"""The charts that go with a plan: of the gears owned, and with those of the step advised."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.chart.build import make_chart
from gearchest.optimizer.chart.result import GearChart
from gearchest.optimizer.chart.share import Pace
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.asking import SearchStoppedError


@dataclass(frozen=True)
class StepChart:
    """A chart with the gears of a step."""

    step: int
    chart: GearChart


def plan_charts(plan: Plan, watch: Watch) -> tuple[StepChart, ...]:
    """Charts of step 0 and of the step advised, those in which any thread is cut; none of two
    lathes that share a chest, and none that the watch leaves no time for. Made in a hurry:
    `gearchest chart` looks longer."""
    found: list[StepChart] = []
    if plan.also is not None:
        return ()
    for step in dict.fromkeys((0, plan.advice.step)):
        gears = [added.offer.gear for added in plan.steps[step].gears]
        states = [states[step] for states in plan.states]
        try:
            chart = make_chart(plan.lathe, plan.wants, gears, watch, Pace.HURRIED, states=states)
        except SearchStoppedError:
            break
        if chart.setups:
            found.append(StepChart(step, chart))
    return tuple(found)
