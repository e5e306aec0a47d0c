"""All trains of a want side by side: a column for each, from the gears owned to the last step.

Figures stand bare, in the units their lines name, so that the table stays small: lengths in the
lathe's own unit, as in the drawings.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import half_nut_step
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import Answer, WantStep
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.verdicts import MARKS, Mark

NOTHING = "–"


@dataclass(frozen=True)
class TableLine:
    """A figure of every train; `label` names its unit."""

    label: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class TrainTable:
    """Trains by column. `steps`: at which each is the one to set up, empty for one without error
    where another was taken, for its teeth."""

    steps: tuple[tuple[int, ...], ...]
    trains: tuple[str, ...]
    marks: tuple[Mark, ...]
    lines: tuple[TableLine, ...]


def train_table(
    lathe: Lathe, want: Want, states: Sequence[WantStep], serving: Callable[[str], Lathe]
) -> TrainTable | None:
    """The distinct trains of a want's steps; None where there are not two to compare.

    Lengths in the unit of `lathe`; `serving` gives the lathe that a step names."""
    steps_of: dict[Answer, list[int]] = {}
    lathes: dict[Answer, Lathe] = {}
    for k, step in enumerate(states):
        if step.answer:
            steps_of.setdefault(step.answer, []).append(k)
            lathes.setdefault(step.answer, serving(step.lathe))
    for step in states:
        if step.without_error:
            steps_of.setdefault(step.without_error, [])
            lathes.setdefault(step.without_error, serving(step.lathe))
    if len(steps_of) < 2:
        return None
    answers = list(steps_of)
    return TrainTable(
        tuple(tuple(steps) for steps in steps_of.values()),
        tuple(wording.gears_written(answer.train) for answer in answers),
        tuple(MARKS[answer.verdict] for answer in answers),
        tuple(_lines(lathe, want, answers, lathes)),
    )


def _lines(
    lathe: Lathe, want: Want, answers: list[Answer], lathes: dict[Answer, Lathe]
) -> list[TableLine]:
    """The lines of the table; one that would say nothing of any train is left out."""
    studs = max(answer.train.layout.studs for answer in answers)
    inch = numbers.inch_first(lathe)
    unit = "in" if inch else "mm"

    def length(value: float | None, places: int = 1) -> str:
        return "" if value is None else numbers.bare_length(value, inch=inch, places=places)

    figures: list[tuple[str, Callable[[Answer], str]]] = [
        ("Levers", lambda answer: wording.levers(lathes[answer], answer.train.setting)),
        ("Error", lambda a: numbers.error(a.error, want.allowance.relative)),
        ("Teeth", lambda answer: wording.teeth_words(answer)[0]),
        ("Tooth load, N", lambda answer: numbers.figure(answer.train.tooth_load, 0)),
        ("Screw turns", lambda answer: numbers.significant(answer.train.ratio)),
        (f"Half-nut step, {unit}", lambda answer: length(_half_nuts(lathes[answer], answer), 2)),
        *(
            (f"Stud{f' {n + 1}' if studs > 1 else ''}, {unit}", lambda a, n=n: length(_stud(a, n)))
            for n in range(studs)
        ),
        ("Arm, °", _arm),
        (f"Tightest, {unit}", lambda answer: length(_tightest(answer))),
        ("To add", lambda answer: wording.teeth(answer.missing)),
    ]
    lines = [(label, [value(answer) for answer in answers]) for label, value in figures]
    return [
        TableLine(label, tuple(value or NOTHING for value in values))
        for label, values in lines
        if any(values)
    ]


def _half_nuts(lathe: Lathe, answer: Answer) -> float:
    return half_nut_step(answer.train.ratio, lathe.leadscrew)


def _stud(answer: Answer, number: int) -> float | None:
    """The place of a stud along its slot, mm."""
    placement = answer.fit.placement
    if placement is None or len(placement.studs) <= number:
        return None
    return placement.studs[number].position


def _arm(answer: Answer) -> str:
    placement = answer.fit.placement
    if placement is None or placement.arm_angle is None:
        return ""
    return numbers.figure(placement.arm_angle)


def _tightest(answer: Answer) -> float | None:
    placement = answer.fit.placement
    return placement.tightest.mm if placement and placement.tightest else None
