"""What each further gear brings, and what the money does: covered weight as curves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.plan.result import Plan, Step
from gearchest.reports.plan.advice_words import for_price, gears_text
from gearchest.reports.plan.scales import Tick, ticks
from gearchest.reports.words import numbers

LEFT, RIGHT, TOP, FOOT = 34.0, 352.0, 26.0, 176.0
"""Where the axes of a curve end, in its own units: 360 wide, 210 high."""


@dataclass(frozen=True)
class Point:
    """A step on a curve. `knee`: after it a further gear brings little."""

    x: float
    y: float
    said: str
    step: int
    knee: bool


@dataclass(frozen=True)
class Curve:
    """Covered weight against what a step costs: `path` rises at each step and stays."""

    ident: str
    title: str
    summary: str
    axis: str
    points: tuple[Point, ...]
    path: str
    xs: tuple[Tick, ...]
    ys: tuple[Tick, ...]
    wanted: float


def by_gears(plan: Plan) -> Curve:
    """Covered weight against the number of gears added."""
    first, most = plan.steps[0], _cheapest(plan, lambda step: len(step.gears))
    now, wanted = numbers.weight(first.covered_weight), numbers.weight(first.wanted_weight)
    if most.covered_weight > first.covered_weight:
        said = (
            f"From {now} of {wanted} covered as it is to {numbers.weight(most.covered_weight)} "
            f"with {numbers.plural(len(most.gears), 'gear')} added."
        )
    else:
        said = f"As it is {now} of {wanted} are covered; no gear adds to it."
    if plan.knee is not None:
        said += f" After {numbers.plural(plan.knee, 'gear')} a further one brings little."
    xs = [float(len(step.gears)) for step in plan.steps]
    return _curve(plan, "chart-gears", "What each further gear brings", said, "gears added", xs)


def by_money(plan: Plan) -> Curve:
    """Covered weight against what the step's gears cost."""
    most, dearest = _cheapest(plan, lambda step: step.price), max(s.price for s in plan.steps)
    said = (
        f"{numbers.weight(most.price)} buys the most these steps cover, "
        f"{numbers.weight(most.covered_weight)} of {numbers.weight(most.wanted_weight)}"
    )
    said += "; what costs more covers no more." if dearest > most.price else "."
    if not most.price:
        said = "No money spent on gears covers more."
    xs = [float(step.price) for step in plan.steps]
    return _curve(plan, "chart-money", "What the money brings", said, "price", xs)


def _cheapest(plan: Plan, cost: Callable[[Step], Fraction | int]) -> Step:
    """Of the steps that cover most the one that costs least."""
    most = max(step.covered_weight for step in plan.steps)
    return min((step for step in plan.steps if step.covered_weight == most), key=cost)


def _curve(plan: Plan, ident: str, title: str, said: str, axis: str, xs: list[float]) -> Curve:
    wanted = float(plan.steps[0].wanted_weight)
    across = (RIGHT - LEFT) / (max(xs) or 1.0)
    up = (FOOT - TOP) / (wanted or 1.0)
    places = [
        (round(LEFT + x * across, 1), round(FOOT - float(step.covered_weight) * up, 1))
        for x, step in zip(xs, plan.steps, strict=True)
    ]
    points = tuple(
        Point(x, y, _step_said(plan, step), k, k == plan.knee)
        for k, ((x, y), step) in enumerate(zip(places, plan.steps, strict=True))
    )
    return Curve(
        ident,
        title,
        said,
        axis,
        points,
        _stairs(sorted(places)),
        tuple(Tick(round(LEFT + t * across, 1), f"{t:g}") for t in ticks(max(xs))),
        tuple(Tick(round(FOOT - t * up, 1), f"{t:g}") for t in ticks(wanted)),
        TOP,
    )


def _stairs(places: list[tuple[float, float]]) -> str:
    """The best that can be had up to each cost."""
    x, y = places[0]
    path = f"M{x:g} {y:g}"
    for at, height in places[1:]:
        path += f"H{at:g}"
        if height < y:
            path += f"V{height:g}"
            y = height
    return f"{path}H{RIGHT:g}"


def _step_said(plan: Plan, step: Step) -> str:
    gears = gears_text(plan.lathe, [added.offer.gear for added in step.gears]) or "as it is"
    price = for_price(plan, step.price) if step.gears else ""
    return f"{gears}{price}: weight {numbers.weight(step.covered_weight)}"
