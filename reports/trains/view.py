"""One train of a want as the page shows it: its drawing, its figures, its faults."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.train import half_nut_step
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing.train import train_svg
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.line import Line
from gearchest.reports.words.verdicts import MARKS, Mark


@dataclass(frozen=True)
class TrainSheet:
    """One train of a want with its drawing, and the steps at which it is the one to set.

    `away`: not the train of the step a page opens at; `between`: not on the printed sheets."""

    steps: tuple[int, ...]
    when: str
    mark: Mark
    title: str
    drawing: Markup
    caption: str
    facts: tuple[Line, ...]
    reasons: tuple[str, ...]
    cures: tuple[str, ...]
    away: bool = False
    between: bool = False


def train_sheet(
    lathe: Lathe,
    want: Want,
    answer: Answer,
    steps: tuple[int, ...],
    when: str,
    letter: float,
    *,
    prefix: str = "",
    exact: Answer | None = None,
) -> TrainSheet:
    """A train with its drawing, to the scale of this `letter`. `exact`: another train that cuts
    the want without error, harder on the teeth."""
    return TrainSheet(
        steps,
        when,
        MARKS[answer.verdict],
        wording.gears_written(answer.train),
        train_svg(lathe, answer, letter, prefix=prefix),
        caption(lathe, answer),
        tuple(facts(lathe, want, answer, exact)),
        answer.fit.misfits,
        answer.fit.cures,
    )


def _without_error(exact: Answer) -> Line:
    return Line("Without error", wording.gears_written(exact.train), wording.teeth_used(exact))


def caption(lathe: Lathe, answer: Answer) -> str:
    """What a drawing shows, and what it does not claim."""
    if answer.fit.placement is not None:
        return f"Facing the gears, to scale; distances in {numbers.unit(lathe)}."
    if answer.fit.fits is Fits.UNCHECKED:
        return "Gears to scale; shafts schematic: the arm is unmeasured, so fit is unchecked."
    return "Gears to scale; shafts schematic: the train does not close on the arm."


def facts(lathe: Lathe, want: Want, answer: Answer, exact: Answer | None = None) -> list[Line]:
    """The figures of one train, in the order a turner needs them."""
    train = answer.train
    inch = numbers.inch_first(lathe)
    cut = Pitch(train.ratio * lathe.leadscrew.lead.rational, pi=lathe.leadscrew.pi)
    first, second = numbers.pitch_pair(cut, inch=inch)
    found = [
        Line("Cuts", first, second),
        Line(
            "Error",
            numbers.error(answer.error, want.allowance.relative),
            wording.share_of_allowance(answer.error, want.allowance),
        ),
        Line("Teeth", *wording.teeth_words(answer)),
        Line("Tooth load", f"{float(train.tooth_load):.0f}\u202fN"),
        Line(
            "Screw turns",
            numbers.significant(train.ratio, 3),
            wording.turns_advice(lathe, train),
        ),
        Line(
            "Half-nut step",
            numbers.length_pair(half_nut_step(train.ratio, lathe.leadscrew), inch=inch, places=2),
            wording.half_nuts_advice(lathe, train, want),
        ),
    ]
    if exact is not None:
        found.insert(2, _without_error(exact))
    if levers := wording.levers(lathe, train.setting):
        found.insert(0, Line("Levers", levers))
    found += _placing(lathe, answer, inch)
    if answer.missing:
        found.append(Line("To add", wording.teeth(answer.missing), "not among the gears owned"))
    return found


def _placing(lathe: Lathe, answer: Answer, inch: bool) -> list[Line]:
    placement = answer.fit.placement
    if placement is None or lathe.banjo is None:
        return []
    found = []
    for number, stud in enumerate(placement.studs, start=1):
        name = "Stud" if len(placement.studs) == 1 else f"Stud {number}"
        found.append(
            Line(
                name,
                f"{numbers.length_pair(stud.position, inch=inch)}",
                f"in {lathe.banjo.slot_name(stud.slot)}: {wording.teeth(stud.gears)}",
            )
        )
    if placement.arm_angle is not None:
        found.append(Line("Arm", numbers.degrees(placement.arm_angle)))
    if placement.tightest:
        room = numbers.length_pair(placement.tightest.mm, inch=inch)
        found.append(Line("Tightest", room, wording.between(answer.train, placement.tightest)))
    return found
