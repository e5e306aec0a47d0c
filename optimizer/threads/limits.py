"""Limits of size of a thread, and what a lead error leaves of them.

A thread is good when its pitch diameter lies between two limits *and* it goes together with
a perfect mate over the engaged length. A lead error uses up the second: over the engaged length
it costs |error| x length x cot(a/2) of pitch diameter, so an external thread must be cut that much
below its upper limit, an internal one that much above its lower.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

Pair = tuple[float, float]
"""Least and most, mm."""

Open = tuple[float | None, float | None]
"""Least and most, mm; None on a side the standard does not limit."""


@dataclass(frozen=True)
class Limits:
    """Limits of size of one class, mm. `source` where the figures are from; `note` what to know
    about them, "" where nothing."""

    class_name: str
    standard: str
    inside: bool
    major: Open
    pitch_diameter: Pair
    minor: Open
    source: str
    note: str = ""


@dataclass(frozen=True)
class Target:
    """What to cut to. `cost` is the pitch diameter that the lead error uses up over `engaged`;
    `pitch_diameter` the limits it leaves, None where it leaves nothing; `longest` the engaged
    length over which it would leave something, None for a lead without error. All mm."""

    limits: Limits
    engaged: float
    cost: float
    pitch_diameter: Pair | None
    longest: float | None


def target(limits: Limits, error: float, engaged: float, included_angle: float) -> Target:
    """What a relative lead `error` leaves of `limits` over `engaged` > 0 mm of thread;
    `included_angle` in degrees, above 0."""
    a_millimetre = abs(error) / math.tan(math.radians(included_angle / 2))
    least, most = limits.pitch_diameter
    cost = a_millimetre * engaged
    left: Pair | None = (least + cost, most) if limits.inside else (least, most - cost)
    if cost > most - least:
        left = None
    return Target(
        limits, engaged, cost, left, (most - least) / a_millimetre if a_millimetre else None
    )
