"""How a chain of shafts closes on the arm: closed forms, one chain at a time.

The screw shaft O is the origin, the first driver's shaft S lies at (axis_distance, 0), and
every shaft stands at a known distance from the next (its gears mesh). With one stud the
triangle S-P-O closes in two mirror positions. With several, the stud next to O has its place
in its slot, that of each further one follows from its distance from the one before, all in the
arm's own frame; the arm angle is then the one that brings the first stud to its distance from S.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from gearchest.optimizer.arm.geometry import (
    COSINE_SLACK,
    Point,
    along_slot,
    arm_cosine,
    in_arm,
    meshes_directly,
    normal_angle,
    turned,
)
from gearchest.optimizer.domain.lathe import LENGTH_TOLERANCE, Banjo, Slot

SCREW: Point = (0.0, 0.0)


@dataclass(frozen=True)
class Posture:
    """One way a chain closes: arm angle (degrees; None for a direct mesh), each stud's slot
    and position along it, and every shaft's centre from the first driver's to the screw's.
    Neither the ends of the slots nor the swing have been looked at yet."""

    arm_angle: float | None
    slots: tuple[int, ...]
    positions: tuple[float, ...]
    shafts: tuple[Point, ...]


def postures(banjo: Banjo, spans: Sequence[float]) -> Iterator[Posture]:
    """Every way a chain with these shaft distances (mm, from the first driver's shaft to
    the screw) closes on the arm; none if it does not.

    Order: slots as the file lists them, then the near root, then the upper mirror position.
    """
    driver_shaft = (banjo.axis_distance, 0.0)
    if len(spans) == 1:
        if meshes_directly(banjo, spans[0]):
            yield Posture(None, (), (), (driver_shaft, SCREW))
        return
    studs = len(spans) - 1
    for chosen in product(range(len(banjo.slots)), repeat=studs):
        for positions in _stud_positions([banjo.slots[i] for i in chosen], spans[1:]):
            points = [in_arm(banjo.slots[i], t) for i, t in zip(chosen, positions, strict=True)]
            for arm in _arm_angles(banjo, points[0], spans[0]):
                shafts = (driver_shaft, *(turned(p, arm) for p in points), SCREW)
                yield Posture(normal_angle(math.degrees(arm)), chosen, positions, shafts)


def _stud_positions(
    slots: Sequence[Slot], spans: Sequence[float], centre: Point = SCREW
) -> Iterator[tuple[float, ...]]:
    """Positions along the slots, first stud first, that keep the distances between the
    studs, and that of the last stud from `centre` (the last of `spans`)."""
    if not slots:
        yield ()
        return
    along, across = along_slot(slots[-1], *centre)
    for step in _roots(spans[-1] ** 2 - across**2):
        last = along + step
        for others in _stud_positions(slots[:-1], spans[:-1], in_arm(slots[-1], last)):
            yield (*others, last)


def _roots(square: float) -> tuple[float, ...]:
    """Both square roots; one at zero (within rounding), none of a negative number."""
    if square < -LENGTH_TOLERANCE:
        return ()
    root = math.sqrt(max(square, 0.0))
    return (root, -root) if root > 0.0 else (0.0,)


def _arm_angles(banjo: Banjo, stud: Point, span: float) -> Iterator[float]:
    """Arm angles (radians) that bring the first stud to `span` from the driver's shaft."""
    radius = math.hypot(*stud)
    if radius == 0.0:
        return
    cosine = arm_cosine(banjo, radius, span)
    if abs(cosine) > 1.0 + COSINE_SLACK:
        return
    angle, own = math.acos(max(-1.0, min(1.0, cosine))), math.atan2(stud[1], stud[0])
    yield angle - own
    if angle > 0.0:
        yield -angle - own
