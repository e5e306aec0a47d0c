"""Cautions of the trade, by what is on the sheet. Common practice, no source, unless said."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.lathe import Nose
from gearchest.optimizer.search.result import Answer, Verdict
from gearchest.optimizer.threads.wooden import nut_clearance, nut_thickness
from gearchest.optimizer.turning.job import Job
from gearchest.optimizer.turning.paired import pair_of
from gearchest.optimizer.turning.speed import Governs
from gearchest.optimizer.turning.strut import SLENDEREST
from gearchest.optimizer.turning.trying import try_first
from gearchest.optimizer.turning.working import TurnedBy

SLENDER = 10.0
"""Length over root diameter from which work springs away from the tool."""


@dataclass(frozen=True)
class Caution:
    """One caution: a word that says what about, and the sentence."""

    topic: str
    text: str

    def __str__(self) -> str:
        return f"{self.topic}: {self.text}"


def cautions(job: Job) -> tuple[Caution, ...]:
    """Every caution a job calls for, gravest first."""
    return tuple(
        caution
        for about in (
            _train,
            _paired,
            _mating,
            _size,
            _turning,
            _half_nuts,
            _chuck,
            _work,
            _cutter,
            _pressing,
            _always,
        )
        for caution in about(job)
    )


def _train(job: Job) -> Iterator[Caution]:
    if job.answer is None:
        return
    if job.chosen:
        yield from _chosen(job, job.answer)
    elif job.allowance.relative < 0:
        yield Caution(
            "Off", "the leadscrew alone errs more than is allowed: no train makes up for that."
        )
    elif not job.in_tolerance:
        yield Caution(
            "Off",
            "no train of the gears at hand is within what this thread can bear; this is the "
            "nearest that fits. Cut it only where that error does no harm.",
        )
    if job.allowance.travel is not None and job.screw_error is None:
        yield Caution(
            "Leadscrew",
            "its own error is copied into this screw; the lathe file has no lead_error, so only "
            "the train was judged.",
        )
    if job.answer.fit.fits is Fits.UNCHECKED:
        yield Caution("Fit unchecked", try_first(job.answer.train))
    if job.plastics:
        names = ", ".join(sorted(job.plastics))
        yield Caution(
            "Plastic gears", f"{names}: no shock, no heat; look at the teeth between passes."
        )


def _chosen(job: Job, answer: Answer) -> Iterator[Caution]:
    """What is wrong with a train that the reader chose."""
    if answer.fit.fits is Fits.NO:
        cures = "; or ".join(answer.fit.cures)
        yield Caution(
            "Does not fit", f"{'; '.join(answer.fit.misfits)}. What would cure it: {cures}."
        )
    if answer.verdict is Verdict.OFF:
        yield Caution(
            "Off",
            "this train errs more than this thread can bear. Cut it only where that error does "
            "no harm.",
        )


def _turning(job: Job) -> Iterator[Caution]:
    turning = job.turning
    if turning is None:
        return
    if turning.overloaded:
        yield Caution(
            "Overload",
            "at the torques of the lathe file a tooth carries more than its material bears: "
            "lighter cuts, or that gear of something stronger.",
        )
    if job.tapped:
        return
    turns = float(turning.screw_turns)
    if job.working.screw_drives:
        yield Caution(
            "Screw drives",
            "motor unplugged, belt off, spindle free; the cutter is clear of the work before the "
            "crank is let go. Mark where to stop. The half-nuts stay closed.",
        )
    elif job.working.turned is TurnedBy.HAND:
        yield Caution(
            "By hand",
            "motor unplugged; the crank comes off the spindle before it is plugged in again.",
        )
    elif turns > 1:
        yield Caution(
            "Coarse pitch",
            f"the screw outruns the spindle {turns:.2f} times and a jam breaks teeth, not the "
            "belt: hand on the switch, light cuts.",
        )
    if job.working.too_fast is Governs.RUN_OUT:
        yield Caution(
            "Too fast for power",
            "until the spindle stands at the lathe's slowest speed the carriage runs on further "
            "than the run-out is long.",
        )
    elif job.working.too_fast is Governs.CUTTING:
        yield Caution(
            "Too fast for power", "the lathe's slowest speed burns the edge of this tool."
        )


def _half_nuts(job: Job) -> Iterator[Caution]:
    nuts = job.half_nuts
    if nuts is not None and nuts.fitted and nuts.nominal_mm is not None:
        yield Caution(
            "Nearly a multiple",
            f"a true {job.name} would drop in every {nuts.nominal_mm:.6g} mm; this "
            f"train misses by {nuts.drift_mm:.2g} mm each time: do as told at the half-nuts.",
        )


def _chuck(job: Job) -> Iterator[Caution]:
    if not job.reversed or job.nose is Nose.FIXED:
        return
    known = "a chuck that is screwed on" if job.nose is None else "the screwed-on chuck"
    yield Caution(
        "Reversing",
        f"{known} can come off when the spindle is reversed under power: clamp it to the nose, or "
        "hold the work between centres; else turn the spindle back by hand.",
    )


def _paired(job: Job) -> Iterator[Caution]:
    pair = None if job.thread is None else pair_of(job.thread)
    if pair is not None:
        hand = "left" if job.sizes.left else "right"
        yield Caution("One of a pair", f"{pair}. This sheet is for the {hand}-hand one.")


def _mating(job: Job) -> Iterator[Caution]:
    major = job.sizes.found.major_mm
    if not job.mating or not job.working.wooden or major is None:
        return
    flanks, error = job.sizes.flanks, 0.0 if job.answer is None else abs(float(job.answer.error))
    used = ""
    if flanks is not None and flanks.slope and error:
        engaged = nut_thickness(major) if job.engaged is None else job.engaged
        lost = error * engaged / flanks.slope
        used = f"; this train uses up {lost:.2g} mm of it over {engaged:.3g} mm"
    yield Caution(
        "Must match",
        f"its mate should have {nut_clearance(major):.2g} mm of play on the diameter{used}: rock "
        "the old one in it to know. With less play less lead error goes.",
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
    if sizes.left and not job.tapped:
        end = "the bottom of the bore" if sizes.inside else "the headstock's end"
        start = "let the cutter in at" if job.working.cutter else "start in a turned groove at"
        yield Caution("Left hand", f"the carriage runs away from the headstock: {start} {end}.")


def _inside(job: Job) -> Iterator[Caution]:
    found = job.shaping.boring
    if found is None:
        return
    if found.bar is None or found.overhang is None:
        yield Caution("Small bore", "no bar stiff enough passes it: tap this thread.")
    elif job.length and job.length + job.run_out > found.overhang:
        times = (job.length + job.run_out) / found.bar
        yield Caution(
            "Long bar",
            f"it stands out {times:.0f} times its thickness and springs: lighter "
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


def _cutter(job: Job) -> Iterator[Caution]:
    if job.working.wooden:
        grain = (
            "dry hardwood without knots, the hole square to the grain: threads along it crumble"
            if job.sizes.inside
            else "straight dry grain without knots, along the axis; maple, beech, hornbeam or "
            "fruitwood, no softwood for screws"
        )
        yield Caution(
            "Wood",
            f"{grain}. Some dusts harm skin and lungs: extraction, a mask; keep dust off the ways.",
        )
    if job.working.cutter and not job.tapped:
        yield Caution(
            "Powered cutter",
            "clamped to the slide, guard over it, eyes and ears covered; it stands still before "
            "hands come near or a depth is set. Never let it climb.",
        )


def _pressing(job: Job) -> Iterator[Caution]:
    found = job.pressing
    if found is None:
        return
    if not found.stress_kept:
        yield Caution("Weak", "the factor of safety asked of this material is not kept.")
    if found.strut is not None and found.strut.safety < found.material.safety:
        yield Caution(
            "Buckles",
            "the load that bends it out sideways is too near: a thicker screw, a shorter free "
            "length, or one that is pulled.",
        )
    elif found.strut is not None and found.strut.too_slender:
        yield Caution("Buckles", f"slenderer than {SLENDEREST:.0f}: not to be pressed endwise.")
    if found.nut_crushed or math.isinf(found.pressure):
        yield Caution(
            "Nut",
            "its flanks are pressed beyond what they bear: a longer one, or another material.",
        )
    if found.runs_back:
        yield Caution("Runs back", "the load turns this screw back when it is let go.")
    elif not found.holds_surely:
        yield Caution(
            "May run back", "well oiled, or shaken, it does not hold its load: a lock or a brake."
        )
    yield Caution(
        "Load",
        "figures for a new, sound screw. Where a failure could hurt someone, local codes and "
        "a licensed engineer decide, not this sheet.",
    )


def _always(job: Job) -> Iterator[Caution]:
    yield Caution(
        "Cover off", "gears nip: motor unplugged while it is open, closed before the lathe runs."
    )
