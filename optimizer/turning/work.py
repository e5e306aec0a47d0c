"""The work on the lathe: lead angle, tool clearance, bed, and starts. Lengths mm, angles deg."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Bed
from gearchest.optimizer.domain.pitch import lead_angle
from gearchest.optimizer.domain.train import Train

TOOL_CLEARANCE = 4.0
"""Degrees of clearance beyond the helix on each flank (common practice, no source)."""

RUN_IN_PITCHES = 3
"""Pitches the tool starts ahead of the work, for the slack to be taken up (common practice,
no source)."""


@dataclass(frozen=True)
class ToolClearance:
    """Angles to grind below the tool's side edges, from the vertical, in a plane along the
    axis. Leading flank: the side the carriage moves to. Negative: it leans under the tool
    the other way, so that the tool must be ground or tilted to the helix."""

    leading: float
    trailing: float


def tool_clearance(lead: float, major: float, minor: float) -> ToolClearance:
    """The helix is steepest at the minor diameter, where the leading flank must clear it, and
    flattest at the major, where the trailing flank may least lean away."""
    return ToolClearance(
        lead_angle(lead, minor) + TOOL_CLEARANCE, TOOL_CLEARANCE - lead_angle(lead, major)
    )


@dataclass(frozen=True)
class BedFit:
    """Whether the length can be cut in one setting; None: not asked, or the lathe file lacks
    the dimension. `needed` is thread, run-in and run-out together, `longest` the longest
    thread one setting allows. `shift_leads`: leads the tool must be moved along on its post
    to reach the rest in the same groove, `shift` mm; `settings` how many times it is set."""

    fits: bool | None
    why: str
    needed: float | None = None
    longest: float | None = None
    shift_leads: int | None = None
    shift: float | None = None
    settings: int = 1


def bed_fit(bed: Bed, length: float | None, lead: float, pitch: float, run_out: float) -> BedFit:
    """`length` mm of thread against carriage travel and distance between centres."""
    if length is None:
        return BedFit(None, "no length given: not checked against the bed")
    run_in = RUN_IN_PITCHES * pitch
    needed = length + run_in + run_out
    centres, travel = bed.between_centres, bed.carriage_travel
    if centres is not None and length + run_out > centres:
        why = f"{length + run_out:.4g} mm of work, {centres:.10g} mm between centres"
        return BedFit(False, why, needed)
    if travel is None:
        return BedFit(None, "carriage travel not in the lathe file: not checked", needed)
    why = f"{needed:.4g} mm with run-in and run-out, {travel:.10g} mm of carriage travel"
    longest = max(0.0, travel - run_in - run_out)
    if needed <= travel:
        unsure = "" if centres is not None else "; between centres not in the lathe file"
        return BedFit(True, why + unsure, needed, longest)
    settings = math.ceil(needed / travel)
    # Each further setting reaches as far again as the tool is moved, in whole leads.
    leads = math.ceil((needed - travel) / (settings - 1) / lead - 1e-9)
    return BedFit(False, why, needed, longest, leads, leads * lead, settings)


@dataclass(frozen=True)
class Starts:
    """Passing from start to start by the first driver: move on `teeth` teeth; None where
    that is no whole number. By the slide: move the tool one `pitch` mm along."""

    starts: int
    first_driver: Gear
    teeth: int | None
    pitch: float


def starts(train: Train, count: int, pitch: float) -> Starts:
    """Indexing `count` starts: teeth of the first driver x first_driver_turns / starts."""
    first = train.drivers[0]
    step = Fraction(first.teeth, count) * train.setting.first_driver_turns
    return Starts(count, first, int(step) if step.denominator == 1 else None, pitch)
