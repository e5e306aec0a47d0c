"""Every thread's train on three scales: its error, its tooth load, its screw turns."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.screw_turns import Effort, bands
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import Answer
from gearchest.optimizer.turning.way import usual_way
from gearchest.optimizer.turning.working import TurnedBy
from gearchest.reports.plan.advice_words import gears_text
from gearchest.reports.plan.scales import Tick, ticks
from gearchest.reports.words import numbers, wording

WIDEST = 1.6
"""Errors beyond so many allowances are drawn at this edge."""

FEW_TICKS = 3
"""Figures along a cell: more would meet on a phone."""

_SPAN = 1.7
"""Allowances from the middle of an error's cell to its edge."""


@dataclass(frozen=True)
class Dot:
    """Where a train stands in a cell, in per cent of its width: now, and then; None where there
    is no train. `figure`: the value then."""

    now: float | None
    then: float | None
    figure: str


@dataclass(frozen=True)
class ThreadRow:
    """A thread: its error, tooth load and screw turns."""

    ident: str
    name: str
    spots: tuple[Dot, Dot, Dot]


@dataclass(frozen=True)
class Measure:
    """A measure of all trains. `shades`: (from, to, how deep from 1 to 3) in per cent."""

    title: str
    unit: str
    summary: str
    ticks: tuple[Tick, ...]
    shades: tuple[tuple[float, float, int], ...]


@dataclass(frozen=True)
class Spread:
    """Every thread's train by three measures. `then`: the step the filled marks stand for."""

    now: str
    then: str
    columns: tuple[Measure, Measure, Measure]
    rows: tuple[ThreadRow, ...]


def spread(plan: Plan) -> Spread | None:
    """Every thread that has a train now or with the step advised."""
    shown = plan.advice.step
    idents = wording.anchors(want.name for want in plan.wants)
    found = [
        (ident, want, states[0].answer, states[shown].answer)
        for ident, want, states in zip(idents, plan.wants, plan.states, strict=True)
        if states[0].answer or states[shown].answer
    ]
    if not found:
        return None
    loads = [float(a.train.tooth_load) for _, _, *both in found for a in both if a]
    turns = [float(a.train.ratio) for _, _, *both in found for a in both if a]
    crank = float(plan.lathe.policy.hand_crank_above)
    load_top, turn_top = max(loads) * 1.05, max(*turns, crank) * 1.1
    step = gears_text(plan.lathe, [added.offer.gear for added in plan.steps[shown].gears])
    rows = tuple(
        ThreadRow(
            ident,
            want.name,
            (
                _error_spot(want, now, then),
                _spot(now, then, load_top, lambda a: float(a.train.tooth_load), "{:.0f}".format),
                _spot(now, then, turn_top, lambda a: float(a.train.ratio), numbers.significant),
            ),
        )
        for ident, want, now, then in found
    )
    answers = [(want, then) for _, want, _, then in found if then]
    columns = (
        _errors(answers, f"With {step}:" if step else "As it is"),
        Measure(
            "Tooth load", "N on the most loaded mesh for 1 N m at the leadscrew",
            _hardest(answers), _across(ticks(load_top, FEW_TICKS), load_top), (),
        ),
        _turns(plan, answers, turn_top),
    )  # fmt: skip
    return Spread("as it is", f"with {step}" if step else "", columns, rows)


def _across(values: list[float], top: float) -> tuple[Tick, ...]:
    """Ticks of a cell from 0 to `top`; the last is left out where its figure would be cut."""
    return tuple(Tick(round(100 * t / top, 1), f"{t:g}") for t in values if t < 0.86 * top)


def _error_spot(want: Want, now: Answer | None, then: Answer | None) -> Dot:
    def at(answer: Answer | None) -> float | None:
        if answer is None:
            return None
        share = math.copysign(want.allowance.share(answer.error), answer.error)
        return round(50 + 50 / _SPAN * max(-WIDEST, min(WIDEST, share)), 1)

    figure = numbers.error(then.error, want.allowance.relative) if then else ""
    return Dot(at(now), at(then), figure)


def _spot(
    now: Answer | None,
    then: Answer | None,
    top: float,
    value: Callable[[Answer], float],
    write: Callable[[float], str],
) -> Dot:
    here, there = (None if a is None else round(100 * value(a) / top, 1) for a in (now, then))
    return Dot(here, there, write(value(then)) if then else "")


def _errors(answers: list[tuple[Want, Answer]], who: str) -> Measure:
    shares = [want.allowance.share(answer.error) for want, answer in answers]
    inside, none = sum(share <= 1 for share in shares), sum(share == 0 for share in shares)
    said = (
        f"{who} {inside} of {numbers.plural(len(shares), 'train')} "
        f"{'stays' if inside == 1 else 'stay'} within the allowance; "
        f"{none or 'none'} {'has' if none == 1 else 'have'} no error at all."
    )
    edge = 50 / _SPAN
    marks = tuple(
        Tick(round(50 + by * edge, 1), figure)
        for by, figure in ((-1, f"{numbers.MINUS}1"), (0, "0"), (1, "+1"))
    )
    shade = (round(50 - edge, 1), round(50 + edge, 1), 1)
    return Measure("Error", "in allowances; in the band: enough", said, marks, (shade,))


def _hardest(answers: list[tuple[Want, Answer]]) -> str:
    if not answers:
        return ""
    want, answer = max(answers, key=lambda pair: pair[1].train.tooth_load)
    load = f"{float(answer.train.tooth_load):.0f}{numbers.NARROW_SPACE}N"
    return f"The most loaded train is that of {want.name}: {load}."


def _by_hand(lathe: Lathe, answers: list[tuple[Want, Answer]]) -> str:
    """Which threads are cut without power at the spindle, and why."""
    ways: dict[TurnedBy, list[str]] = {}
    for want, answer in answers:
        way = usual_way(lathe, want, answer.train.ratio).working
        ways.setdefault(way.turned, []).append(want.name)
    said = []
    if screw := ways.get(TurnedBy.SCREW):
        said.append(f"To be cranked from the screw end: {', '.join(screw)}.")
    if hand := ways.get(TurnedBy.HAND):
        said.append(f"With the spindle turned by hand: {', '.join(hand)}.")
    return " ".join(said) or "No thread needs cranking by hand."


def _turns(plan: Plan, answers: list[tuple[Want, Answer]], top: float) -> Measure:
    crank = plan.lathe.policy.hand_crank_above
    said = _by_hand(plan.lathe, answers)
    above: dict[Effort, Fraction] = {asked: least for least, asked in bands(crank)}
    edges = [float(min(crank, above[asked])) for asked in (Effort.USUAL, Effort.HEAVY)]
    bounds = [*edges, float(crank), top]
    shades = tuple(
        (round(100 * a / top, 1), round(100 * b / top, 1), depth)
        for depth, (a, b) in enumerate(pairwise(bounds), start=1)
        if b > a
    )
    unit = "of the leadscrew for one of the spindle"
    return Measure("Screw turns", unit, said, _across(ticks(top, FEW_TICKS), top), shades)
