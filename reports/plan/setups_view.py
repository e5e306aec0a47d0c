"""Every thread with the trains that cut it, as plain values: what opens beside the map."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from markupsafe import Markup

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import Answer, Verdict, WantStep
from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.drawing.bare import bare_svg
from gearchest.reports.drawing.scale import letter_of
from gearchest.reports.drawing.shared import Shared
from gearchest.reports.drawing.train import TrainDrawing
from gearchest.reports.plan.advice_words import gears_text
from gearchest.reports.setup.command import setup_arguments
from gearchest.reports.setup.train_view import speed_lines
from gearchest.reports.trains.table import TrainRow, train_rows, which
from gearchest.reports.trains.view import TrainSheet, planes_of, train_sheet
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.verdicts import MARKS

MOST_DRAWN = 120_000
"""Bytes of drawings a page bears as it stands: with more of them, as with a hundred threads on
two studs, a phone would have too much to load."""

MOST_WHOLE = 300
"""Threads of which a page bears every setup as it stands. Of more, all travel packed, and what
stands in the page for readers without scripts is drawn without a letter (`bare_view`)."""

SECOND = "b-"
"""Prefix of what is drawn of the second lathe where two share a chest."""


@dataclass(frozen=True)
class ThreadSheet:
    """Everything about one want. `sheets`: the trains that stand in the page; `more`: those it
    carries packed, to be drawn when they are asked for; `rows`: all of them, to choose from;
    `speed`: how fast the spindle may turn, where that was worked out; `arguments`: how the
    command `setup` is asked for it, "" where by its name; `bare`: the page carries it packed."""

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
    arguments: str = ""
    bare: bool = False

    @property
    def asked(self) -> str:
        """How far off it may be and why, and how much it counts."""
        said = f"Allowed error {self.allowed}{f': {self.why}' if self.why else ''}."
        if not self.ruled:
            said += " No rule covers this thread; a bare default stands in."
        return said if self.weight == "1" else f"{said} Weight {self.weight}."


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
    they fitted; else their planes are left to the page as well, and told in words. The others are
    packed, and drawn by the page itself but where two lathes share a chest. `setups`: by want,
    those worked out."""
    inch = numbers.inch_first(plan.lathe)
    idents = wording.anchors(want.name for want in plan.wants)
    letters = letters_of(plan)
    heads = [
        f"with {gears_text(plan.lathe, [added.offer.gear for added in step.gears])}"
        if step.gears else "as it is"
        for step in plan.steps
    ]  # fmt: skip
    drawings = Drawings(plan, letters)
    every = [
        _train_sheets(plan, want, states, letters, heads)
        for want, states in zip(plan.wants, plan.states, strict=True)
    ]
    bare = plan.also is None and len(plan.wants) > MOST_WHOLE
    there = [[one for one in some if not one.sheet.away or _of_owned(one.sheet)] for some in every]
    planes = not bare and (
        sum(map(len, {drawings.of(one) for some in there for one in some})) <= MOST_DRAWN
    )
    if not planes:
        there = [[one for one in some if not one.sheet.away] for some in every]
    shared = Shared()
    made = [
        replace(
            thread_sheet(
                ident,
                want,
                tuple(
                    replace(
                        one.sheet,
                        drawing=drawings.bare(one)
                        if bare
                        else shared(drawings.of(one, planes=planes)),
                        planes="" if planes else drawings.planes(one),
                    )
                    for one in shown
                ),
                inch=inch,
            ),
            rows=tuple(train_rows(want, states, heads, partial(serving, plan))),
            speed=_speed(worked_out),
            arguments=_arguments(plan, want),
            bare=bare,
        )
        for ident, want, states, shown, worked_out in zip(
            idents, plan.wants, plan.states, there, setups or [()] * len(idents), strict=True
        )
    ]  # fmt: skip
    return [
        replace(sheet, more=tuple(
            one.sheet if one.sheet.place  # the page draws it itself
            else replace(one.sheet, drawing=shared.pointed(drawings.of(one, planes=planes)))
            for one in some if one not in shown
        ))
        for sheet, some, shown in zip(made, every, there, strict=True)
    ]  # fmt: skip


