"""Bringing square stock near round, what is left to turn away, and the nut.

Geometry of regular polygons round the finished circle; lengths in mm, shares 0..1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.threads.wooden import nut_clearance, nut_thickness


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


def stock_side(major: float) -> float:
    """Side of the square stock for a wooden screw of `major` mm, rounded up to whole mm."""
    return float(math.ceil(major + TURNING_STOCK))


NUT_BLOCK = 2.0
"""Diameters of the screw that the block of a wooden nut is wide, and one long, so that the grain
beside the thread does not shear out (common practice, no source)."""


@dataclass(frozen=True)
class Nut:
    """A wooden nut, mm: `bore` it to, thread it `across` the roots, both let out by `clearance` on
    the diameter; `block`: least width of the wood across the grain, `thick` along the hole."""

    bore: float
    across: float
    clearance: float
    block: float
    thick: float


@dataclass(frozen=True)
class Wood:
    """What wood to take, mm. Of a screw: the `stock_side` of square stock and how to round it,
    None and () for a nut. `nut`: None where the form has none."""

    clearance: float
    nut: Nut | None
    stock_side: float | None = None
    roundings: tuple[Rounding, ...] = ()


def wood(major: float, bore: float | None, nut_major: float | None, *, inside: bool) -> Wood:
    """For a wooden screw of `major` mm, and a nut bored to `bore` and `nut_major` at its roots
    before they are let out."""
    gap = nut_clearance(major)
    nut = None
    if bore is not None and nut_major is not None:
        nut = Nut(bore + gap, nut_major + gap, gap, NUT_BLOCK * major, nut_thickness(major))
    if inside:
        return Wood(gap, nut)
    return Wood(gap, nut, stock_side(major), (rounding(8), rounding(12)))
