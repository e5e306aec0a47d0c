"""Measuring a thread over three wires.

Two wires lie in neighbouring grooves on one side, one on the other; a micrometer over all
three gives the pitch diameter, whatever the crests are like. With A half the included angle,
W the wire's diameter, P the pitch and L the lead angle:

    M = d2 + W (1 + 1/sin A') - P/2 x cot A,   tan A' = tan A cos L

A' is the half angle square to the thread (Machinery's Handbook, measuring screw threads). Where
the flanks are not alike, 1/sin A' becomes the seat of the flanks and cot A one over their slope.
It holds for lead angles up to about 5 degrees; above, wires rest noticeably off the plane
through the axis and `exact` is False.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.threads.flanks import Flanks
from gearchest.optimizer.threads.forms import Dimensions

_STEEP_DEG = 5.0


@dataclass(frozen=True)
class Wires:
    """Wires for one thread, mm. `best_mm` touches at the pitch line, or as near to it as a wire can
    that stands proud (flanks that are not alike as far above it as below); one from `smallest_mm`
    to `largest_mm` still touches the straight of the flanks and stands proud of the crests."""

    best_mm: float
    smallest_mm: float
    largest_mm: float
    over_best_mm: float
    exact: bool


def wires_for(thread: Dimensions) -> Wires | None:
    """Wires for a thread; None where it has no diameter or no sloping flanks."""
    ridge, flanks = thread.profile, thread.profile.flanks
    if flanks is None or not flanks.slope or thread.pitch_diameter_mm is None:
        return None
    if thread.major_mm is None or thread.lead_angle_deg is None:
        return None
    steep = math.radians(min(flanks.load, flanks.other))
    flat = math.radians(max(flanks.load, flanks.other))
    sharp = flanks.sharp(ridge.pitch_mm)
    best = _of_contact(flanks, 2 * sharp / (math.cos(steep) + math.cos(flat)))
    crest = (thread.major_mm - thread.pitch_diameter_mm) / 2
    top = crest - ridge.crest_radius_mm * (1 - math.sin(steep))
    # Of every form here what stands proud of the crests touches the flanks above their foot.
    smallest = 2 * (crest + sharp) / (1 + flanks.seat)
    best = max(best, smallest)
    return Wires(
        best_mm=best,
        smallest_mm=smallest,
        largest_mm=_of_contact(flanks, (sharp + top) / math.cos(steep)),
        over_best_mm=over_wires_mm(thread, best),
        exact=thread.lead_angle_deg <= _STEEP_DEG,
    )


def over_wires_mm(thread: Dimensions, wire_mm: float) -> float:
    """The measurement over wires of a diameter > 0, for the thread's basic pitch diameter.

    ValueError where the thread has no diameter or no sloping flanks.
    """
    return _known(thread.pitch_diameter_mm) + _added_mm(thread, wire_mm)


def pitch_diameter_mm(thread: Dimensions, wire_mm: float, measured_mm: float) -> float:
    """The pitch diameter that a measurement over wires means."""
    return measured_mm - _added_mm(thread, wire_mm)


def _added_mm(thread: Dimensions, wire_mm: float) -> float:
    """What the wires add to the pitch diameter."""
    flanks = thread.profile.flanks
    if flanks is None or not flanks.slope:
        raise ValueError("wires need a diameter and straight flanks that slope")
    normal = flanks.square_to_thread(_known(thread.lead_angle_deg))
    return wire_mm * (1 + normal.seat) - 2 * flanks.sharp(thread.profile.pitch_mm)


def _of_contact(flanks: Flanks, along_mm: float) -> float:
    """Diameter of the wire that touches both flanks `along_mm` from where they meet."""
    return 2 * along_mm * math.tan(math.radians(flanks.included / 2))


def _known(value: float | None) -> float:
    if value is None:
        raise ValueError("wires need a diameter and straight flanks")
    return value
