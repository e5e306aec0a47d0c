"""Involute form cutters: which one cuts a tooth count, by both numberings, and how to run it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class FormCutter:
    """A cutter of a set: it cuts `teeth_from` to `teeth_to` (None: up to a rack).

    `number`: as DP cutters are numbered (1 cuts the rack, 8 the 12). The numbering on module
    cutters runs the other way, so the tooth range is what to go by.
    """

    number: Fraction
    teeth_from: int
    teeth_to: int | None

    @property
    def module_number(self) -> Fraction:
        """As module cutters are numbered (1 cuts the 12, 8 the rack)."""
        return 9 - self.number

    @property
    def half(self) -> bool:
        """Whether it belongs to the set of fifteen only."""
        return self.number.denominator == 2

    @property
    def teeth(self) -> str:
        """The tooth range as engraved."""
        if self.teeth_to is None:
            return f"{self.teeth_from} to a rack"
        if self.teeth_to == self.teeth_from:
            return f"{self.teeth_from}"
        return f"{self.teeth_from} to {self.teeth_to}"

    def cuts(self, teeth: int) -> bool:
        """Whether this cutter is meant for so many teeth."""
        return self.teeth_from <= teeth and (self.teeth_to is None or teeth <= self.teeth_to)


def cutters_for(teeth: int, cutters: Sequence[FormCutter]) -> tuple[FormCutter, ...]:
    """The cutters for a tooth count: from the set of eight first, then the half number."""
    return tuple(sorted((c for c in cutters if c.cuts(teeth)), key=lambda c: (c.half, c.number)))


def form_error_note(teeth: int, cutter: FormCutter) -> str:
    """How far the tooth is from the one the cutter is exact for.

    A form cutter is made for the lowest count of its range, so that the others come out a
    little full at the tip and never bind. Common practice.
    """
    if teeth == cutter.teeth_from:
        return f"exact form: the cutter is made for {teeth} teeth"
    return f"made for {cutter.teeth_from} teeth: on {teeth} the flanks come out a little rounder"


@dataclass(frozen=True)
class Cutting:
    """How to run a cutter: speed in m/min, rpm for its diameter, feed in mm/min."""

    surface_speed: float
    cutter_diameter: float
    rpm: int
    feed: int


def cutting(surface_speed: float, module: float) -> Cutting:
    """Spindle speed and feed for a high-speed-steel form cutter, 12 teeth.

    The cutter is taken as 50 mm up to module 1.25, 60 to 2 and 65 above; 0.03 mm feed a
    tooth (common practice, no source). `surface_speed` in m/min.
    """
    diameter = 50.0 if module <= 1.25 else 60.0 if module <= 2 else 65.0
    exact = 1000 * surface_speed / (math.pi * diameter)
    rpm = max(10, int(exact // 10 * 10))
    return Cutting(surface_speed, diameter, rpm, round(rpm * 12 * 0.03))
