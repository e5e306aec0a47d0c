"""A powered cutter in a helical groove: how wide it cuts, tilted or not. mm, degrees.

A bit has its axis square to the work and points at the work's own axis; a disc has its axis along
the work, or tilted from that by the lead angle so that it stands along the groove. Either sweeps
its own solid along the helix, and the groove is as wide as the sweep.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

FALLING_IN = 30
"""Rounds after which the slow iteration below stands still."""

LOOKS = 240
"""Places along the arc of contact where the sweep is looked at."""


class Kind(StrEnum):
    """How a cutter is held to the work."""

    BIT = "bit"
    DISC = "disc"


@dataclass(frozen=True)
class Cutter:
    """`diameter` mm across the cutting edges, `teeth` of them, `rpm` > 0. `assumed`: nobody named
    it."""

    kind: Kind
    diameter: float
    teeth: int
    rpm: float
    assumed: bool = False


@dataclass(frozen=True)
class Groove:
    """A groove of straight flanks: `root` is the radius of its bottom, `top` that of the surface,
    `flat` the width of its bottom, `slope` tan of half the angle between the flanks."""

    root: float
    top: float
    flat: float
    slope: float

    def width(self, radius: float) -> float:
        """Along the axis, as drawn."""
        above = (radius - self.root) * math.copysign(1, self.top - self.root)
        return self.flat + 2 * max(0.0, above) * self.slope


def swept_width(groove: Groove, cutter: Cutter, lead: float, tilt: float, radius: float) -> float:
    """Width along the axis, at `radius`, of the groove that the cutter leaves when its tip is as
    wide as the groove's bottom and its flanks lean as the groove's.

    A point of the cutter at angle a round the work, z along it, meets the section at angle 0 with
    the work on by a, at z - lead a / 2 pi. The groove reaches as far as the farthest of them. The
    cutter is the same to both sides, so half the width is looked for.
    """
    edge = _bit if cutter.kind is Kind.BIT else _disc
    widest = -math.inf
    reach = _contact(groove, cutter, radius)
    for k in range(-LOOKS, LOOKS + 1):
        angle = reach * k / LOOKS
        at = edge(groove, cutter, math.radians(tilt), radius, angle)
        if at is not None:
            widest = max(widest, at - lead * angle / (2 * math.pi))
    return 2 * widest


def widening(groove: Groove, cutter: Cutter, lead: float, tilt: float, radius: float) -> float:
    """How much wider than drawn the groove comes out at `radius`."""
    return swept_width(groove, cutter, lead, tilt, radius) - groove.width(radius)


def _contact(groove: Groove, cutter: Cutter, radius: float) -> float:
    """Half the angle round the work over which the cutter can touch it at `radius`."""
    if cutter.kind is Kind.BIT:
        return math.atan2(groove.width(groove.top), 2 * radius) * 1.2
    centre = _centre(groove, cutter)
    half = cutter.diameter / 2
    cosine = (centre**2 + radius**2 - half**2) / (2 * centre * radius)
    return math.acos(max(-1.0, min(1.0, cosine)))


def _centre(groove: Groove, cutter: Cutter) -> float:
    """How far a disc's centre stands from the work's axis: outside, or inside a bore."""
    half = cutter.diameter / 2
    return groove.root + half if groove.top > groove.root else groove.root - half


def _bit(
    groove: Groove, cutter: Cutter, tilt: float, radius: float, angle: float
) -> float | None:  # fmt: skip
    """How far along the work a bit reaches at a point round it; None where it does not."""
    across = groove.width(radius * math.cos(angle)) / 2
    off = radius * math.sin(angle)
    return math.sqrt(across**2 - off**2) if abs(off) <= across else None


def _disc(
    groove: Groove, cutter: Cutter, tilt: float, radius: float, angle: float
) -> float | None:  # fmt: skip
    """The same of a disc, whose plane is tilted along the groove."""
    half = cutter.diameter / 2
    x = radius * math.cos(angle) - _centre(groove, cutter)
    y = radius * math.sin(angle)
    z = y * math.tan(tilt)
    for _ in range(FALLING_IN):
        inwards = half - math.hypot(x, y * math.cos(tilt) + z * math.sin(tilt))
        z = (y * math.sin(tilt) + groove.flat / 2 + inwards * groove.slope) / math.cos(tilt)
    return z if inwards >= -1e-9 else None
