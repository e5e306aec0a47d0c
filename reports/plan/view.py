"""What the plan page says as a whole: its steps, and the columns and rows of its map."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.plan import map_view, why_view
from gearchest.reports.plan.advice_words import gears_text
from gearchest.reports.words import numbers


@dataclass(frozen=True)
class StepView:
    """A step as the map's column head and the buying list show it."""

    number: int
    gears: str
    purchases: tuple[why_view.GearView, ...]
    strains: tuple[str, ...]
    trades: tuple[str, ...]
    loses: tuple[str, ...]
    others: tuple[str, ...]
    price: str
    covered: int
    wanted: int
    weight: str
    wanted_weight: str
    gain: str
    proof: str


def step_views(plan: Plan) -> list[StepView]:
    """Every step, the lathe as it is included."""
    return [_step(plan, k) for k in range(len(plan.steps))]


def _step(plan: Plan, k: int) -> StepView:
    step = plan.steps[k]
    gain = step.covered_weight - plan.steps[k - 1].covered_weight if k else None
    return StepView(
        k,
        gears_text(plan.lathe, [added.offer.gear for added in step.gears]),
        tuple(why_view.gear_view(plan.lathe, added) for added in step.gears),
        plan.overloads(k),
        plan.trades_exactness(k),
        tuple(n for n in plan.loses_exactness(k) if n not in plan.trades_exactness(k)),
        why_view.alternatives(plan, step),
        numbers.weight(step.price),
        step.covered,
        step.wanted,
        numbers.weight(step.covered_weight),
        numbers.weight(step.wanted_weight),
        "" if gain is None else f"+{numbers.weight(gain)}",
        why_view.proof(step),
    )


def map_columns(steps: list[StepView], *, ticked: bool) -> list[map_view.MapColumn]:
    """A column for each step, and one behind them for gears ticked in the page."""
    columns = [
        map_view.MapColumn(
            step.number,
            f"with {step.gears}" if step.gears else "now",
            f"{step.covered} of {step.wanted}",
        )
        for step in steps
    ]
    if ticked:
        columns.append(map_view.MapColumn(len(steps), "your ticks", "", ticked=True))
    return columns


def map_parts(plan: Plan) -> list[map_view.MapPart]:
    """The wants as rows: what the advised step gains first, then what it leaves uncovered, then
    the rest by series, where those are folded away that are cut without error as it is, on teeth
    that bear it."""
    shown = plan.advice.step
    letters = map_view.lettered(plan)
    cells = [map_view.step_cells(want, states, letters)
             for want, states in zip(plan.wants, plan.states, strict=True)]  # fmt: skip
    rows = map_view.map_rows(plan.wants, cells, inch=numbers.inch_first(plan.lathe))
    gained, missing, rest = [], [], []
    for row, states in zip(rows, plan.states, strict=True):
        if not states[shown].verdict.covered:
            missing.append(row)
        elif not states[0].verdict.covered:
            gained.append(row)
        else:
            both = (states[0], states[shown])
            well = all(one.verdict is Verdict.EXACT and not one.overloaded for one in both)
            rest.append(replace(row, settled=well))
    parts = [
        map_view.MapPart("Gained", tuple(gained), "gained"),
        map_view.MapPart("Missing", tuple(missing), "left"),
    ]
    return map_view.painted([*parts, *map_view.by_series(plan.wants, rest)])
