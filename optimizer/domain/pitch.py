"""A thread's pitch, lead and starts, exact."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from fractions import Fraction

MM_PER_INCH = Fraction(127, 5)


@dataclass(frozen=True)
class Pitch:
    """Axial distance between neighbouring ridges of a thread.

    `rational` is in millimetres; where `pi` is set (module and DP worms) the pitch is
    `rational` x pi, so that the irrational factor stays apart until an error is computed.
    `starts` >= 1. `written` is the text shown to people, `inch` whether it was given in inch
    units (tpi, in, DP); neither takes part in comparisons.
    """

    rational: Fraction
    pi: bool = False
    starts: int = 1
    written: str = field(default="", compare=False)
    inch: bool = field(default=False, compare=False)

    def __post_init__(self) -> None:
        if self.rational <= 0:
            raise ValueError(f"a pitch must be greater than zero, not {self.rational}")
        if self.starts < 1:
            raise ValueError(f"a thread has at least one start, not {self.starts}")

    @property
    def lead(self) -> Pitch:
        """Advance per turn as a single-start pitch: what the gears are set for."""
        if self.starts == 1:
            return self
        return replace(self, rational=self.rational * self.starts, starts=1)

    @property
    def mm(self) -> float:
        """Pitch in millimetres, rounded to a float."""
        return float(self.rational) * (math.pi if self.pi else 1.0)

    @property
    def lead_mm(self) -> float:
        """Lead (pitch x starts) in millimetres, rounded to a float."""
        return self.mm * self.starts

    def __str__(self) -> str:
        return self.written or format_pitch(self)


def mm(value: Fraction | int | str) -> Pitch:
    """A single-start pitch in millimetres."""
    return Pitch(Fraction(value))


def tpi(value: Fraction | int | str) -> Pitch:
    """A single-start pitch given in threads per inch (25.4 mm exactly)."""
    threads = Fraction(value)
    return Pitch(MM_PER_INCH / threads, written=f"{format_fraction(threads)} tpi", inch=True)


def format_fraction(value: Fraction) -> str:
    """A decimal where it is exact within six places, else a fraction.

    >>> format_fraction(Fraction(5, 4)), format_fraction(Fraction(1, 3))
    ('1.25', '1/3')
    """
    scaled = value * 10**6
    if scaled.denominator == 1:
        return f"{float(value):.6f}".rstrip("0").rstrip(".")
    return str(value)


def format_pitch(pitch: Pitch) -> str:
    """The pitch in the notation the files use."""
    unit = "module" if pitch.pi else "mm"
    text = f"{format_fraction(pitch.rational)} {unit}"
    return text if pitch.starts == 1 else f"{pitch.starts} starts of {text}"


def lead_angle(lead: float, diameter: float) -> float:
    """Of the helix of a lead at a diameter, both > 0 and in one unit: atan(lead / (pi d)), in
    degrees."""
    return math.degrees(math.atan2(lead, math.pi * diameter))


def magnitude(error: Fraction | float) -> Fraction | float:
    """|error|, exact where the error is."""
    return -error if error < 0 else error


def relative_error(turns: Fraction, leadscrew: Pitch, wanted: Pitch) -> Fraction | float:
    """(actual - wanted) / wanted for `turns` leadscrew turns per spindle turn.

    Exact where both pitches are rational or both carry the factor pi, else a float.
    """
    quotient = turns * leadscrew.lead.rational / wanted.lead.rational
    if leadscrew.pi == wanted.pi:
        return quotient - 1
    return float(quotient) * (math.pi if leadscrew.pi else 1 / math.pi) - 1.0
