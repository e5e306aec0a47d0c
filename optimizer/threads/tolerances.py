"""Pitch-diameter tolerance and engaged length of the standards, for external threads.

Each rule gives, for a thread's diameter and pitch in mm, the tolerance of the medium class
and the length over which a lead error adds up. The formulas are those from which the
standards' tables were computed; ISO 965-1 then rounds to preferred numbers, so that its
printed values differ by up to 6 %.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

INCH = 25.4

_ISO_STEPS = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 355.0)
"""mm: the diameter steps of ISO 965-1, each over its lower and up to its upper end."""

Formula = Callable[[float, float], float]
"""(diameter in mm, pitch in mm) -> mm."""


@dataclass(frozen=True)
class Rule:
    """A standard's tolerance of the pitch diameter and its engaged length, both in mm for a
    diameter and a pitch in mm. `name` says which class; `source` where the formulas are."""

    name: str
    tolerance_mm: Formula
    engaged_mm: Formula
    source: str


def iso_step(diameter_mm: float) -> tuple[float, float]:
    """The diameter step of ISO 965-1 that holds a diameter: its ends in mm.

    Outside the standard's 0.99 to 355 mm the diameter stands for both ends.
    """
    for lower, upper in pairwise(_ISO_STEPS):
        if lower < diameter_mm <= upper:
            return lower, upper
    return diameter_mm, diameter_mm


def iso_grade_6_mm(diameter_mm: float, pitch_mm: float) -> float:
    """Td2 of ISO 965-1 grade 6: 90 P^0.4 d^0.1 um, d the geometric mean of its step."""
    lower, upper = iso_step(diameter_mm)
    tolerance: float = 0.09 * pitch_mm**0.4 * math.sqrt(lower * upper) ** 0.1
    return tolerance


def iso_normal_length_mm(diameter_mm: float, pitch_mm: float) -> float:
    """Longest thread engagement of ISO 965-1's normal group: 6.7 P d^0.2, d its step's lower end.

    The standard's constant takes mm throughout.
    """
    length: float = 6.7 * pitch_mm * iso_step(diameter_mm)[0] ** 0.2
    return length


def _iso_2903_7e_mm(diameter_mm: float, pitch_mm: float) -> float:
    """Grade 7 is 1.25 times grade 6 (R10 steps; ISO 2903 builds on ISO 965-1)."""
    return 1.25 * iso_grade_6_mm(diameter_mm, pitch_mm)


def unified_2a_mm(diameter_mm: float, pitch_mm: float, engaged_mm: float) -> float:
    """ASME B1.1 class 2A: 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3), inches."""
    d, p, le = diameter_mm / INCH, pitch_mm / INCH, engaged_mm / INCH
    inches: float = 0.0015 * d ** (1 / 3) + 0.0015 * le**0.5 + 0.015 * p ** (2 / 3)
    return inches * INCH


def whitworth_medium_mm(diameter_mm: float, pitch_mm: float) -> float:
    """BS 84 medium class bolts: 0.002 D^(1/3) + 0.003 L^(1/2) + 0.005 P^(1/2), inches, L = D."""
    d, p = diameter_mm / INCH, pitch_mm / INCH
    inches: float = 0.002 * d ** (1 / 3) + 0.003 * d**0.5 + 0.005 * p**0.5
    return inches * INCH


_PIPE_UM = {28: 107, 19: 125, 14: 142, 11: 180}
_LARGE_PIPE = (60.0, 217)
"""By threads an inch, and above a major diameter in mm (G 2 1/4 and up): um."""


def pipe_class_a_mm(diameter_mm: float, pitch_mm: float) -> float:
    """Pitch-diameter tolerance of ISO 228-1's class A, and of its internal threads; of the nearest
    pitch that it has."""
    above, width = _LARGE_PIPE
    if diameter_mm > above:
        return width / 1000
    return _PIPE_UM[min(_PIPE_UM, key=lambda tpi: abs(INCH / pitch_mm - tpi))] / 1000


def _acme_2g_mm(diameter_mm: float, pitch_mm: float) -> float:
    """ASME B1.5 class 2G: 0.006 D^(1/2) + 0.030 P^(1/2), inches."""
    d, p = diameter_mm / INCH, pitch_mm / INCH
    inches: float = 0.006 * d**0.5 + 0.030 * p**0.5
    return inches * INCH


def _diameter(diameter_mm: float, pitch_mm: float) -> float:
    return diameter_mm


def _nine_pitches(diameter_mm: float, pitch_mm: float) -> float:
    return 9 * pitch_mm


def _two_diameters(diameter_mm: float, pitch_mm: float) -> float:
    return 2 * diameter_mm


UNS = "ASME B1.1 (9P)"
ISO = "ISO 965-1"
PIPE = "ISO 228-1"
TAPER_PIPE = ("ASME B1.20.1", "ISO 7-1")

RULES: dict[str, Rule] = {
    ISO: Rule(
        "ISO 965-1 grade 6", iso_grade_6_mm, iso_normal_length_mm, "ISO 965-1 formulas",
    ),
    "ISO 2903": Rule(
        "ISO 2903 7e", _iso_2903_7e_mm, iso_normal_length_mm,
        "ISO 2903 builds on ISO 965-1; the factor 1.25 from memory",
    ),
    "ASME B1.1": Rule(
        "ASME B1.1 class 2A", lambda d, p: unified_2a_mm(d, p, d), _diameter, "ASME B1.1 formulas",
    ),
    UNS: Rule(
        "ASME B1.1 class 2A", lambda d, p: unified_2a_mm(d, p, 9 * p), _nine_pitches,
        "ASME B1.1 formulas, length of engagement 9P",
    ),
    PIPE: Rule(
        "ISO 228-1 class A", pipe_class_a_mm, _nine_pitches,
        "table of ISO 228-1, as threadlib design/BSPP_thread.csv has it; it gives no length of "
        "engagement: 9P as for UNS, common practice",
    ),
    "BS 84": Rule(
        "BS 84 medium", whitworth_medium_mm, _diameter, "BS 84 formulas, from memory; L = D",
    ),
    "BS 93": Rule(
        "BS 93 normal class", lambda _, p: 0.10 * p + 0.025, _diameter,
        "BS 93 formulas in Machinery's Handbook 31, p. 2115; length of engagement one "
        "diameter, common practice",
    ),
    "ASME B1.5": Rule(
        "ASME B1.5 class 2G", _acme_2g_mm, _two_diameters,
        "ASME B1.5 formulas, length of engagement 2D; from memory",
    ),
    "ASME B1.8": Rule(
        "ASME B1.5 class 2G, as ASME B1.8 has it", _acme_2g_mm, _two_diameters,
        "ASME B1.8 takes the fit of class 2G; formulas from memory",
    ),
}  # fmt: skip
"""By the name a thread's `standard` gives."""


def rule_of(standard: str, *, inch: bool) -> Rule:
    """The rule of a standard; without one of its own, that of ISO 965-1, or in inches of UNS."""
    return RULES.get(standard) or RULES[UNS if inch else ISO]


UNRULED = TAPER_PIPE
"""Standards without an allowance of their own here: threads of theirs are judged like others of
their unit, see gearchest.optimizer.threads.allowance."""
