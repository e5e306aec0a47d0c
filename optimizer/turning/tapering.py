"""Cutting a taper pipe thread: the plane it is gauged in, wires, the taper itself. mm, degrees."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.taper_pipe import (
    NPT,
    NPT_LEAD,
    GaugePlane,
    gauge_plane,
    half_angle,
    lead_when_set_over,
    over_wires,
    set_over,
)

FIRST_GROOVE = 2.0
"""Pitches from the end of the pipe to where three wires lie in full grooves."""

HUNDRED = 100.0


@dataclass(frozen=True)
class Tapering:
    """`half_angle` of the cone in degrees; `set_over_100` for each 100 mm between centres;
    `slope_lead`: relative lead error that a set-over tailstock adds.

    `blank` and `pitch_diameter` are those at the end where the tool starts: the small end of a
    pipe, the face of a hole. `wire` and `over_wires`: the best wire and its reading with the single
    wire in the gauge plane, `first` and `last` how far from the end it may lie, the reading 1/16
    less or more a mm off the plane; None on an internal thread. All None where the plane is not
    known. `lead_tolerance`: the standard's own, None where it has none.
    """

    inside: bool
    plane: GaugePlane | None
    half_angle: float
    set_over_100: float
    slope_lead: float
    blank: float | None = None
    pitch_diameter: float | None = None
    wire: float | None = None
    over_wires: float | None = None
    first: float | None = None
    last: float | None = None
    lead_tolerance: float | None = None


def tapering(
    thread: Thread, taper: float, included_angle: float, best_wire: float | None, *, inside: bool
) -> Tapering:
    """For a thread of a taper > 0 (change of diameter per length)."""
    plane = gauge_plane(thread)
    found = Tapering(
        inside, plane, half_angle(taper), set_over(taper, HUNDRED), lead_when_set_over(taper),
        lead_tolerance=NPT_LEAD if thread.standard == NPT else None,
    )  # fmt: skip
    if plane is None:
        return found
    if inside:
        return replace(found, blank=plane.minor, pitch_diameter=plane.pitch_diameter)
    return _outside(found, plane, thread.pitch.mm, taper, included_angle, best_wire)


def _outside(
    found: Tapering, plane: GaugePlane, pitch: float, taper: float, angle: float,
    wire: float | None,
) -> Tapering:  # fmt: skip
    less = taper * plane.from_end
    found = replace(
        found, blank=plane.major - less, pitch_diameter=plane.pitch_diameter - less
    )  # fmt: skip
    if wire is None:
        return found
    return replace(
        found,
        wire=wire,
        over_wires=over_wires(plane.pitch_diameter, pitch, wire, angle, taper),
        first=FIRST_GROOVE * pitch,
        last=plane.useful - pitch,
    )
