"""Measuring a thread over three wires.

Two wires lie in neighbouring grooves on one side, one on the other; a micrometer over all
three gives the pitch diameter, whatever the crests are like. With A half the included angle,
W the wire's diameter, P the pitch and L the lead angle:

    M = d2 + W (1 + 1/sin A') - P/2 x cot A,   tan A' = tan A cos L

A' is the half angle square to the thread (Machinery's Handbook, measuring screw threads).
It holds for lead angles up to about 5 degrees; above, wires rest noticeably off the plane
through the axis and `exact` is False.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.threads.forms import Dimensions

_STEEP_DEG = 5.0


@dataclass(frozen=True)
class Wires:
    """Wires for one thread, mm. `best_mm` touches at the pitch line; a wire from `smallest_mm`
    to `largest_mm` still touches the straight of the flanks and stands proud of the crests."""

    best_mm: float
    smallest_mm: float
    largest_mm: float
    over_best_mm: float
    exact: bool


def wires_for(thread: Dimensions) -> Wires | None:
    """Wires for a thread; None where it has no diameter or no straight flanks."""
    ridge = thread.profile
    if ridge.included_angle_deg is None or thread.pitch_diameter_mm is None:
        return None
    if thread.major_mm is None or thread.lead_angle_deg is None:
        return None
    half = math.radians(ridge.included_angle_deg / 2)
    best = ridge.pitch_mm / (2 * math.cos(half))
    crest = (thread.major_mm - thread.pitch_diameter_mm) / 2
    root = ridge.depth_mm - crest
    top = crest - ridge.crest_radius_mm * (1 - math.sin(half))
    bottom = root - ridge.root_radius_mm * (1 - math.sin(half))
    proud = (2 * crest + ridge.pitch_mm / 2 / math.tan(half)) / (1 + 1 / math.sin(half))
    return Wires(
        best_mm=best,
        smallest_mm=max(_touching(ridge.pitch_mm, half, -bottom), proud),
        largest_mm=_touching(ridge.pitch_mm, half, top),
        over_best_mm=over_wires_mm(thread, best),
        exact=thread.lead_angle_deg <= _STEEP_DEG,
    )


def over_wires_mm(thread: Dimensions, wire_mm: float) -> float:
    """The measurement over wires of a diameter > 0, for the thread's basic pitch diameter.

    ValueError where the thread has no diameter or no straight flanks.
    """
    return _known(thread.pitch_diameter_mm) + _added_mm(thread, wire_mm)


def pitch_diameter_mm(thread: Dimensions, wire_mm: float, measured_mm: float) -> float:
    """The pitch diameter that a measurement over wires means."""
    return measured_mm - _added_mm(thread, wire_mm)


def _added_mm(thread: Dimensions, wire_mm: float) -> float:
    """What the wires add to the pitch diameter."""
    half = math.radians(_known(thread.profile.included_angle_deg) / 2)
    lead_angle = math.radians(_known(thread.lead_angle_deg))
    normal = math.atan(math.tan(half) * math.cos(lead_angle))
    groove = thread.profile.pitch_mm / 2 / math.tan(half)
    return wire_mm * (1 + 1 / math.sin(normal)) - groove


def _touching(pitch_mm: float, half_angle: float, height_mm: float) -> float:
    """Diameter of the wire that touches the flanks `height_mm` above the pitch line."""
    width = pitch_mm / 2 + 2 * height_mm * math.tan(half_angle)
    return width / math.cos(half_angle)


def _known(value: float | None) -> float:
    if value is None:
        raise ValueError("wires need a diameter and straight flanks")
    return value
