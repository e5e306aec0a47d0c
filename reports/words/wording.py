"""Phrases used on more than one sheet: threads, gears, cautions, advice on screw turns."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.arm.misfit import part_name
from gearchest.optimizer.arm.result import Clearance
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.pitch import Pitch, format_fraction
from gearchest.optimizer.domain.screw_turns import Effort, bands
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.domain.want import Allowance, Use, Want
from gearchest.optimizer.search.result import Answer
from gearchest.optimizer.turning.half_nuts import How, half_nuts
from gearchest.optimizer.turning.speed import Governs
from gearchest.optimizer.turning.way import usual_way
from gearchest.optimizer.turning.working import TurnedBy
from gearchest.reports.words import numbers

CAUTIONS = (
    "Switch off and unplug before the gear cover is opened; turn the spindle by hand once a new "
    "train is on, before power.",
    "Covers closed while anything turns.",
    "No gloves, no loose sleeves, no rings; long hair tied back.",
    "Coarse pitches at the slowest speed: a coarse thread pulls the carriage along faster than "
    "a hand can follow.",
    "Where a sheet says to crank from the screw end, the motor stays unplugged and the spindle "
    "free.",
    "What your lathe's maker says, local rules and the people trained on the machine come first.",
)
"""Common practice in the trade, no source."""


def anchors(names: Iterable[str]) -> list[str]:
    """Stable ids made from names; those that would collide or lose something get a hash."""
    taken: set[str] = set()
    return [_anchor(name, taken) for name in names]


def _anchor(name: str, taken: set[str]) -> str:
    slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
    plain = re.fullmatch(r"[a-z0-9 -]+", name.lower()) is not None
    ident = f"w-{slug}"
    if not plain or ident in taken:
        ident = f"w-{slug}-{hashlib.sha256(name.encode()).hexdigest()[:6]}".replace("--", "-")
    taken.add(ident)
    return ident


def pitch_written(pitch: Pitch, *, inch: bool) -> tuple[str, str]:
    """A pitch in the lathe's unit and in the other; starts are told."""
    first, second = numbers.pitch_pair(pitch, inch=inch)
    if pitch.starts > 1:
        first = f"lead {first}, {pitch.starts} starts"
    return first, second


def gears_written(train: Train) -> str:
    """The train as turners write it: `40/80 × 63/50`, idlers in brackets."""
    stages = []
    for gears in train.stages:
        idlers = "".join(f"({idler})/" for idler in gears[1:-1])
        stages.append(f"{gears[0]}/{idlers}{gears[-1]}")
    return " × ".join(stages)


def teeth_used(answer: Answer) -> str:
    """How hard a train is on its teeth: the share of what they bear that the hardest pressed
    one carries, from the end that drives."""
    merit = answer.merit
    if merit.tooth_share is None:
        return f"tooth load {numbers.figure(answer.train.tooth_load)} N per N m, strength unchecked"
    driven = ", driven from the screw" if merit.driven_from is Drive.SCREW else ""
    over = ": OVERLOADED" if merit.overloaded else ""
    return f"teeth at {numbers.percent(merit.tooth_share)}{driven}{over}"


TEETH_OVERLOADED = "teeth overloaded"
TEETH_UNCHECKED = "material, angle or bore of a gear has no known strength"
FACE_TAKEN = ", a missing face width taken as 8 modules"


def teeth_words(answer: Answer) -> tuple[str, str]:
    """The share of what a tooth bears that the hardest pressed one carries, and what of it."""
    merit = answer.merit
    if merit.tooth_share is None:
        return "unchecked", TEETH_UNCHECKED
    over = "OVERLOADED: " if merit.overloaded else ""
    assumed = any(gear.face_width is None for gear in answer.train.gears)
    width = FACE_TAKEN if assumed else ""
    return numbers.percent(merit.tooth_share), (
        f"{over}of what they bear, driven from the {merit.driven_from}{width}"
    )


def teeth(gears: Iterable[Gear]) -> str:
    """Tooth counts in a row: `63, 70`."""
    return ", ".join(str(gear.teeth) for gear in gears)


def between(train: Train, clearance: Clearance) -> str:
    """The two parts that must not touch: `the 63 and the nut on the screw shaft`."""
    return f"{part_name(train, clearance.one)} and {part_name(train, clearance.other)}"


def levers(lathe: Lathe, setting: Setting) -> str:
    """Lever positions in words; empty where there is nothing to set."""
    parts = []
    if setting.gearbox is not None:
        parts.append(f"gearbox {setting.gearbox}")
    if len(lathe.first_driver_turns) > 1:
        turns = format_fraction(setting.first_driver_turns)
        parts.append(f"first driver at {turns} turns a spindle turn")
    return ", ".join(parts)


