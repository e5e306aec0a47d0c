"""What a gear is made of: the stock to buy and what it weighs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.involute import face_area


@dataclass(frozen=True)
class Material:
    """`density` g/cm3, `surface_speed` m/min for a high-speed-steel cutter (0: not milled),
    `price` per kilogram, `use` in the shop's words."""

    name: str
    density: float
    surface_speed: float
    price: Fraction
    use: str


TURNING_STOCK = 2.0
"""mm on the diameter of bar stock to turn clean. Common practice, no source."""

FACING_STOCK = 2.0
"""mm on the length of bar stock to face both sides. Common practice, no source."""


@dataclass(frozen=True)
class StockBar:
    """Round bar to buy for one gear: diameter and length in mm, and its weight in g.

    `common`: whether the diameter is one of the usual bar sizes.
    """

    diameter: float
    length: float
    weight: float
    common: bool


def stock_bar(blank: Blank, material: Material, sizes: Sequence[float]) -> StockBar:
    """The smallest usual bar that cleans up to the tip diameter; for a size beyond them all
    a disc of the diameter needed."""
    needed = blank.tip_diameter + TURNING_STOCK
    usual = next((size for size in sorted(sizes) if size >= needed), None)
    diameter = usual if usual is not None else float(math.ceil(needed - 1e-9))
    length = blank.face_width + FACING_STOCK
    weight = math.pi / 4 * diameter**2 * length * material.density / 1000
    return StockBar(diameter, length, weight, usual is not None)


def gear_weight(blank: Blank, material: Material) -> float:
    """Grams of the finished gear, a plain disc without a hub."""
    return face_area(blank) * blank.face_width * material.density / 1000
