"""What a gear tooth bears: the Lewis formula, F = s b m Y(z).

s: allowable stress (MPa), b: face width (mm), m: module (mm), Y: Lewis factor for the tooth
count. Static bending only: no wear, no shock, no velocity factor; change gears turn slowly.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass, field
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.material import GearMaterial, ToothStrength
from gearchest.optimizer.domain.tooth import face_taken
from gearchest.optimizer.strength.rim import rim_factor

IDLER_SHARE = 0.7
"""An idler's teeth bend both ways (common practice, no source)."""


@dataclass(frozen=True)
class LewisTable:
    """Published Lewis factors Y of one pressure angle: (teeth, Y), teeth ascending.

    Between two rows Y is interpolated; beyond the last it is the last (on the safe side);
    below the first there is none.
    """

    rows: tuple[tuple[int, float], ...]

    def __call__(self, teeth: int) -> float | None:
        """Y for `teeth`; None below the table."""
        counts = [row[0] for row in self.rows]
        if teeth < counts[0]:
            return None
        if teeth >= counts[-1]:
            return self.rows[-1][1]
        at = bisect_left(counts, teeth)
        (high, y_high), (low, y_low) = self.rows[at], self.rows[max(at - 1, 0)]
        if high == teeth:
            return y_high
        return y_low + (y_high - y_low) * (teeth - low) / (high - low)


def lewis_14_5(teeth: int) -> float | None:
    """Y of 14 1/2 degree full-depth teeth: pi (0.124 - 0.684/z), for 12 teeth and more.

    Lewis's equation as textbooks print it beside y = 0.154 - 0.912/z for 20 degrees; seen in
    several public gear calculators, not in the original.
    """
    return math.pi * (0.124 - 0.684 / teeth) if teeth >= 12 else None


@dataclass(frozen=True)
class ToothLimit:
    """Force in N a gear's tooth bears; None where it can't be checked, and why.

    `assumed_face`: no face width is given, so `face_taken` stands in.
    """

    gear: Gear
    newtons: float | None
    unchecked: str = ""
    material: GearMaterial | None = field(default=None, compare=False)
    assumed_face: bool = False


def tooth_limit(
    gear: Gear,
    face_width: Fraction | None,
    strength: ToothStrength,
    *,
    idler: bool = False,
    rim: float | None = None,
) -> ToothLimit:
    """What `gear` bears with `face_width` mm of its teeth in mesh.

    `rim`: thickness of its rim over whole depth (see `rim.rim_share`), None where no bore is
    known and the rim is taken as sound.
    """
    face = face_taken(face_width, gear.module)
    assumed = face_width is None
    material = strength.material(gear)
    if material is None:
        return ToothLimit(gear, None, f'no stress known for material "{gear.material}"')
    factor = strength.factors.get(gear.pressure_angle)
    if factor is None:
        angle = f"{float(gear.pressure_angle):g}"
        return ToothLimit(gear, None, f"no Lewis factors for {angle} degrees", material)
    y = factor(gear.teeth)
    if y is None:
        return ToothLimit(gear, None, f"no Lewis factor for {gear.teeth} teeth", material)
    if rim is not None and rim <= 0:
        why = "bore and keyway as the lathe file gives them would reach its teeth"
        return ToothLimit(gear, None, why, material)
    newtons = material.stress * float(face) * float(gear.module) * y
    newtons *= (IDLER_SHARE if idler else 1.0) / (1.0 if rim is None else rim_factor(rim))
    return ToothLimit(gear, newtons, "", material, assumed)