_TURNS = {
    Effort.CRANK: "far above what makers' charts show: slowest speed, lightest cuts",
    Effort.HEAVY: "above what makers' charts show: slowest speed, light cuts",
    Effort.USUAL: "within what makers' charts show: low speed",
    Effort.LIGHT: "light",
}


_CRANKED = "crank from the screw end, motor unplugged and spindle free"


HALF_NUTS = {
    How.ANYWHERE: "close anywhere",
    How.DIAL: "by the dial",
    How.STANDING: "with the spindle at rest",
    How.CLOSED: "keep them closed",
}
"""What may be done with the half-nuts."""


HALF_NUTS_CLOSED = {
    "screw": "the screw drives the spindle",
    "none": "this lathe has none",
    "travel": "the lathe file gives no carriage travel to step along",
    "long": "the step is longer than the travel: ",
}
"""Why they stay closed."""


def half_nuts_words(lathe: Lathe, train: Train, want: Want) -> tuple[str, str]:
    """What may be done with the half-nuts while a train cuts a thread, and of what step or why
    not: a step is told as one to take only where the carriage can go it."""
    drives = lathe.policy.driven_from(train.ratio) is Drive.SCREW
    found = half_nuts(
        lathe, train.ratio, want.pitch, feed=want.use is Use.FEED, screw_drives=drives
    )
    said = HALF_NUTS[found.how]
    step = numbers.length_pair(found.step_mm, inch=numbers.inch_first(lathe), places=2)
    if found.how is How.STANDING:
        return said, f"step {step}"
    if found.how is not How.CLOSED:
        return said, ""
    if drives:
        return said, HALF_NUTS_CLOSED["screw"]
    if not lathe.half_nuts:
        return said, HALF_NUTS_CLOSED["none"]
    if lathe.bed.carriage_travel is None:
        return said, HALF_NUTS_CLOSED["travel"]
    return said, HALF_NUTS_CLOSED["long"] + step


@dataclass(frozen=True)
class TurnsBand:
    """What more than `above` leadscrew turns a spindle turn mean at the lathe; `screw`: the screw
    drives."""

    above: Fraction
    words: str
    screw: bool


def turns_bands(lathe: Lathe) -> list[TurnsBand]:
    """The bands of a lathe, the most turns first."""
    policy = lathe.policy
    if policy.drive is Drive.SCREW:
        return [TurnsBand(Fraction(0), _CRANKED, screw=True)]
    return [
        TurnsBand(above, _CRANKED, screw=True)
        if asked is Effort.CRANK and policy.drive is None
        else TurnsBand(above, _TURNS[asked], screw=False)
        for above, asked in bands(policy.hand_crank_above)
    ]


def turns_advice(lathe: Lathe, want: Want, turns: Fraction) -> str:
    """What so many leadscrew turns > 0 a spindle turn mean at the lathe for a thread."""
    band = next(band for band in turns_bands(lathe) if turns > band.above)
    return band.words if band.screw else by_hand(lathe, want, turns) or band.words


def by_hand(lathe: Lathe, want: Want, turns: Fraction) -> str:
    """Why the spindle is turned by hand; "" where it is not."""
    way = usual_way(lathe, want, turns)
    lowest = way.speed.lowest
    if way.working.turned is not TurnedBy.HAND:
        return ""
    if way.working.wooden:
        return "turn the spindle by hand: wood, so a powered cutter cuts"
    if way.working.too_fast is Governs.RUN_OUT and lowest is not None:
        inch = numbers.inch_first(lathe)
        unit = f"{numbers.NARROW_SPACE}{numbers.unit(lathe)}"
        on, room = (
            numbers.bare_length(length, inch=inch, places=1)
            for length in (way.speed.overrun(lowest), way.speed.room)
        )
        return (
            f"turn the spindle by hand: at {lowest:g} rpm the carriage runs on {on}{unit}, the "
            f"room is {room}{unit}"
        )
    return f"turn the spindle by hand: {lowest:g} rpm, the slowest, is too fast for the tool"


def steps_written(steps: Sequence[int], last: int) -> str:
    """Which steps something holds for: `every step`, `steps 2 to 4`, `step 1`."""
    if len(steps) == last + 1:
        return "every step" if last else "as it is"
    runs: list[list[int]] = []
    for step in steps:
        if runs and runs[-1][-1] == step - 1:
            runs[-1].append(step)
        else:
            runs.append([step])
    said = [f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
    return f"{'step' if len(steps) == 1 else 'steps'} {' and '.join(said)}"


def judged(allowed: Allowance) -> str:
    """In brackets, what a verdict is of where the train's own error is not all of it."""
    return f" ({allowed.judged})" if allowed.judged else ""


def share_of_allowance(error: Fraction | float, allowed: Allowance) -> str:
    """How much of its allowance an error uses; nothing where there is no error."""
    if error == 0:
        return ""
    if allowed.relative <= 0:
        return "none is allowed"
    return f"{numbers.percent(allowed.share(error))} of the allowance"