def _arguments(plan: Plan, want: Want) -> str:
    said = setup_arguments(plan.lathe, want)
    return "" if said == f'"{want.name}"' else said


def _speed(setups: Sequence[Setup]) -> str:
    """How fast the spindle may turn: of one thread, so of any train that cuts it."""
    if not setups:
        return ""
    first = setups[0]
    if lines := speed_lines(first):
        return f"At most {lines[0].value}, {lines[0].note}."
    if first.answer is None or first.working.powered:
        return ""
    why = wording.turns_advice(first.lathe, first.want, first.answer.train.ratio)
    return f"{why[0].upper()}{why[1:]}."


def serving(plan: Plan, name: str) -> Lathe:
    """The lathe a step names: the one asked about unless it names the other."""
    return plan.also if plan.also and name == plan.also.name else plan.lathe


def _of_owned(sheet: TrainSheet) -> bool:
    """Whether this is what the gears owned do, or would if it fitted: then it says what is
    wrong. A train that only comes near is in the table."""
    return 0 in sheet.steps and sheet.mark is not MARKS[Verdict.OFF]


def letters_of(plan: Plan) -> dict[str, float]:
    """The scale of the drawings, by the lathe that a step names."""
    answers: dict[str, list[Answer]] = {}
    for step in (step for states in plan.states for step in states):
        answers.setdefault(step.lathe, []).extend(
            one for one in (step.answer, step.without_error) if one
        )
    return {name: letter_of(serving(plan, name), some) for name, some in answers.items()}


@dataclass(frozen=True, eq=False)
class OneTrain:
    """A train of a want, its sheet without the drawing; `lathe`: the lathe a step names."""

    answer: Answer
    lathe: str
    sheet: TrainSheet


class Drawings:
    """The trains of a plan as drawn, what threads share of them once."""

    def __init__(self, plan: Plan, letters: dict[str, float]) -> None:
        self._plan, self._letters = plan, letters
        self._made: dict[tuple[str, Train], TrainDrawing] = {}

    def of(self, one: OneTrain, *, planes: bool = True) -> Markup:
        """The drawing of a train; without its `planes` where the page's scripts draw those."""
        key = one.lathe, one.answer.train
        if key not in self._made:
            lathe = serving(self._plan, one.lathe)
            letter = self._letters[one.lathe]
            self._made[key] = TrainDrawing(lathe, one.answer, letter, _prefix(self._plan, lathe))
        return self._made[key].svg(planes=planes)

    def bare(self, one: OneTrain) -> Markup:
        """The drawing without a letter."""
        return bare_svg(serving(self._plan, one.lathe), one.answer, self._letters[one.lathe])

    def planes(self, one: OneTrain) -> str:
        """The planes of a train in words."""
        return planes_of(serving(self._plan, one.lathe), one.answer.train)


def _prefix(plan: Plan, lathe: Lathe) -> str:
    return "" if lathe is plan.lathe else SECOND


def _train_sheets(
    plan: Plan,
    want: Want,
    states: tuple[WantStep, ...],
    letters: dict[str, float],
    heads: Sequence[str],
) -> list[OneTrain]:
    steps_of: dict[tuple[Answer, Answer | None, str], list[int]] = {}
    for k, step in enumerate(states):
        if step.answer:
            steps_of.setdefault((step.answer, step.without_error, step.lathe), []).append(k)
    exact = {(step.without_error, step.lathe) for step in states if step.without_error}
    taken = {(answer, name) for answer, _, name in steps_of}
    for answer, name in sorted(exact - taken, key=lambda pair: str(pair[0].train)):
        steps_of[answer, None, name] = []
    shown = plan.advice.step
    return [
        OneTrain(answer, name, replace(
            train_sheet(
                serving(plan, name), want, answer, tuple(steps),
                which(steps, heads) + (f", on {name}" if name else ""),
                letters[name], prefix=_prefix(plan, serving(plan, name)), exact=exact, drawn=False,
            ),
            away=shown not in steps,
            between=shown not in steps and not (0 in steps and answer.verdict.covered),
        ))
        for (answer, exact, name), steps in steps_of.items()
    ]  # fmt: skip
