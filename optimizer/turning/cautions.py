"""Cautions of the trade, by what is on the sheet. Common practice, no source, unless said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.strength.loads import Effort

if TYPE_CHECKING:
    from gearchest.optimizer.turning.setup import Setup

SLENDER = 10.0
"""Length over root diameter from which work springs away from the tool."""


@dataclass(frozen=True)
class Caution:
    """One caution: a word that says what about, and the sentence."""

    topic: str
    text: str

    def __str__(self) -> str:
        return f"{self.topic}: {self.text}"


def cautions(setup: Setup) -> tuple[Caution, ...]:
    """Every caution a setup calls for, gravest first."""
    return tuple(
        caution
        for about in (_train, _turning, _half_nuts, _speed, _work, _wood, _pressing, _always)
        for caution in about(setup)
    )


def _train(setup: Setup) -> Iterator[Caution]:
    answer = setup.answer
    if answer is None:
        return
    if not setup.in_tolerance:
        yield Caution(
            "Off",
            "no train of the gears at hand is within what this thread can bear; this is the "
            "nearest that fits. Cut it only where that error does no harm.",
        )
    if answer.fit.fits is Fits.UNCHECKED:
        yield Caution("Fit unchecked", "no arm is measured in the lathe file; try the gears first.")
    plastics = {g.material for g in answer.train.gears if setup.is_plastic(g)}
    if plastics:
        yield Caution(
            "Plastic gears",
            f"{', '.join(sorted(plastics))}: no shock, no heat; look at the teeth between passes.",
        )


def _turning(setup: Setup) -> Iterator[Caution]:
    turning = setup.turning
    if turning is None:
        return
    if turning.overloaded:
        yield Caution("Overload", "a tooth is loaded beyond what its material bears.")
    turns = float(turning.screw_turns)
    if turning.effort is Effort.CRANK:
        yield Caution(
            "Screw drives",
            "motor unplugged, belt off, spindle free; a powered cutter does the cutting and is "
            "clear of the work before the crank is let go. Mark where to stop. The half-nuts "
            "stay closed.",
        )
    elif turns > 1:
        yield Caution(
            "Coarse pitch",
            f"the screw outruns the spindle {turns:.2f} times and a jam breaks teeth, not the "
            "belt: lowest speed, hand on the switch, light cuts.",
        )


def _half_nuts(setup: Setup) -> Iterator[Caution]:
    nuts = setup.half_nuts
    if nuts is not None and nuts.fitted and nuts.nominal_mm is not None:
        yield Caution(
            "Nearly a multiple",
            f"a true {setup.want.name} would drop in every {nuts.nominal_mm:.6g} mm; this "
            f"train misses by {nuts.drift_mm:.2g} mm each time and must stay engaged.",
        )


def _speed(setup: Setup) -> Iterator[Caution]:
    speed = setup.speed
    cranked = setup.turning is not None and setup.turning.effort is Effort.CRANK
    if speed.slow_enough is False and not cranked:
        yield Caution(
            "Too fast",
            f"at {speed.lowest_rpm:g} rpm the carriage overruns by {speed.overrun_at_lowest:.1f} "
            "mm: motor unplugged, turn the spindle by a hand crank.",
        )


def _work(setup: Setup) -> Iterator[Caution]:
    sizes = setup.sizes
    if sizes.taper:
        yield Caution(
            "Taper",
            f"1:{round(1 / sizes.taper)} on the diameter: taper attachment or set-over tailstock, "
            "tool square to the axis. Gauging and run-out are not on this sheet.",
        )
    if setup.pipe and not sizes.taper:
        yield Caution("Pipe thread", "sealing face, gauges and tightness are not on this sheet.")
    if setup.length and sizes.minor and setup.length > SLENDER * sizes.minor:
        yield Caution("Slender", "long for its diameter: tailstock and a travelling steady.")
    if sizes.left:
        yield Caution(
            "Left hand", "the carriage runs away from the headstock: start in a turned groove."
        )


def _wood(setup: Setup) -> Iterator[Caution]:
    if setup.wood is None:
        return
    yield Caution(
        "Wood",
        "straight dry grain without knots, along the axis; maple, beech, hornbeam or fruitwood, "
        "no softwood for screws. Some dusts harm skin and lungs: extraction, a mask; keep dust "
        "off the ways.",
    )
    yield Caution(
        "Rotating cutter",
        "clamped to the slide, guard on, eyes and ears; work against its rotation, never let it "
        "climb; spindle turned by hand or screw, motor unplugged.",
    )


def _pressing(setup: Setup) -> Iterator[Caution]:
    found = setup.pressing
    if found is None:
        return
    if not found.strong_enough:
        yield Caution("Weak", "the factor of safety asked of this material is not kept.")
    if not found.screw.holds:
        yield Caution("Runs back", "the load turns this screw back when it is let go.")
    yield Caution(
        "Load",
        "figures for a new, sound screw. Where a failure could hurt someone, local codes and "
        "a licensed engineer decide, not this sheet.",
    )


def _always(setup: Setup) -> Iterator[Caution]:
    yield Caution(
        "Cover off", "gears nip: motor unplugged while it is open, closed before the lathe runs."
    )
