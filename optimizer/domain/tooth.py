"""Teeth and bores as the trade cuts them: depths, keyways, and what is taken where a lathe
file is silent. Lengths mm.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.pitch import MM_PER_INCH

USUAL_FACE = 8
"""Modules of face width taken where none is given (common practice, no source)."""

USUAL_THINNING = 0.02
"""Modules by which each tooth is cut thin, so that a pair has twice that of backlash (common
practice, no source)."""


def face_taken(face_width: Fraction | None, module: Fraction) -> Fraction:
    """The face width in mm, or what is taken for it."""
    return USUAL_FACE * module if face_width is None else face_width


@dataclass(frozen=True)
class ToothDepth:
    """A named depth: dedendum = `dedendum` x module + `extra` mm; the addendum is one module."""

    name: str
    dedendum: Fraction
    extra: Fraction = Fraction(0)
    source: str = ""

    def clearance(self, module: Fraction) -> Fraction:
        """mm between a tip and the mate's root."""
        return (self.dedendum - 1) * module + self.extra


DEPTH_20 = ToothDepth("2.25 m", Fraction(5, 4), source="ISO 53 profile A")
DEPTH_14_5 = ToothDepth(
    "2.157 m", Fraction(1157, 1000), source="14 1/2 degree full depth: 2.157/DP"
)
DEPTH_FINE = ToothDepth(
    "2.2 m + 0.002 in",
    Fraction(6, 5),
    MM_PER_INCH * Fraction(2, 1000),
    "20 degree fine pitch, 20 DP and finer (ANSI B6.7, from memory)",
)


def diametral_pitch(module: Fraction) -> Fraction | None:
    """The DP a module stands for, where it is a DP size: 25.4/m in whole or half numbers."""
    pitch = MM_PER_INCH / module
    return pitch if pitch.denominator <= 2 else None


def usual_depth(module: Fraction, pressure_angle: Fraction) -> ToothDepth:
    """The depth in use for a size: by angle, and the finer-pitch one from 20 DP up."""
    if pressure_angle < 17:
        return DEPTH_14_5
    pitch = diametral_pitch(module)
    return DEPTH_FINE if pitch is not None and pitch >= 20 else DEPTH_20


@dataclass(frozen=True)
class Keyway:
    """A keyway: width, and depth into the gear measured from the bore."""

    width: float
    depth: float


def read_keyway(text: str) -> Keyway | None:
    """A keyway as written, "3x1.4": width x depth in mm; None for "".

    Raises ValueError, saying what is allowed.
    """
    if not text.strip():
        return None
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*[x×]\s*(\d+(?:[.,]\d+)?)\s*", text.lower())
    numbers = [float(part.replace(",", ".")) for part in found.groups()] if found else []
    if not numbers or min(numbers) <= 0:
        raise ValueError(f'keyway "{text}" is not width x depth in mm: write "3x1.4"')
    return Keyway(numbers[0], numbers[1])


def inner_reach(bore: float, keyway: Keyway | None) -> float:
    """mm from the axis to the bore, or to the corner of its keyway where there is one."""
    radius = bore / 2
    if keyway is None or not bore:
        return radius
    return math.hypot(radius + keyway.depth, keyway.width / 2)
