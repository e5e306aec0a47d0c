"""When the half-nuts may be opened, and where they may be closed again. All exact.

A half-nut closes only at whole leadscrew pitches; the tool falls into its own groove only
at whole thread leads. Where every pitch is a whole number of leads they may be closed anywhere.
Else, while the spindle turns, only a dial tells the moment; while it stands from opening to
closing, a carriage moved by whole half-nut steps is in its groove again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe, ThreadDial
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.train import step_in_pitches

STOPS_AT = 0.5
"""mm past the start of a pass that there is always room for."""


class How(StrEnum):
    """The one way of bringing the carriage back that a sheet tells."""

    ANYWHERE = "anywhere"
    DIAL = "dial"
    STANDING = "standing"
    CLOSED = "closed"


@dataclass(frozen=True)
class DialUse:
    """What a thread dial is worth for one thread.

    `lines` counts from the line first used (0); "any" where every closing place will do,
    dial or no dial; empty where the dial must not be used.
    """

    dial: ThreadDial
    lines: tuple[int, ...] | str


@dataclass(frozen=True)
class HalfNuts:
    """Half-nuts and one train.

    `pitches` leadscrew pitches equal `leads` leads of the thread that is cut: the half-nut
    step, `step_mm` long; with the spindle turning one closing in `pitches` is right. `groove_mm`
    is the shorter step after which the tool of a multi-start thread meets a groove, if not its own
    (equal to `step_mm` for one start). `back` steps bring the carriage from the end of a pass to
    before its start, where that is the way and the length of a pass, `run_mm`, is known: `past_mm`
    beyond it. `may_open` None: the
    carriage travel is unknown, so they stay closed. `nominal_mm` is the step the
    wanted thread would have if the train cut it without error, given where that is shorter, the
    travel allows it, and it must not be used: the trap of a pitch that is nearly a
    multiple; `drift_mm` is then how far the tool misses
    its groove when the nuts are closed one nominal step on.
    """

    fitted: bool
    pitches: int
    leads: int
    step_mm: float
    groove_mm: float
    dials: tuple[DialUse, ...]
    how: How
    may_open: bool | None
    why: str
    back: int | None = None
    run_mm: float | None = None
    nominal_mm: float | None = None
    drift_mm: float | None = None

    @property
    def back_mm(self) -> float | None:
        """How far the carriage goes back, mm."""
        return None if self.back is None else self.back * self.step_mm

    @property
    def past_mm(self) -> float:
        """How far beyond the start of a pass the carriage then stands, mm; 0 where not known."""
        if self.back_mm is None or self.run_mm is None:
            return 0.0
        return max(0.0, self.back_mm - self.run_mm)


def usable_lines(dial: ThreadDial, lead_in_pitches: Fraction) -> tuple[int, ...] | str:
    """The dial lines on which the nuts may be closed, counted from the one first used.

    The dial turns once in `teeth` leadscrew pitches. Line i stands teeth x i / lines pitches
    on: it may be used when that is a whole number of pitches and of leads, and a whole turn
    of the dial is one of leads as well (otherwise the line means something else every turn).
    """
    if (1 / lead_in_pitches).denominator == 1:
        return "any"
    if (dial.teeth / lead_in_pitches).denominator != 1:
        return ()
    places = ((i, Fraction(dial.teeth * i, dial.lines)) for i in range(dial.lines))
    return tuple(
        i
        for i, pitches in places
        if pitches.denominator == 1 and (pitches / lead_in_pitches).denominator == 1
    )


def half_nuts(
    lathe: Lathe,
    ratio: Fraction,
    wanted: Pitch,
    *,
    run: float | None = None,
    screw_drives: bool = False,
    feed: bool = False,
    left: bool = False,
) -> HalfNuts:
    """Whether and where the half-nuts may be opened while cutting with `ratio`.

    `run`: mm the carriage goes in a pass, run-in and run-out with it; None: not known.
    `screw_drives`: the screw is turned at its own end, so its half-nuts turn the spindle. `feed`:
    the work is turned and not threaded, so that there is no groove to meet. `left`: the carriage
    comes back towards the headstock, where nothing is to spare beyond the start of a pass.
    """
    screw = lathe.leadscrew
    pitches, leads = step_in_pitches(ratio, screw.starts)
    lead_in_pitches = ratio * screw.starts
    groove, _ = step_in_pitches(ratio / wanted.starts, screw.starts)
    dials = tuple(DialUse(d, usable_lines(d, lead_in_pitches)) for d in lathe.thread_dials)
    step_mm = pitches * screw.mm
    if screw_drives:
        how, why = How.CLOSED, "the screw drives the spindle"
    elif feed and lathe.half_nuts:
        how, why = How.ANYWHERE, "a feed has no groove to meet"
    else:
        how, why = _how(lathe, pitches, step_mm, dials, run, left=left)
    travel = lathe.bed.carriage_travel
    unknown = how is How.CLOSED and not screw_drives and lathe.half_nuts and travel is None
    running = how in (How.ANYWHERE, How.DIAL)
    trap = None if running else _nominal_within_travel(lathe, pitches, wanted)
    return HalfNuts(
        fitted=lathe.half_nuts,
        pitches=pitches,
        leads=leads,
        step_mm=step_mm,
        groove_mm=groove * screw.mm,
        dials=dials if lathe.half_nuts else (),
        how=how,
        may_open=None if unknown else how is not How.CLOSED,
        why=why,
        back=_steps(run, step_mm) if how is How.STANDING and run is not None else None,
        run_mm=run,
        nominal_mm=None if trap is None else trap * screw.mm,
        drift_mm=None if trap is None else _miss(trap, lead_in_pitches) * screw.mm,
    )


def _how(
    lathe: Lathe,
    pitches: int,
    step_mm: float,
    dials: tuple[DialUse, ...],
    run: float | None,
    *,
    left: bool,
) -> tuple[How, str]:
    if not lathe.half_nuts:
        return How.CLOSED, "this lathe has no half-nuts"
    if pitches == 1:
        return How.ANYWHERE, "every leadscrew pitch is a whole number of leads"
    if any(use.lines for use in dials):
        return How.DIAL, "the dial tells the moment, the spindle may turn"
    travel = lathe.bed.carriage_travel
    if travel is None:
        return How.CLOSED, "the lathe file gives no carriage travel to step along"
    if step_mm > travel:
        return How.CLOSED, f"a step is {step_mm:.10g} mm, the carriage travels {travel:.10g} mm"
    back = _steps(run or 0.0, step_mm) * step_mm
    if back > travel:
        why = f"whole steps back to the start take {back:.10g} mm"
        return How.CLOSED, f"{why}, the carriage travels {travel:.10g} mm"
    if left and run is not None and back > run + STOPS_AT:
        past = f"{back - run:.4g} mm past the start"
        return How.CLOSED, f"whole steps back end {past}, towards the headstock"
    return How.STANDING, "no dial tells the moment, so the spindle must not turn meanwhile"


def _steps(run: float, step_mm: float) -> int:
    """The least whole steps, one or more, that are as long as a pass."""
    return max(1, math.ceil(run / step_mm - 1e-9))


def _nominal_within_travel(lathe: Lathe, pitches: int, wanted: Pitch) -> int | None:
    """The step in leadscrew pitches if the thread were cut without error, where that is
    shorter and within the travel; None too where the factor pi makes it endless."""
    screw = lathe.leadscrew
    if screw.pi != wanted.pi:
        return None
    nominal = (wanted.lead.rational / screw.rational).numerator
    travel = lathe.bed.carriage_travel
    reachable = travel is None or nominal * screw.mm <= travel
    return nominal if nominal < pitches and reachable else None


def _miss(pitches: int, lead_in_pitches: Fraction) -> float:
    """How far from the nearest groove, in leadscrew pitches, after `pitches` of them."""
    leads = pitches / lead_in_pitches
    return float(abs(leads - round(leads)) * lead_in_pitches)
