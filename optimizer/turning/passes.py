"""Infeed: how deep pass by pass. Depths are radial, mm from the surface, cumulative."""

from __future__ import annotations

import math
from dataclasses import dataclass

FIRST_PASS = 0.2
"""mm deep for a pitch of 1 mm; grows with the square root of the pitch (common practice, no
source)."""

SPRING_PASSES = 2
"""Passes without further infeed (common practice, no source)."""

ROTATING_CUTTER_PASS = 1.5
"""mm a pass at most for a router or another rotating cutter in wood (common practice, no
source)."""

FINISHING_PASS = 0.3
"""mm left for a rotating cutter's last pass in wood (common practice, no source)."""

SHY_OF_FLANK = 0.5
"""Degrees the compound slide stands short of the flank, so that the trailing flank is wiped
clean (common practice, no source)."""


@dataclass(frozen=True)
class Infeed:
    """`depths` straight in; `slide_angle` in degrees from square to the work and
    `slide_readings` along it for feeding by the compound slide, None where the flanks are
    too steep for that. The last `spring` depths repeat the full depth."""

    depths: tuple[float, ...]
    spring: int
    rotating: bool
    slide_angle: float | None
    slide_readings: tuple[float, ...]


def turned(depth: float, pitch: float, *, parallel: bool = False) -> tuple[float, ...]:
    """Passes of one chip area each, then spring passes.

    The area cut grows with the square of the depth, so pass k of n reaches
    depth x sqrt(k/n); n follows from FIRST_PASS. In a groove with `parallel` flanks the tool is
    as wide all the way, so as many passes are of one depth.
    """
    first = min(FIRST_PASS * math.sqrt(pitch), depth)
    count = math.ceil((depth / first) ** 2 - 1e-9)
    shares = (k / count for k in range(1, count + 1))
    rising = tuple(depth * (share if parallel else math.sqrt(share)) for share in shares)
    return rising + (depth,) * SPRING_PASSES


def routed(depth: float) -> tuple[float, ...]:
    """Equal passes of at most ROTATING_CUTTER_PASS, the last of FINISHING_PASS."""
    if depth <= FINISHING_PASS:
        return (depth,)
    rough = depth - FINISHING_PASS
    count = math.ceil(rough / ROTATING_CUTTER_PASS - 1e-9)
    return (*(rough * k / count for k in range(1, count + 1)), depth)


def infeed(depth: float, pitch: float, included_angle: float | None, *, rotating: bool) -> Infeed:
    """A schedule for a thread `depth` mm deep; `included_angle` in degrees, None
    where it is not known or the flanks are not alike: then the tool is fed straight in."""
    if rotating:
        return Infeed(routed(depth), 0, True, None, ())
    depths = turned(depth, pitch, parallel=included_angle == 0)
    if included_angle is None or included_angle < 20:
        return Infeed(depths, SPRING_PASSES, False, None, ())
    angle = included_angle / 2 - SHY_OF_FLANK
    along = 1 / math.cos(math.radians(angle))
    return Infeed(depths, SPRING_PASSES, False, angle, tuple(d * along for d in depths))
