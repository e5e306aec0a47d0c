"""Taper pipe threads: the gauge plane, wires on a taper, and how the taper is made.

The thread is gauged where its diameter is given: in the plane up to which a mate goes by hand, so
far from the end of the pipe. Diameters grow by 1/16 of the way from there. Lengths mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.tolerances import INCH

NPT, R = "ASME B1.20.1", "ISO 7-1"

NPT_LEAD = 0.003
"""Relative lead error that ASME B1.20.1 allows over the effective thread: 0.003 in an inch."""

_NPT_HAND_TIGHT = {
    0.3125: 0.160, 0.405: 0.1615, 0.54: 0.2278, 0.675: 0.240, 0.84: 0.320, 1.05: 0.339,
    1.315: 0.400, 1.66: 0.420, 1.9: 0.420, 2.375: 0.436, 2.875: 0.682, 3.5: 0.766, 4.0: 0.821,
    4.5: 0.844, 5.563: 0.937, 6.625: 0.958, 8.625: 1.063, 10.75: 1.210, 12.75: 1.360,
}  # fmt: skip
"""By the pipe's outside diameter: L1, inches (ASME B1.20.1, table 2)."""

_R_LENGTHS = {
    7.723: (4.0, 6.5), 9.728: (4.0, 6.5), 13.157: (6.0, 9.7), 16.662: (6.4, 10.1),
    20.955: (8.2, 13.2), 26.441: (9.5, 14.5), 33.249: (10.4, 16.8), 41.91: (12.7, 19.1),
    47.803: (12.7, 19.1), 59.614: (15.9, 23.4), 75.184: (17.5, 26.7), 87.884: (20.6, 29.8),
    113.03: (25.4, 35.8), 138.43: (28.6, 40.1), 163.83: (28.6, 40.1),
}  # fmt: skip
"""By gauge diameter: gauge length and useful thread, mm (ISO 7-1; useful thread from memory)."""

_R_TURNS = (60.0, 1.0, 1.5)
"""Up to this gauge diameter, mm, the plane may lie one turn off, above it 1.5 (ISO 7-1, from
memory)."""


@dataclass(frozen=True)
class GaugePlane:
    """Where an external thread is gauged: `from_end` of the pipe's small end, where it has
    `major`, `pitch_diameter` and `minor`; up to `turns` either way will do. On an internal thread
    the plane is its face. `useful`: length of thread with full roots."""

    from_end: float
    major: float
    pitch_diameter: float
    minor: float
    turns: float
    useful: float


def gauge_plane(thread: Thread) -> GaugePlane | None:
    """The gauge plane of an NPT or R size; None for another thread or a size of neither."""
    if thread.major_mm is None:
        return None
    given, pitch = float(thread.major_mm), thread.pitch.mm
    if thread.standard == NPT:
        hand_tight = _NPT_HAND_TIGHT.get(round(given / INCH, 4))
        if hand_tight is None:
            return None
        outside = given / INCH
        small_end = given - (0.05 * outside + 1.1) * pitch
        middle = small_end + hand_tight * INCH / 16
        height = FORMS["npt"].addendum * pitch
        useful = (0.8 * outside + 6.8) * pitch
        plane = hand_tight * INCH
        return GaugePlane(plane, middle + 2 * height, middle, middle - 2 * height, 1.0, useful)
    lengths = _R_LENGTHS.get(round(given, 3)) if thread.standard == R else None
    if lengths is None:
        return None
    depth = FORMS["whitworth-taper"].depth * pitch
    upper, small, large = _R_TURNS
    turns = small if given <= upper else large
    return GaugePlane(lengths[0], given, given - depth, given - 2 * depth, turns, lengths[1])


def half_angle(taper: float) -> float:
    """Angle of the cone's side to its axis, degrees; 1:16 is 1 degree 47 min 24 s."""
    return math.degrees(math.atan(taper / 2))


def set_over(taper: float, length: float) -> float:
    """How far the tailstock is set over for work `length` mm long between centres."""
    return length * taper / 2


def lead_when_set_over(taper: float) -> float:
    """Relative lead error that a set-over tailstock makes by itself: the carriage runs along the
    slope, so the lead along the axis is that of the train times the cosine."""
    return math.cos(math.atan(taper / 2)) - 1


def over_wires(
    pitch_diameter: float, pitch: float, wire: float, included_angle: float, taper: float
) -> float:
    """Micrometer reading over three wires, two in neighbouring grooves and one opposite, the
    anvils square to the side of the cone; `pitch_diameter` in the plane of the one.

    M = (E - P/2 cot a + W (1/sin a + sec t)) / sec t, a half the included angle, t that of the
    cone; with 60 degrees and 1:16 that is (E - 0.86603 P + 3.00049 W) / 1.00049 (Machinery's
    Handbook, measuring taper pipe threads).
    """
    half = math.radians(included_angle / 2)
    secant = 1 / math.cos(math.atan(taper / 2))
    groove = pitch / 2 / math.tan(half)
    return (pitch_diameter - groove + wire * (1 / math.sin(half) + secant)) / secant
