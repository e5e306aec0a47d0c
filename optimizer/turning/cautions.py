"""Cautions of the trade, by what is on the sheet. Common practice, no source, unless said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.screw_turns import Effort
from gearchest.optimizer.turning.driving import Turning
from gearchest.optimizer.turning.half_nuts import HalfNuts
from gearchest.optimizer.turning.pressing import Pressing
from gearchest.optimizer.turning.shaping import Shaping
from gearchest.optimizer.turning.sizes import Sizes
from gearchest.optimizer.turning.speed import Speed

SLENDER = 10.0
"""Length over root diameter from which work springs away from the tool."""


@dataclass(frozen=True)
class Caution:
    """One caution: a word that says what about, and the sentence."""

    topic: str
    text: str

    def __str__(self) -> str:
        return f"{self.topic}: {self.text}"


@dataclass(frozen=True)
class Job:
    """What a caution can depend on. `fits` None: no train at all, and `turning` and `half_nuts`
    are None then too; `in_tolerance`: the train keeps the thread's allowance and mounts;
    `plastics`: materials of its gears. `length` of thread and `run_out` in mm, the first None
    where not asked."""

    name: str
    sizes: Sizes
    shaping: Shaping
    speed: Speed
    pipe: bool
    wooden: bool
    length: float | None = None
    run_out: float = 0.0
    fits: Fits | None = None
    in_tolerance: bool = False
    plastics: frozenset[str] = frozenset()
    turning: Turning | None = None
    half_nuts: HalfNuts | None = None
    pressing: Pressing | None = None


def cautions(job: Job) -> tuple[Caution, ...]:
    """Every caution a job calls for, gravest first."""
    return tuple(
        caution
        for about in (_train, _size, _turning, _half_nuts, _speed, _work, _wood, _pressing, _always)
        for caution in about(job)
    )


def _train(job: Job) -> Iterator[Caution]:
    if job.fits is None:
        return
    if not job.in_tolerance:
        yield Caution(
            "Off",
            "no train of the gears at hand is within what this thread can bear; this is the "
            "nearest that fits. Cut it only where that error does no harm.",
        )
    if job.fits is Fits.UNCHECKED:
        yield Caution("Fit unchecked", "no arm is measured in the lathe file; try the gears first.")
    if job.plastics:
        names = ", ".join(sorted(job.plastics))
        yield Caution(
            "Plastic gears", f"{names}: no shock, no heat; look at the teeth between passes."
        )


def _turning(job: Job) -> Iterator[Caution]:
    turning = job.turning
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


def _half_nuts(job: Job) -> Iterator[Caution]:
    nuts = job.half_nuts
    if nuts is not None and nuts.fitted and nuts.nominal_mm is not None:
        yield Caution(
            "Nearly a multiple",
            f"a true {job.name} would drop in every {nuts.nominal_mm:.6g} mm; this "
            f"train misses by {nuts.drift_mm:.2g} mm each time and must stay engaged.",
        )


def _speed(job: Job) -> Iterator[Caution]:
    speed = job.speed
    cranked = job.turning is not None and job.turning.effort is Effort.CRANK
    if speed.slow_enough is False and not cranked:
        yield Caution(
            "Too fast",
            f"at {speed.lowest_rpm:g} rpm the carriage overruns by {speed.overrun_at_lowest:.1f} "
            "mm: motor unplugged, turn the spindle by a hand crank.",
        )


def _work(job: Job) -> Iterator[Caution]:
    sizes = job.sizes
    if sizes.taper:
        yield Caution(
            "Taper",
            f"1:{round(1 / sizes.taper)} on the diameter; the tool stands square to the axis, not "
            "to the slope. Whether it holds tight only the mate and a sealant show.",
        )
    if job.pipe and not sizes.taper:
        yield Caution("Pipe thread", "sealing face, gauges and tightness are not on this sheet.")
    if sizes.inside:
        yield from _inside(job)
    elif job.length and sizes.minor and job.length > SLENDER * sizes.minor:
        yield Caution("Slender", "long for its diameter: tailstock and a travelling steady.")
    if sizes.left:
        yield Caution(
            "Left hand", "the carriage runs away from the headstock: start in a turned groove."
        )


def _inside(job: Job) -> Iterator[Caution]:
    found = job.shaping.boring
    if found is None:
        return
    stands_out = (job.length or 0.0) + job.run_out
    if found.bar is None or found.overhang is None:
        yield Caution("Small bore", "no bar stiff enough passes it: tap this thread.")
    elif job.length and stands_out > found.overhang:
        yield Caution(
            "Long bar",
            f"it stands out {stands_out / found.bar:.0f} times its thickness and springs: lighter "
            "cuts, more spring passes, or a tap to finish.",
        )
    yield Caution(
        "Inside",
        "drawn back too far the bar strikes the far side: a stop on the cross-slide. At a blind "
        "end a mark on the bar or a dial indicator tells where to stop; a fixed stop that takes "
        "the carriage while the half-nuts are closed breaks teeth.",
    )


def _size(job: Job) -> Iterator[Caution]:
    made, gauged = job.shaping.cut, job.shaping.gauging
    if made is not None and not made.fits:
        yield Caution("Blunt tip", "with this tip the root fouls the mate's crest.")
    if gauged is not None and gauged.target.pitch_diameter is None:
        longest = gauged.target.longest or 0.0
        yield Caution(
            "Will not go together",
            f"over {gauged.target.engaged:.3g} mm the lead error alone uses more than the "
            f"tolerance; it goes over {longest:.2g} mm at most.",
        )


def _wood(job: Job) -> Iterator[Caution]:
    if not job.wooden:
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


def _pressing(job: Job) -> Iterator[Caution]:
    found = job.pressing
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


def _always(job: Job) -> Iterator[Caution]:
    yield Caution(
        "Cover off", "gears nip: motor unplugged while it is open, closed before the lathe runs."
    )
