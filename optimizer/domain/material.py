"""What gears are made of, as far as their teeth are concerned: plain data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear


@dataclass(frozen=True)
class GearMaterial:
    """Allowable tooth bending stress in MPa and where it comes from."""

    name: str
    stress: float
    source: str
    plastic: bool = False


@dataclass(frozen=True)
class ToothStrength:
    """The data the Lewis check needs: factors by pressure angle (degrees), materials by name
    in small letters."""

    factors: Mapping[Fraction, Callable[[int], float | None]]
    materials: Mapping[str, GearMaterial]

    def material(self, gear: Gear) -> GearMaterial | None:
        """What a gear is made of; None where its material is not known."""
        return self.materials.get(gear.material.strip().lower())


NOTHING_KNOWN = ToothStrength({}, {})
