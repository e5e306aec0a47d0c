"""When the half-nuts may be opened, and where they may be closed again. All exact.

A half-nut closes only at whole leadscrew pitches; the tool falls into its own groove only
at whole thread leads. Where both agree the nuts may be closed again.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe, ThreadDial
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.train import step_in_pitches


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
    step, `step_mm` long. `groove_mm` is the shorter step after which the tool of a
    multi-start thread meets a groove, if not its own (equal to `step_mm` for one start).
    `may_open` None: the carriage travel is unknown and decides. `nominal_mm` is the step the
    wanted thread would have if the train cut it without error, given where that is shorter, the
    travel allows it, and the true step must not be used: the trap of a pitch that is nearly a
    multiple; `drift_mm` is then how far the tool misses
    its groove when the nuts are closed one nominal step on.
    """

    fitted: bool
    pitches: int
    leads: int
    step_mm: float
    groove_mm: float
    dials: tuple[DialUse, ...]
    may_open: bool | None
    why: str
    nominal_mm: float | None = None
    drift_mm: float | None = None

    @property
    def anywhere(self) -> bool:
        """Whether every leadscrew pitch is a whole number of leads."""
        return self.pitches == 1


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


def half_nuts(lathe: Lathe, ratio: Fraction, wanted: Pitch) -> HalfNuts:
    """Whether and where the half-nuts may be opened while cutting with `ratio`."""
    screw = lathe.leadscrew
    pitches, leads = step_in_pitches(ratio, screw.starts)
    lead_in_pitches = ratio * screw.starts
    groove, _ = step_in_pitches(ratio / wanted.starts, screw.starts)
    dials = tuple(DialUse(d, usable_lines(d, lead_in_pitches)) for d in lathe.thread_dials)
    step_mm = pitches * screw.mm
    may_open, why = _verdict(lathe, pitches, step_mm, dials)
    trap = None if may_open else _nominal_within_travel(lathe, pitches, wanted)
    return HalfNuts(
        fitted=lathe.half_nuts,
        pitches=pitches,
        leads=leads,
        step_mm=step_mm,
        groove_mm=groove * screw.mm,
        dials=dials if lathe.half_nuts else (),
        may_open=may_open,
        why=why,
        nominal_mm=None if trap is None else trap * screw.mm,
        drift_mm=None if trap is None else _miss(trap, lead_in_pitches) * screw.mm,
    )


def _verdict(
    lathe: Lathe, pitches: int, step_mm: float, dials: tuple[DialUse, ...]
) -> tuple[bool | None, str]:
    if not lathe.half_nuts:
        return False, "this lathe has no half-nuts: bring the carriage back by reversing"
    if pitches == 1:
        return True, "every leadscrew pitch is a whole number of leads: close them anywhere"
    if any(use.lines for use in dials):
        return True, f"close them on the dial lines given, or {step_mm:.10g} mm further on"
    travel = lathe.bed.carriage_travel
    if travel is None:
        return None, f"only every {step_mm:.10g} mm, if the carriage travels that far"
    if step_mm > travel:
        why = f"the step of {step_mm:.10g} mm is longer than the travel of {travel:.10g} mm"
        return False, f"{why}: keep them closed and reverse"
    return True, f"close them a whole number of {step_mm:.10g} mm from where they were opened"


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
