"""One train of a want as the page shows it: its drawing, its figures, its faults."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing.svg import short
from gearchest.reports.drawing.train import train_svg
from gearchest.reports.trains.table import train_key
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.line import Line
from gearchest.reports.words.verdicts import MARKS, Mark


@dataclass(frozen=True)
class WayShaft:
    """A shaft on the way from the spindle to the screw, and the gears it carries."""

    name: str
    gears: tuple[int, ...]


@dataclass(frozen=True)
class TrainSheet:
    """One train of a want with its drawing, and the steps at which it is the one to set.

    `way`: shaft by shaft; `key`: as in the table of trains; `place`: what the page's scripts draw
    it from; `reasons` and `cures` in mm, told in inches where `inch`; `end`: that drives;
    `planes`: in words, where the drawing is without them. `away`: not the train of the step a page
    opens at; `between`: not on the printed sheets."""

    steps: tuple[int, ...]
    when: str
    mark: Mark
    title: str
    way: tuple[WayShaft, ...]
    drawing: Markup
    place: str
    key: str
    caption: str
    mount: tuple[Line, ...]
    cut: tuple[Line, ...]
    reasons: tuple[str, ...]
    cures: tuple[str, ...]
    end: str
    inch: bool
    planes: str = ""
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
    drawn: bool = True,
) -> TrainSheet:
    """A train with its drawing, to the scale of this `letter`, unless it is not to be `drawn`.
    `exact`: another train that cuts the want without error, harder on the teeth."""
    return TrainSheet(
        steps,
        when,
        MARKS[answer.verdict],
        wording.gears_written(answer.train),
        way_of(lathe, answer.train),
        train_svg(lathe, answer, letter, prefix=prefix) if drawn else Markup(""),
        "" if prefix else place_of(answer),
        train_key(lathe, answer),
        caption(lathe, answer),
        tuple(mount_lines(lathe, answer)),
        tuple(cut_lines(lathe, want, answer, exact)),
        answer.fit.misfits,
        answer.fit.cures,
        answer.merit.driven_from.value,
        numbers.inch_first(lathe),
    )


def way_of(lathe: Lathe, train: Train) -> tuple[WayShaft, ...]:
    """The train as a way from shaft to shaft."""
    names = train.layout.shaft_names(gearbox=bool(lathe.gearbox))
    return tuple(
        WayShaft(name, tuple(gear.teeth for seat, gear in train.seated if seat.shaft == shaft))
        for shaft, name in enumerate(names)
    )


def planes_of(lathe: Lathe, train: Train) -> str:
    """Which gears run in which plane, in words: `Plane 1: driver 28, stud 50.`"""
    names = train.layout.shaft_names(gearbox=bool(lathe.gearbox))
    planes: dict[int, list[str]] = {}
    for seat, gear in train.seated:
        planes.setdefault(seat.plane, []).append(f"{names[seat.shaft]} {gear.teeth}")
    return " ".join(f"Plane {plane + 1}: {', '.join(planes[plane])}." for plane in sorted(planes))


def place_of(answer: Answer) -> str:
    """What the page's scripts draw a train from: the number of its layout; its gears, with the
    module of each; arm angle, slots and places of the studs, left out where it stands on no arm."""
    train, placement = answer.train, answer.fit.placement
    gears = " ".join(f"{gear.teeth}:{short(float(gear.module), 6)}" for gear in train.gears)
    parts = [str(LAYOUTS.index(train.layout)), gears]
    if placement is not None:
        angle = placement.arm_angle
        parts.append("" if angle is None else short(angle, 5))
        parts.append(" ".join(str(stud.slot) for stud in placement.studs))
        parts.append(" ".join(short(stud.position, 5) for stud in placement.studs))
    return "|".join(parts)


def caption(lathe: Lathe, answer: Answer) -> str:
    """What a drawing shows, and what it does not claim."""
    if answer.fit.placement is not None:
        return (
            f"Facing the gears, to one scale; distances in {numbers.unit(lathe)}. "
            "Planes from the headstock outwards."
        )
    if answer.fit.fits is Fits.UNCHECKED:
        return "Gears to scale; shafts schematic: the arm is unmeasured, so fit is unchecked."
    return "Gears to scale; shafts schematic: the train does not close on the arm."


def mount_lines(lathe: Lathe, answer: Answer) -> list[Line]:
    """What is needed to hang a train."""
    found = []
    if answer.missing:
        found.append(Line("To add", wording.teeth(answer.missing), "not among the gears owned"))
    if of := _materials(lathe, answer.train):
        found.append(Line("Of", of, "the same counts are owned in another material"))
    if levers := wording.levers(lathe, answer.train.setting):
        found.append(Line("Levers", levers))
    placement, inch = answer.fit.placement, numbers.inch_first(lathe)
    if placement is None or lathe.banjo is None:
        return found
    for name, stud in zip(answer.train.layout.shaft_names()[1:], placement.studs, strict=False):
        place = numbers.length_pair(stud.position, inch=inch)
        slot = f"in {lathe.banjo.slot_name(stud.slot)}: {wording.teeth(stud.gears)}"
        found.append(Line(name.capitalize(), place, slot))
    if placement.arm_angle is not None:
        found.append(Line("Arm", numbers.degrees(placement.arm_angle)))
    if placement.tightest:
        room = numbers.length_pair(placement.tightest.mm, inch=inch)
        found.append(Line("Tightest", room, wording.between(answer.train, placement.tightest)))
    return found


def _materials(lathe: Lathe, train: Train) -> str:
    """`60, 20 nylon; 40 steel`, where a gear of the train is owned in another material as well;
    else nothing."""
    owned: dict[int, set[str]] = {}
    for gear in owned_gears(lathe):
        owned.setdefault(gear.teeth, set()).add(gear.material)
    unsure = [gear for gear in train.gears if owned.get(gear.teeth, set()) - {gear.material}]
    kinds = dict.fromkeys(gear.material for gear in unsure)
    return "; ".join(
        f"{wording.teeth(gear for gear in unsure if gear.material == kind)} {kind}"
        for kind in kinds
    )


def cut_lines(lathe: Lathe, want: Want, answer: Answer, exact: Answer | None = None) -> list[Line]:
    """What a train does, in the order a turner needs it."""
    train = answer.train
    inch = numbers.inch_first(lathe)
    cut = Pitch(train.ratio * lathe.leadscrew.lead.rational, pi=lathe.leadscrew.pi)
    first, second = numbers.pitch_pair(cut, inch=inch)
    found = [
        Line("Half-nuts", *wording.half_nuts_words(lathe, train, want)),
        Line(
            "Screw turns",
            numbers.significant(train.ratio, 3),
            wording.turns_advice(lathe, want, train.ratio),
        ),
        Line("Cuts", f"{first} ({second})"),
        Line(
            "Error",
            numbers.error(answer.error, want.allowance.relative),
            wording.share_of_allowance(answer.error, want.allowance),
        ),
        Line("Teeth", *wording.teeth_words(answer)),
        Line("Tooth load", f"{float(train.tooth_load):.0f}\u202fN"),
    ]
    if exact is not None:
        found.insert(4, _without_error(exact))
    return found


def _without_error(exact: Answer) -> Line:
    return Line("Without error", wording.gears_written(exact.train), wording.teeth_used(exact))
