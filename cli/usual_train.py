"""What was understood of a lathe's usual train and gearbox, for `gearchest check`."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import MM_PER_INCH, format_fraction
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.train import Train
from gearchest.reports.words import wording


def understood(lathe: Lathe) -> Iterator[str]:
    """The usual train and the box in a line, then what is wrong with the train."""
    usual = lathe.usual_train
    if lathe.gearbox:
        yield _box(lathe, usual)
    elif usual is not None:
        yield f"usual train {wording.gears_written(usual)}: {_pitch(lathe, usual.ratio)}"
    if usual is None:
        return
    if lacking := usual.missing(owned_gears(lathe)):
        gears = ", ".join(map(str, lacking))
        yield f"the usual train takes gears that are not among those owned: {gears}"
    placed = fit(lathe, usual)
    if placed.fits is Fits.NO:
        yield f"the usual train does not hang on this arm: {'; '.join(placed.misfits)}"


def _box(lathe: Lathe, usual: Train | None) -> str:
    """How many positions, and from where to where they go."""
    slow, fast = (end(lathe.gearbox, key=lambda one: one[1]) for end in (min, max))
    count = len(lathe.gearbox)
    positions = "1 position" if count == 1 else f"{count} positions"
    if usual is None:
        ends = " to ".join(f"{ratio} at {name}" for name, ratio in dict((slow, fast)).items())
        return f"gearbox of {positions}, turns of the screw for one of its input: {ends}"
    ends = " to ".join(
        f"{_pitch(lathe, usual.ratio * ratio)} at {name}"
        for name, ratio in dict((slow, fast)).items()
    )
    return f"gearbox of {positions}, with {wording.gears_written(usual)} on the lathe: {ends}"


def _pitch(lathe: Lathe, turns: Fraction) -> str:
    """What so many screw turns cut, as this lathe's screw is told."""
    lead = lathe.leadscrew.lead.rational * turns
    if lathe.leadscrew.pi:
        return f"{format_fraction(lead)} module"
    if lathe.leadscrew.inch:
        return f"{format_fraction(MM_PER_INCH / lead)} tpi"
    return f"{format_fraction(lead)} mm"
