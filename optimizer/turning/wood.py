"""Bringing square stock near round, and what is left to turn away.

Geometry of regular polygons round the finished circle; lengths in mm, shares 0..1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Rounding:
    """One way of taking the corners off square stock.

    `sides` of the blank; `cuts` with the saw or plane, each at `angle` degrees to one face of
    the square (the other angle to the next), starting `from_corner` of the stock's side from
    the corner on the face met at `angle`. `flat` is the share of a face left in its middle.
    `waste` is the share of the blank's own section left to turn away.
    """

    sides: int
    cuts: int
    angle: float
    from_corner: float
    flat: float
    waste: float


def rounding(sides: int) -> Rounding:
    """A blank of 4, 8 or 12 sides round a circle as wide as the square stock."""
    if sides not in (4, 8, 12):
        raise ValueError(f"square stock is left square or taken to 8 or 12 sides, not {sides}")
    flat = math.tan(math.pi / sides)
    section = sides * flat / 4  # of a square of side 1
    waste = 1 - math.pi / 4 / section
    if sides == 4:
        return Rounding(4, 0, 0.0, 0.0, 1.0, waste)
    return Rounding(sides, sides - 4, 360.0 / sides, (1 - flat) / 2, flat, waste)


TURNING_STOCK = 3.0
"""mm on the diameter for turning the blank true (common practice, no source)."""

NUT_CLEARANCE = 0.02
"""Share of the diameter a wooden nut is let out by, at least 0.5 mm: a screw swells across
the grain with the weather and with oil (common practice, no source)."""


def stock_side(major: float) -> float:
    """Side of the square stock for a wooden screw of `major` mm, rounded up to whole mm."""
    return float(math.ceil(major + TURNING_STOCK))


def nut_clearance(major: float) -> float:
    """mm on the diameter between a wooden screw and its nut."""
    return max(0.5, NUT_CLEARANCE * major)


@dataclass(frozen=True)
class WoodBlank:
    """A wooden screw's blank and its nut: mm. `bore` None where the form has no nut."""

    diameter: float
    stock_side: float
    clearance: float
    bore: float | None
    roundings: tuple[Rounding, ...]


def blank(major: float, bore: float | None) -> WoodBlank:
    """Stock, corners to take off, nut bore and clearance for a wooden screw of `major` mm."""
    return WoodBlank(
        major, stock_side(major), nut_clearance(major), bore, (rounding(8), rounding(12))
    )
