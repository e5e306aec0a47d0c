"""Limits of size of Unified inch threads: ASME B1.1, classes 1A, 2A, 3A and 1B, 2B, 3B.

Everything follows from the pitch-diameter tolerance of class 2A and the pitch; inches inside,
rounded as ASME B1.1 prints them, mm outside.
"""

from __future__ import annotations

from gearchest.optimizer.threads.limits import Limits
from gearchest.optimizer.threads.tolerances import INCH, unified_2a_mm

OUTSIDE = ("2A", "3A", "1A")
INSIDE = ("2B", "3B", "1B")
"""The classes of ASME B1.1, the medium one first."""

_PITCH = {"1A": 1.5, "2A": 1.0, "3A": 0.75, "1B": 1.95, "2B": 1.3, "3B": 0.975}
"""Pitch-diameter tolerance as a multiple of class 2A's."""

_ALLOWANCE = 0.3
"""Of class 2A's tolerance, how far 1A and 2A stay below basic."""

_SHARP = 3**0.5 / 2
_SOURCE = "formulas of ASME B1.1"


def limits(
    major: float, pitch: float, class_name: str, *, inside: bool, engaged: float
) -> Limits | None:
    """Limits of a class, mm, for the length of engagement its series is toleranced for (one
    diameter for UNC and UNF, nine pitches else). ValueError for a class ASME B1.1 does not
    have."""
    if class_name not in (INSIDE if inside else OUTSIDE):
        kind = "internal" if inside else "external"
        raise ValueError(f"{class_name} is no class of {kind} threads in ASME B1.1")
    d, p = major / INCH, pitch / INCH
    basic = _printed(d - 0.75 * _SHARP * p)
    class_2a = round(unified_2a_mm(major, pitch, engaged) / INCH, 6)
    width = _printed(_PITCH[class_name] * class_2a)
    if inside:
        return Limits(
            class_name, "ASME B1.1", True, (_mm(d), None), (_mm(basic), _mm(basic + width)),
            _minor(d, p, class_name), _SOURCE,
        )  # fmt: skip
    below = 0.0 if class_name == "3A" else _printed(_ALLOWANCE * class_2a)
    crest = _printed((0.09 if class_name == "1A" else 0.06) * p ** (2 / 3))
    # ASME B1.1 names no least minor diameter; the root of a rounded (UNR) tool is its most.
    return Limits(
        class_name, "ASME B1.1", False, (_mm(d - below - crest), _mm(d - below)),
        (_mm(basic - below - width), _mm(basic - below)),
        (None, _mm(d - below - 11 / 8 * _SHARP * p)), _SOURCE,
    )  # fmt: skip


def _minor(d: float, p: float, class_name: str) -> tuple[float, float]:
    """The internal minor diameter, mm, from a diameter and a pitch in inches.

    ASME B1.1 rounds it to three places from 0.138 in on, but for the upper limit of 3B.
    """
    basic = d - 1.25 * _SHARP * p
    by_size = 0.05 * p ** (2 / 3) + 0.03 * p / d - 0.002
    if class_name == "3B":
        floor = 0.12 * p if p > 1 / 13 + 1e-9 else 0.23 * p - 1.5 * p * p
        width = min(max(by_size, floor), 0.394 * p)
    elif d < 0.25:
        width = min(max(by_size, 0.25 * p - 0.4 * p * p), 0.394 * p)
    else:
        width = 0.15 * p if p > 1 / 4 + 1e-9 else 0.25 * p - 0.4 * p * p
    places = 3 if d >= 0.138 - 1e-9 else 4
    if class_name == "3B" or places == 4:
        return _mm(basic, places), _mm(_printed(basic) + _printed(width))
    return _mm(basic, places), _mm(basic + width, places)


def _printed(inches: float) -> float:
    """As ASME B1.1 rounds what it then adds up."""
    return round(inches, 4)


def _mm(inches: float, places: int = 4) -> float:
    return round(inches, places) * INCH
