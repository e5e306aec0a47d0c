"""Limits of size of ISO metric trapezoidal threads: ISO 2903.

Only the pitch diameter has grades; the crests have grade 4, position h and H, and the external
root goes with the pitch diameter: 1.25 Td2 + |es| below its nominal size.
"""

from __future__ import annotations

import re

from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.limits import Limits
from gearchest.optimizer.threads.metric_limits import pitch_grade_6_um
from gearchest.optimizer.threads.preferred import preferred
from gearchest.optimizer.threads.tolerances import iso_step

OUTSIDE = ("7e", "8e", "8c", "9c")
INSIDE = ("7H", "8H", "9H")
"""The classes of ISO 2903, the medium one first."""

_BY_PITCH: dict[float, tuple[int, int, int, int]] = {
    1.5: (67, 140, 150, 190), 2: (71, 150, 180, 236), 3: (85, 170, 236, 315),
    4: (95, 190, 300, 375), 5: (106, 212, 335, 450), 6: (118, 236, 375, 500),
    7: (125, 250, 425, 560), 8: (132, 265, 450, 630), 9: (140, 280, 500, 670),
    10: (150, 300, 530, 710), 12: (160, 335, 600, 800), 14: (180, 355, 670, 900),
    16: (190, 375, 710, 1000), 18: (200, 400, 800, 1120), 20: (212, 425, 850, 1180),
    22: (224, 450, 900, 1250), 24: (236, 475, 950, 1320), 28: (250, 500, 1060, 1500),
    32: (265, 530, 1120, 1600), 36: (280, 560, 1250, 1800),
}  # fmt: skip
"""By pitch, um: deviation of e, of c, tolerance of the external major diameter, of the internal
minor one."""

_PITCH_6 = {(45.0, 18.0): 450.0}
"""By diameter step and pitch: grade 6, um, where the published tables leave the rounded formula,
beside those of ISO 965-1."""

_OUTSIDE_STEPS = {7: 4, 8: 8, 9: 12}
_INSIDE_STEPS = {7: 9, 8: 13, 9: 17}

_DISPUTED = {12.0: "prints differ: one has the pitch diameter 0.010 mm smaller"}
"""By pitch: external pitch diameters that two places of one print have differently."""

_STARTS = {1: 1.0, 2: 1.12, 3: 1.25, 4: 1.4}
"""What several starts add to the tolerance of the pitch diameter; 1.6 from five (ISO 2903, from
memory)."""

_SOURCE = "ISO 2903: formulas of ISO 965-1, R40, published exceptions"


def limits(
    major: float, pitch: float, class_name: str, *, inside: bool, starts: int = 1
) -> Limits | None:
    """Limits of a class for a diameter of 8 to 300 mm at a pitch that ISO 2903 has; None for
    another. ValueError for a class that ISO 2903 does not have."""
    row = _BY_PITCH.get(pitch)
    found = re.fullmatch(r"([789])(H)" if inside else r"([789])([ec])", class_name)
    if found is None:
        kind = "internal" if inside else "external"
        raise ValueError(f"{class_name} is no class of {kind} threads in ISO 2903")
    if row is None or not 8 <= major <= 300:
        return None
    grade, position = int(found[1]), found[2]
    factor = _STARTS.get(starts, 1.6)
    grade_6 = _grade_6_um(major, pitch)
    basic, gap = major - pitch / 2, FORMS["trapezoidal"].clearance_mm(pitch)
    if inside:
        width = factor * preferred(grade_6, _INSIDE_STEPS[grade]) / 1000
        minor = major - pitch
        return Limits(
            class_name, "ISO 2903", True, (_mm(major + 2 * gap), None),
            (_mm(basic), _mm(basic + width)), (_mm(minor), _mm(minor + row[3] / 1000)), _SOURCE,
        )  # fmt: skip
    below = row["ec".index(position)] / 1000
    width = factor * preferred(grade_6, _OUTSIDE_STEPS[grade]) / 1000
    root = major - pitch - 2 * gap
    return Limits(
        class_name, "ISO 2903", False, (_mm(major - row[2] / 1000), _mm(major)),
        (_mm(basic - below - width), _mm(basic - below)),
        (_mm(root - 1.25 * width - below), _mm(root)), _SOURCE, _DISPUTED.get(pitch, ""),
    )  # fmt: skip


def _grade_6_um(major: float, pitch: float) -> float:
    return _PITCH_6.get((iso_step(major)[0], pitch)) or pitch_grade_6_um(major, pitch)


def _mm(value: float) -> float:
    return round(value, 3)
