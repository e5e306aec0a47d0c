"""What gears are made of, as far as their teeth are concerned: plain data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class GearMaterial:
    """Allowable tooth bending stress in MPa and where it comes from."""

    name: str
    stress: float
    source: str
    plastic: bool = False


@dataclass(frozen=True)
class ToothStrength:
    """The data the Lewis check needs: factors by pressure angle (degrees), materials by name."""

    factors: Mapping[Fraction, Callable[[int], float | None]]
    materials: Mapping[str, GearMaterial]


NOTHING_KNOWN = ToothStrength({}, {})
