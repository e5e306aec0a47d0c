"""The work on the lathe: lead angle, tool clearance, bed, and starts. Lengths mm, angles deg."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Bed
from gearchest.optimizer.domain.pitch import MM_PER_INCH, lead_angle
from gearchest.optimizer.domain.train import Train

TOOL_CLEARANCE = 4.0
"""Degrees of clearance beyond the helix on each flank (common practice, no source)."""

RUN_IN_PITCHES = 3
"""Pitches the tool starts ahead of the work, for the slack to be taken up (common practice,
no source)."""


TOP_SLIDE = 50.0
"""mm a top slide travels where the lathe file does not say (common practice, no source)."""


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
    the dimension. `needed` is thread, run-in and run-out together, `run` how far the carriage then
    goes in a pass, `longest` the longest thread one setting allows.

    The rest is reached by moving the tool along, in each of the further `settings` by `shift` mm,
    which are `shift_leads` leads of the train, so that it meets its own groove. None where one
    lead is more than can be moved. `by_slide`: whether the top slide, of `slide` mm travel, moves
    so far in all; else the tool is moved on its post.
    """

    fits: bool | None
    why: str
    needed: float | None = None
    longest: float | None = None
    run: float | None = None
    shift_leads: int | None = None
    shift: float | None = None
    settings: int = 1
    slide: float = TOP_SLIDE
    by_slide: bool = False


def bed_fit(bed: Bed, length: float | None, lead: float, pitch: float, run_out: float) -> BedFit:
    """`length` mm of thread, cut with `lead` mm a turn, against the bed."""
    if length is None:
        return BedFit(None, "no length given")
    run_in = RUN_IN_PITCHES * pitch
    needed = length + run_in + run_out
    centres, travel = bed.between_centres, bed.carriage_travel
    if centres is not None and length + run_out > centres:
        why = f"{length + run_out:.4g} mm of work, {centres:.10g} mm between centres"
        return BedFit(False, why, needed, run=needed)
    if travel is None:
        return BedFit(None, "carriage travel not in the lathe file", needed, run=needed)
    why = f"{needed:.4g} mm with run-in and run-out, {travel:.10g} mm of carriage travel"
    longest = max(0.0, travel - run_in - run_out)
    if needed <= travel:
        unsure = "" if centres is not None else "; between centres not in the lathe file"
        return BedFit(True, why + unsure, needed, longest, needed)
    found = BedFit(False, why, needed, longest, travel)
    # A setting ends where the next one is in its groove already: it overlaps by a run-in at least.
    most = math.floor((travel - run_in) / lead + 1e-9)
    if most < 1:
        return found
    beyond = needed - travel
    settings = 1 + math.ceil(beyond / (most * lead) - 1e-9)
    leads = math.ceil(beyond / (settings - 1) / lead - 1e-9)
    slide = bed.top_slide_travel or TOP_SLIDE
    shift = leads * lead
    return replace(
        found, shift_leads=leads, shift=shift, settings=settings, slide=slide,
        by_slide=(settings - 1) * shift <= slide,
    )  # fmt: skip


@dataclass(frozen=True)
class Starts:
    """Passing from start to start, in one way: by the first driver, which moves on `teeth` teeth,
    or, where those are no whole number (None), by the slide, `pitch` mm along."""

    starts: int
    first_driver: Gear
    teeth: int | None
    pitch: float


def starts(train: Train, count: int, lead: float) -> Starts:
    """Indexing `count` starts of `lead` mm: teeth of the first driver x first_driver_turns /
    starts."""
    first = train.drivers[0]
    step = Fraction(first.teeth, count) * train.setting.first_driver_turns
    return Starts(count, first, int(step) if step.denominator == 1 else None, lead / count)


RULE, USUAL_COUNT = 60.0, 10
"""mm measured against a rule after the first scratch, at most, and threads counted (common
practice, no source)."""

NEARLY = 0.02
"""Turns by which a count may miss an inch: more than a rule shows."""


def scratch(lead: float, length: float | None, *, inch: bool = False) -> tuple[int, float]:
    """How many turns of the thread to count after the first scratch, and how long they are, mm: of
    an `inch` thread those in one or two inches where they are whole."""
    room = min(RULE, RULE if length is None else length)
    if inch:
        for inches in (1, 2):
            threads = inches * float(MM_PER_INCH) / lead
            count = round(threads)
            if count > 1 and inches * float(MM_PER_INCH) <= room and abs(threads - count) < NEARLY:
                return count, count * lead
    count = max(1, min(USUAL_COUNT, math.floor(room / lead + 1e-9)))
    return count, count * lead


class Side(StrEnum):
    """Where the handle of the top slide is swung to."""

    TAILSTOCK = "tailstock"
    HEADSTOCK = "headstock"


def slide_side(*, left: bool, inside: bool) -> Side:
    """To where the top slide feeds along the trailing flank, so that the leading one is cut: a
    right-hand thread runs towards the headstock, and inside the tool feeds towards the turner."""
    return Side.HEADSTOCK if left != inside else Side.TAILSTOCK
