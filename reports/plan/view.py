"""What the plan page says as a whole: its summary, its steps, the columns of its map."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.plan.result import Plan
from gearchest.reports.plan import map_view, why_view
from gearchest.reports.plan.advice_words import gears_text
from gearchest.reports.words import numbers, wording


@dataclass(frozen=True)
class StepView:
    """A step as the map's column head and the buying list show it."""

    number: int
    gears: str
    purchases: tuple[why_view.GearView, ...]
    loses: tuple[str, ...]
    others: tuple[str, ...]
    price: str
    covered: int
    wanted: int
    weight: str
    wanted_weight: str
    gain: str
    proof: str


def summary(plan: Plan) -> str:
    """The plan in two sentences."""
    first, last = plan.steps[0], plan.steps[-1]
    who = "As they are, the two lathes cut" if plan.also else "As it is, the lathe cuts"
    said = f"{who} {first.covered} of {first.wanted} threads"
    if last.covered > first.covered:
        best = next(s for s in plan.steps if s.covered_weight == last.covered_weight)
        gears = numbers.plural(len(best.gears), "more gear")
        said += f"; with {gears}, {best.covered}"
    left = last.wanted - last.covered
    if left == 0:
        return f"{said}. All are covered."
    verb = ("stays", "stay") if plan.sought else ("is", "are")
    rest = "out of reach" if plan.sought and not plan.cut_short else "not cut"
    return f"{said}. {left} {verb[left > 1]} {rest}."


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
        plan.loses_exactness(k),
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
            str(step.number),
            f"+ {step.gears}" if step.gears else "as it is",
            f"{step.covered} of {step.wanted}",
        )
        for step in steps
    ]
    if ticked:
        columns.append(
            map_view.MapColumn(len(steps), "", "what if", "as ticked below", ticked=True)
        )
    return columns


def map_groups(plan: Plan) -> list[map_view.MapGroup]:
    """The wants as rows, by series."""
    inch = numbers.inch_first(plan.lathe)
    idents = wording.anchors(want.name for want in plan.wants)
    rows = [
        map_view.map_row(ident, want, map_view.step_cells(want, states), inch=inch)
        for ident, want, states in zip(idents, plan.wants, plan.states, strict=True)
    ]
    return map_view.map_groups(plan.wants, rows)
