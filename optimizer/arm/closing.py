"""How a chain of shafts closes on the arm: closed forms, one chain at a time.

The screw shaft O is the origin, the first driver's shaft S lies at (axis_distance, 0), and
every shaft stands at a known distance from the next (its gears mesh). With one stud the
triangle S-P-O closes in two mirror positions. With two, the stud next to O has its place in
its slot, the other's follows from the distance between them, both in the arm's own frame;
the arm angle is then the one that brings the first stud to its distance from S.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from gearchest.optimizer.domain.lathe import LENGTH_TOLERANCE, Banjo, Slot

DIRECT_TOLERANCE = 0.1
"""mm by which the centre distance of a direct mesh may differ from the axis distance."""

Point = tuple[float, float]


@dataclass(frozen=True)
class Posture:
    """One way a chain closes: arm angle (degrees; None for a direct mesh), each stud's slot
    and position along it, and every shaft's centre from the first driver's to the screw's.
    Neither the ends of the slots nor the swing have been looked at yet."""

    arm_angle: float | None
    slots: tuple[int, ...]
    positions: tuple[float, ...]
    shafts: tuple[Point, ...]


def in_arm(slot: Slot, position: float) -> Point:
    """Where a stud stands in the arm's own frame."""
    b = math.radians(slot.angle)
    return (
        position * math.cos(b) - slot.offset * math.sin(b),
        position * math.sin(b) + slot.offset * math.cos(b),
    )


def normal_angle(degrees: float) -> float:
    """The same angle in (-180, 180]."""
    turned = math.remainder(degrees, 360.0)
    return 180.0 if turned == -180.0 else turned


def past_swing(banjo: Banjo, arm_angle: float) -> float:
    """Degrees by which an arm angle lies outside the swing; 0 inside."""
    first, last = banjo.swing
    if last - first >= 360.0:
        return 0.0
    width = (last - first) % 360.0
    turned = (arm_angle - first) % 360.0
    if turned <= width + LENGTH_TOLERANCE or turned >= 360.0 - LENGTH_TOLERANCE:
        return 0.0
    return min(turned - width, 360.0 - turned)


def postures(banjo: Banjo, spans: Sequence[float]) -> Iterator[Posture]:
    """Every way a chain with these shaft distances (mm, from the first driver's shaft to
    the screw) closes on the arm; none if it does not.

    Order: slots as the file lists them, then the near root, then the upper mirror position.
    """
    driver_shaft, screw = (banjo.axis_distance, 0.0), (0.0, 0.0)
    if len(spans) == 1:
        if abs(spans[0] - banjo.axis_distance) <= DIRECT_TOLERANCE + LENGTH_TOLERANCE:
            yield Posture(None, (), (), (driver_shaft, screw))
        return
    studs = len(spans) - 1
    for chosen in product(range(len(banjo.slots)), repeat=studs):
        for positions in _stud_positions([banjo.slots[i] for i in chosen], spans[1:]):
            points = [in_arm(banjo.slots[i], t) for i, t in zip(chosen, positions, strict=True)]
            for arm in _arm_angles(points[0], banjo.axis_distance, spans[0]):
                shafts = (driver_shaft, *(_turned(p, arm) for p in points), screw)
                yield Posture(normal_angle(math.degrees(arm)), chosen, positions, shafts)


def _stud_positions(slots: Sequence[Slot], spans: Sequence[float]) -> Iterator[tuple[float, ...]]:
    """Positions along the slots, first stud first, that keep the distances between the
    studs and to the screw (the last of `spans`)."""
    last = slots[-1]
    for t in _roots(spans[-1] ** 2 - last.offset**2):
        if len(slots) == 1:
            yield (t,)
            continue
        # The other stud: along its slot, at its distance from the one just placed.
        (x, y), first = in_arm(last, t), slots[0]
        b = math.radians(first.angle)
        along = x * math.cos(b) + y * math.sin(b)
        across = y * math.cos(b) - x * math.sin(b)
        for step in _roots(spans[0] ** 2 - (across - first.offset) ** 2):
            yield (along + step, t)


def _roots(square: float) -> tuple[float, ...]:
    """Both square roots; one at zero (within rounding), none of a negative number."""
    if square < -LENGTH_TOLERANCE:
        return ()
    root = math.sqrt(max(square, 0.0))
    return (root, -root) if root > 0.0 else (0.0,)


def _arm_angles(stud: Point, axis_distance: float, span: float) -> Iterator[float]:
    """Arm angles (radians) that bring the first stud to `span` from the driver's shaft."""
    radius = math.hypot(*stud)
    if radius == 0.0:
        return
    cosine = (radius**2 + axis_distance**2 - span**2) / (2 * radius * axis_distance)
    if abs(cosine) > 1.0 + 1e-12:
        return
    angle, own = math.acos(max(-1.0, min(1.0, cosine))), math.atan2(stud[1], stud[0])
    yield angle - own
    if angle > 0.0:
        yield -angle - own


def _turned(point: Point, angle: float) -> Point:
    x, y = point
    return (
        x * math.cos(angle) - y * math.sin(angle),
        x * math.sin(angle) + y * math.cos(angle),
    )
