"""How one thread is worked on one lathe, and how fast: what sheets, cards and charts all go by."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.screw_turns import Effort, effort
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.turning.cut import Cut
from gearchest.optimizer.turning.shaping import shaping
from gearchest.optimizer.turning.sizes import sizes
from gearchest.optimizer.turning.speed import Speed, Stopping, speed
from gearchest.optimizer.turning.working import Working, working

RUN_OUT_PITCHES, MOST_RUN_OUT = 2.0, 5.0
"""Run-out where none is asked for: so many pitches, at most so many mm (common practice, no
source)."""


@dataclass(frozen=True)
class WayOfWorking:
    """The way of working and the limits of speed that decide it."""

    working: Working
    speed: Speed


def usual_run_out(want: Want) -> float:
    """mm of run-out where nobody says."""
    if want.use is Use.FEED:  # a feed ends in no groove
        return MOST_RUN_OUT
    return min(RUN_OUT_PITCHES * want.pitch.mm, MOST_RUN_OUT)


def largest_cut(made: Cut | None) -> float | None:
    """mm: the largest diameter that is cut, None where that is not known."""
    if made is None or made.blank is None:
        return None
    return made.blank + (2 * made.depth if made.inside else 0.0)


def usual_way(lathe: Lathe, want: Want, turns: Fraction) -> WayOfWorking:
    """The way of working where nothing is asked beyond the thread: what its sheet says too."""
    diameter = None
    if lathe.policy.cutting_speed is not None and want.use is not Use.FEED:
        try:
            diameter = largest_cut(shaping(want, sizes(want), None).cut)
        except (KeyError, ValueError):  # no sizes to be worked out
            diameter = None
    return way_of_working(lathe, want, turns, diameter=diameter)


def way_of_working(
    lathe: Lathe,
    want: Want,
    turns: Fraction,
    *,
    run_out: float | None = None,
    cutting_speed: float | None = None,
    diameter: float | None = None,
    wooden: bool = False,
) -> WayOfWorking:
    """How a thread is worked that takes so many leadscrew turns > 0 a spindle turn.

    `run_out` in mm, None: the usual one; `cutting_speed` in m/min at the largest `diameter` in mm
    that is cut, None where either is not known; `wooden`: of wood though its use does not say so.
    """
    policy = lathe.policy
    found = speed(
        Stopping(policy.reaction_time, lathe.run_down),
        float(turns) * lathe.leadscrew.lead.mm,
        usual_run_out(want) if run_out is None else run_out,
        cutting_speed=policy.cutting_speed if cutting_speed is None else cutting_speed,
        diameter=diameter,
        lowest=lathe.lowest_rpm,
        slowest=effort(turns, policy.hand_crank_above) in (Effort.HEAVY, Effort.CRANK),
    )
    return WayOfWorking(working(policy, turns, found, wooden=wooden or want.use is Use.WOOD), found)
