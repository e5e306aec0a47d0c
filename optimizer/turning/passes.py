"""Infeed: how deep pass by pass. Depths are radial, mm from the surface, cumulative."""

from __future__ import annotations

import math
from dataclasses import dataclass

FIRST_PASS = 0.2
"""mm deep for a pitch of 1 mm; grows with the square root of the pitch (common practice, no
source)."""

SPRING_PASSES = 2
"""Passes without further infeed (common practice, no source)."""

CUTTER_PASS = {True: 1.5, False: 0.5}
"""mm a pass at most for a powered cutter, in wood or in metal (common practice, no source)."""

FINISHING_PASS = {True: 0.3, False: 0.1}
"""mm left for its last pass (common practice, no source)."""

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


def milled(depth: float, *, wooden: bool) -> Infeed:
    """A powered cutter's passes: equal ones of at most CUTTER_PASS, the last of FINISHING_PASS."""
    last = FINISHING_PASS[wooden]
    if depth <= last:
        return Infeed((depth,), 0, True, None, ())
    rough = depth - last
    count = math.ceil(rough / CUTTER_PASS[wooden] - 1e-9)
    return Infeed((*(rough * k / count for k in range(1, count + 1)), depth), 0, True, None, ())


def infeed(
    depth: float, pitch: float, included_angle: float | None, *, straight: bool = False
) -> Infeed:
    """A single point's passes for a thread `depth` mm deep. `included_angle` in degrees, None
    where it is not known or the flanks are not alike: then the tool is fed straight in, as it is
    where the top slide has other work to do."""
    depths = turned(depth, pitch, parallel=included_angle == 0)
    if straight or included_angle is None or included_angle < 20:
        return Infeed(depths, SPRING_PASSES, False, None, ())
    angle = included_angle / 2 - SHY_OF_FLANK
    along = 1 / math.cos(math.radians(angle))
    return Infeed(depths, SPRING_PASSES, False, angle, tuple(d * along for d in depths))
