"""The charts of the plan page, as plain values: what each gear and the money bring, and how every
thread's train stands. Drawn as SVG in the page, complete before any script.

Each chart carries its summary in words.
"""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.plan.result import Plan
from gearchest.reports.plan.curves import Curve, by_gears, by_money
from gearchest.reports.plan.spread import Spread, spread


@dataclass(frozen=True)
class Charts:
    """All charts of a plan; `spread` None where no thread has a train."""

    curves: tuple[Curve, ...]
    spread: Spread | None


def plan_charts(plan: Plan) -> Charts:
    """Every chart of a plan."""
    curves = (by_gears(plan), by_money(plan)) if plan.priced else (by_gears(plan),)
    return Charts(curves if len(plan.steps) > 1 else (), spread(plan))
