"""Limits of size of Acme threads: ASME B1.5 class 2G, 3G, 4G; ASME B1.8 stub Acme as class 2G.

Inches inside, rounded to four places as the standards print them, mm outside.
"""

from __future__ import annotations

from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.limits import Limits
from gearchest.optimizer.threads.tolerances import INCH

CLASSES = ("2G", "3G", "4G")
"""The classes of ASME B1.5, inside and outside; ASME B1.8 has the fit of the first."""

_WIDTH = {"2G": (0.030, 0.006), "3G": (0.014, 0.0028), "4G": (0.010, 0.002)}
"""Pitch-diameter tolerance: this x P^(1/2) + that x D^(1/2); 3G and 4G from memory."""

_ALLOWANCE = {"2G": 0.008, "3G": 0.006, "4G": 0.004}
"""External threads stay this x D^(1/2) below basic at the pitch diameter."""

_SOURCE = "formulas of ASME B1.5 in Machinery's Handbook 27, p. 1830 and 1837"


def limits(
    major: float, pitch: float, class_name: str, *, inside: bool, stub: bool = False
) -> Limits | None:
    """Limits of a class, mm. ValueError for a class the standard does not have."""
    standard = "ASME B1.8" if stub else "ASME B1.5"
    if class_name not in (CLASSES[:1] if stub else CLASSES):
        raise ValueError(f"{class_name} is no class of {standard}")
    d, p = major / INCH, pitch / INCH
    form = FORMS["stub-acme" if stub else "acme"]
    gap = 2 * form.clearance_mm(pitch) / INCH
    basic, bore = d - form.depth * p, d - 2 * form.depth * p
    by_pitch, by_size = _WIDTH[class_name]
    width = by_pitch * p**0.5 + by_size * d**0.5
    crest = max(0.05 * p, 0.005)
    if inside:
        return Limits(
            class_name, standard, True, (_mm(d + gap), None if stub else _mm(d + 2 * gap)),
            (_mm(basic), _mm(basic + width)), (_mm(bore), _mm(bore + crest)), _SOURCE,
        )  # fmt: skip
    most = basic - _ALLOWANCE[class_name] * d**0.5
    root = bore - gap
    return Limits(
        class_name, standard, False, (_mm(d - crest), _mm(d)), (_mm(most - width), _mm(most)),
        (_mm(root - 1.5 * width), _mm(root)), _SOURCE,
    )  # fmt: skip


def _mm(inches: float) -> float:
    return round(inches, 4) * INCH
