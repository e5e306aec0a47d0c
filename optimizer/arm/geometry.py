"""The arm in formulas, each written once for a single stud and for arrays of them alike.

The screw shaft O is the origin, the first driver's shaft S lies at (axis_distance, 0). Lengths
in mm, angles of the arm in degrees unless radians are said; limits are inclusive to within
LENGTH_TOLERANCE.
"""

from __future__ import annotations

import math
from typing import TypeVar, overload

from gearchest.optimizer.domain.arrays import Bools, Floats
from gearchest.optimizer.domain.lathe import LENGTH_TOLERANCE, Banjo, Slot

DIRECT_TOLERANCE = 0.1
"""mm by which the centre distance of a direct mesh may differ from the axis distance."""

COSINE_SLACK = 1e-12
"""A cosine may lie so far past 1 by rounding alone: the chain is stretched out straight."""

Point = tuple[float, float]
Number = TypeVar("Number", float, Floats)


def in_arm(slot: Slot, position: Number) -> tuple[Number, Number]:
    """Where a stud stands in the arm's own frame."""
    b = math.radians(slot.angle)
    return (
        position * math.cos(b) - slot.offset * math.sin(b),
        position * math.sin(b) + slot.offset * math.cos(b),
    )


def along_slot(slot: Slot, x: Number, y: Number) -> tuple[Number, Number]:
    """A point of the arm's frame seen from a slot: how far along it, and how far beside its
    centreline."""
    b = math.radians(slot.angle)
    return x * math.cos(b) + y * math.sin(b), y * math.cos(b) - x * math.sin(b) - slot.offset


@overload
def within_slot(slot: Slot, position: float) -> bool: ...
@overload
def within_slot(slot: Slot, position: Floats) -> Bools: ...
def within_slot(slot: Slot, position: float | Floats) -> bool | Bools:
    """Whether a stud can stand at a position along a slot."""
    past_start = position >= slot.start - LENGTH_TOLERANCE
    return past_start & (position <= slot.end + LENGTH_TOLERANCE)


@overload
def within_swing(banjo: Banjo, arm_angle: float) -> bool: ...
@overload
def within_swing(banjo: Banjo, arm_angle: Floats) -> Bools: ...
def within_swing(banjo: Banjo, arm_angle: float | Floats) -> bool | Bools:
    """Whether the arm can stand at an angle; angles count modulo 360."""
    turned = (arm_angle - banjo.swing[0]) % 360.0
    inside = turned <= _swing_width(banjo) + LENGTH_TOLERANCE
    return inside | (turned >= 360.0 - LENGTH_TOLERANCE)


def past_swing(banjo: Banjo, arm_angle: float) -> float:
    """Degrees by which an arm angle lies outside the swing; 0 inside."""
    if within_swing(banjo, arm_angle):
        return 0.0
    turned = (arm_angle - banjo.swing[0]) % 360.0
    return min(turned - _swing_width(banjo), 360.0 - turned)


def _swing_width(banjo: Banjo) -> float:
    first, last = banjo.swing
    return 360.0 if last - first >= 360.0 else (last - first) % 360.0


@overload
def meshes_directly(banjo: Banjo, span: float) -> bool: ...
@overload
def meshes_directly(banjo: Banjo, span: Floats) -> Bools: ...
def meshes_directly(banjo: Banjo, span: float | Floats) -> bool | Bools:
    """Whether two gears that mesh at this distance mesh on the two fixed shafts."""
    off, play = span - banjo.axis_distance, DIRECT_TOLERANCE + LENGTH_TOLERANCE
    return (off <= play) & (off >= -play)


def arm_cosine(banjo: Banjo, radius: Number, span: Number) -> Number:
    """Cosine of the angle at O between S and a stud `radius` from O that stands `span` from S
    (law of cosines); past 1 by more than COSINE_SLACK where it cannot."""
    axis = banjo.axis_distance
    return (radius**2 + axis**2 - span**2) / (2 * radius * axis)


def turned(point: Point, angle: float) -> Point:
    """A point turned about O by `angle` radians."""
    x, y = point
    return (
        x * math.cos(angle) - y * math.sin(angle),
        x * math.sin(angle) + y * math.cos(angle),
    )


def normal_angle(degrees: float) -> float:
    """The same angle in (-180, 180]."""
    rest = math.remainder(degrees, 360.0)
    return 180.0 if rest == -180.0 else rest
