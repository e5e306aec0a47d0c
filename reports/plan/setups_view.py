"""Every thread with the trains that cut it, as plain values: what opens beside the map."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from markupsafe import Markup

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import Answer, Verdict, WantStep
from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.drawing.scale import letter_of
from gearchest.reports.drawing.shared import Shared
from gearchest.reports.plan.advice_words import gears_text
from gearchest.reports.setup.train_view import speed_lines
from gearchest.reports.trains.table import TrainRow, train_rows
from gearchest.reports.trains.view import TrainSheet, train_sheet
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.verdicts import MARKS

MOST_DRAWN = 120_000
"""Bytes of drawings a page bears as it stands: with more of them, as with a hundred threads on
two studs, a phone would have too much to load."""

SECOND = "b-"
"""Prefix of what is drawn of the second lathe where two share a chest."""


@dataclass(frozen=True)
class ThreadSheet:
    """Everything about one want. `sheets`: the trains that stand in the page; `more`: those it
    carries packed, to be drawn when they are asked for; `rows`: all of them, to choose from;
    `speed`: how fast the spindle may turn, where that was worked out."""

    ident: str
    name: str
    pitch: str
    other_pitch: str
    allowed: str
    why: str
    ruled: bool
    weight: str
    left: bool
    sheets: tuple[TrainSheet, ...]
    rows: tuple[TrainRow, ...] = ()
    more: tuple[TrainSheet, ...] = ()
    speed: str = ""


def thread_sheet(
    ident: str,
    want: Want,
    sheets: tuple[TrainSheet, ...],
    *,
    inch: bool,
) -> ThreadSheet:
    """A want with the trains that cut it."""
    first, second = wording.pitch_written(want.pitch, inch=inch)
    return ThreadSheet(
        ident,
        want.name,
        first,
        second,
        numbers.allowance(want.allowance.relative),
        want.allowance.why,
        want.allowance.ruled,
        numbers.weight(want.weight),
        want.left,
        sheets,
    )


def thread_sheets(plan: Plan, setups: Sequence[Sequence[Setup]] = ()) -> list[ThreadSheet]:
    """Every want's trains, in the order of the wants. In the page as it stands are the trains of
    the step advised and, where that is not too much, those of the gears owned that do or would if
    they fitted; else their planes are left to the page as well. The others are packed, and drawn
    by the page itself but where two lathes share a chest. `setups`: by want, those worked out."""
    inch = numbers.inch_first(plan.lathe)
    idents = wording.anchors(want.name for want in plan.wants)
    letters = letters_of(plan)
    heads = [
        f"with {gears_text(plan.lathe, [added.offer.gear for added in step.gears])}"
        if step.gears else "as it is"
        for step in plan.steps
    ]  # fmt: skip
    every = _every(plan, letters)
    there = [[sheet for sheet in sheets if not sheet.away or _of_owned(sheet)] for sheets in every]
    drawings = {sheet.drawing for sheets in there for sheet in sheets}
    if sum(map(len, drawings)) > MOST_DRAWN:
        every = _every(plan, letters, planes=False)
        there = [[sheet for sheet in sheets if not sheet.away] for sheets in every]
    shared = Shared()
    made = [
        replace(
            thread_sheet(
                ident,
                want,
                tuple(_drawn(one, shared) for one in shown),
                inch=inch,
            ),
            rows=tuple(train_rows(want, states, heads, partial(serving, plan))),
            more=tuple(one for one in sheets if one not in shown),
            speed=_speed(worked_out),
        )
        for ident, want, states, sheets, shown, worked_out in zip(
            idents, plan.wants, plan.states, every, there, setups or [()] * len(idents),
            strict=True,
        )
    ]  # fmt: skip
    return [
        replace(one, more=tuple(_drawn(_left(sheet), shared.pointed) for sheet in one.more))
        for one in made
    ]


def _speed(setups: Sequence[Setup]) -> str:
    """How fast the spindle may turn: of one thread, so of any train that cuts it."""
    if not setups:
        return ""
    lines = speed_lines(setups[0])
    return f"At most {lines[0].value}, {lines[0].note}." if lines else "No power turns the spindle."


def _left(sheet: TrainSheet) -> TrainSheet:
    """To be drawn by the page itself, where it can."""
    return replace(sheet, drawing=Markup("")) if sheet.place else sheet


def serving(plan: Plan, name: str) -> Lathe:
    """The lathe a step names: the one asked about unless it names the other."""
    return plan.also if plan.also and name == plan.also.name else plan.lathe


def _of_owned(sheet: TrainSheet) -> bool:
    """Whether this is what the gears owned do, or would if it fitted: then it says what is
    wrong. A train that only comes near is in the table."""
    return 0 in sheet.steps and sheet.mark is not MARKS[Verdict.OFF]


def _drawn(sheet: TrainSheet, share: Callable[[Markup], Markup]) -> TrainSheet:
    return replace(sheet, drawing=share(sheet.drawing))


def letters_of(plan: Plan) -> dict[str, float]:
    """The scale of the drawings, by the lathe that a step names."""
    answers: dict[str, list[Answer]] = {}
    for step in (step for states in plan.states for step in states):
        answers.setdefault(step.lathe, []).extend(
            one for one in (step.answer, step.without_error) if one
        )
    return {name: letter_of(serving(plan, name), some) for name, some in answers.items()}


def _every(plan: Plan, letters: dict[str, float], *, planes: bool = True) -> list[list[TrainSheet]]:
    """The sheets of every want."""
    return [
        _train_sheets(plan, want, states, letters, planes)
        for want, states in zip(plan.wants, plan.states, strict=True)
    ]


def _train_sheets(
    plan: Plan,
    want: Want,
    states: tuple[WantStep, ...],
    letters: dict[str, float],
    planes: bool,
) -> list[TrainSheet]:
    steps_of: dict[tuple[Answer, Answer | None, str], list[int]] = {}
    for k, step in enumerate(states):
        if step.answer:
            steps_of.setdefault((step.answer, step.without_error, step.lathe), []).append(k)
    exact = {(step.without_error, step.lathe) for step in states if step.without_error}
    taken = {(answer, name) for answer, _, name in steps_of}
    for answer, name in sorted(exact - taken, key=lambda pair: str(pair[0].train)):
        steps_of[answer, None, name] = []
    last, shown = len(plan.steps) - 1, plan.advice.step
    return [
        replace(
            train_sheet(
                serving(plan, name), want, answer, tuple(steps),
                (wording.steps_written(steps, last) if steps else "without error")
                + (f", on {name}" if name else ""),
                letters[name],
                prefix="" if serving(plan, name) is plan.lathe else SECOND, exact=exact,
                drawn=plan.also is not None or shown in steps or 0 in steps, planes=planes,
            ),
            away=shown not in steps,
            between=shown not in steps and not (0 in steps and answer.verdict.covered),
        )
        for (answer, exact, name), steps in steps_of.items()
    ]  # fmt: skip
