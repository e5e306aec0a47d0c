"""Limits of size of ISO metric threads: ISO 965-1.

A class is a grade and a position, for the pitch diameter and for the crest ("5g6g"; one pair
where both are the same). Every grade is so many steps of the R40 series from grade 6, which is
its formula rounded to R40 but for the few numbers that the standard's tables have otherwise.
"""

from __future__ import annotations

import re

from gearchest.optimizer.threads.limits import Limits, Open
from gearchest.optimizer.threads.preferred import preferred
from gearchest.optimizer.threads.tolerances import iso_grade_6_mm, iso_step

OUTSIDE = ("6g", "4g6g", "5g6g", "4h", "6h", "6f", "6e", "8g")
INSIDE = ("6H", "4H", "5H", "5G", "6G", "7H", "7G")
"""Classes most in use, the medium one first; any other pair of grade and position is taken."""

SMALL = 1.4
"""mm: up to here ISO 965-2 has 6h and 5H where it has 6g and 6H above."""

_SOURCE = "ISO 965-1: formulas, R40, published exceptions"

_DEVIATIONS: dict[float, tuple[int, int, int]] = {
    0.2: (17, 0, 0), 0.25: (18, 0, 0), 0.3: (18, 0, 0), 0.35: (19, 34, 0), 0.4: (19, 34, 0),
    0.45: (20, 35, 0), 0.5: (20, 36, 50), 0.6: (21, 36, 53), 0.7: (22, 38, 56),
    0.75: (22, 38, 56), 0.8: (24, 38, 60), 1.0: (26, 40, 60), 1.25: (28, 42, 63),
    1.5: (32, 45, 67), 1.75: (34, 48, 71), 2.0: (38, 52, 71), 2.5: (42, 58, 80),
    3.0: (48, 63, 85), 3.5: (53, 70, 90), 4.0: (60, 75, 95), 4.5: (63, 80, 100),
    5.0: (71, 85, 106), 5.5: (75, 90, 112), 6.0: (80, 95, 118), 8.0: (100, 118, 140),
}  # fmt: skip
"""By pitch: fundamental deviations of g, f and e, um; 0 where ISO 965-1 has none."""

_BASES = {"g": 15.0, "f": 30.0, "e": 50.0}
"""Fundamental deviation: this + 11 P, um."""

_PITCH_6 = {(2.8, 0.5): 75, (45.0, 5.0): 250, (180.0, 3.0): 250, (180.0, 4.0): 280}
_MAJOR_6 = {0.75: 140, 4.0: 475}
_MINOR_6 = {0.25: 71, 0.5: 140, 2.5: 450}
"""Grade 6, um, where the published tables leave the rounded formula."""

_PITCH_STEPS = {3: -12, 4: -8, 5: -4, 6: 0, 7: 4, 8: 8, 9: 12}
_INSIDE_PITCH_STEPS = {4: -3, 5: 1, 6: 5, 7: 9, 8: 13}
_MAJOR_STEPS = {4: -8, 6: 0, 8: 8}
_MINOR_STEPS = {4: -8, 5: -4, 6: 0, 7: 4, 8: 8}
"""R40 steps from grade 6: factors 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2; inside 0.85 to 2.12."""

_LEAST_PITCH = {5: 0.25, 6: 0.3, 7: 0.5, 8: 0.8, 9: 0.8}
"""mm: the finest pitch for which ISO 965-1 has a grade of internal threads (from memory)."""

_LEAST_PITCH_OUTSIDE = {7: 0.35, 8: 0.8, 9: 0.8}
"""The same of external threads (from memory)."""

_HEIGHT = 3**0.5 / 2


def default_class(major: float, pitch: float, *, inside: bool) -> str:
    """The medium class, or the coarsest below it that a diameter and pitch in mm have."""
    if not inside:
        return "6h" if major <= SMALL else "6g"
    grades = (5, 4) if major <= SMALL else (6, 5, 4)
    return f"{next(grade for grade in grades if pitch >= _LEAST_PITCH.get(grade, 0))}H"


def limits(major: float, pitch: float, class_name: str, *, inside: bool) -> Limits | None:
    """Limits of a class for a diameter of 1 to 355 mm and a pitch of 0.2 to 8 mm; None outside
    them. ValueError for a class that ISO 965-1 does not have at this pitch.

    External minor diameters are those of ISO 965-2: the design root, radius H/6, at the upper
    limit, the least radius P/8 at the lower.
    """
    if not (0.99 < major <= 355 and 0.2 <= pitch <= 8):
        return None
    parts = _parts(class_name, inside=inside)
    pitch_grade, pitch_at, crest_grade, crest_at = parts
    _check_pitch(pitch, parts, class_name, inside=inside)
    basic = round(major - 0.75 * _HEIGHT * pitch, 3)
    zero = _deviation(pitch, pitch_at) / 1000
    crest_zero = _deviation(pitch, crest_at) / 1000
    grade_6 = pitch_grade_6_um(major, pitch)
    note = "" if pitch in _DEVIATIONS else "by the standard's formulas, beyond its tables"
    if inside:
        width = preferred(grade_6, _INSIDE_PITCH_STEPS[pitch_grade]) / 1000
        bore = preferred(_minor_6_um(pitch), _MINOR_STEPS[crest_grade]) / 1000
        minor = round(major - 1.25 * _HEIGHT * pitch, 3) + crest_zero
        return Limits(
            class_name, "ISO 965-1", True, (_mm(major + zero), None),
            (_mm(basic + zero), _mm(basic + zero + width)), (_mm(minor), _mm(minor + bore)),
            _SOURCE, note,
        )  # fmt: skip
    width = preferred(grade_6, _PITCH_STEPS[pitch_grade]) / 1000
    crest = preferred(_major_6_um(pitch), _MAJOR_STEPS[crest_grade]) / 1000
    most, least = basic - zero, basic - zero - width
    root: Open = (
        _mm(least - 2 * (_HEIGHT / 2 - 1 / 8) * pitch),
        _mm(round(major - 17 / 12 * _HEIGHT * pitch, 3) - zero),
    )
    return Limits(
        class_name, "ISO 965-1", False, (_mm(major - crest_zero - crest), _mm(major - crest_zero)),
        (_mm(least), _mm(most)), root, _SOURCE, note,
    )  # fmt: skip


def pitch_grade_6_um(major: float, pitch: float) -> float:
    """Td2 of grade 6, um, as published: what every other grade is counted from."""
    return _PITCH_6.get((iso_step(major)[0], pitch)) or preferred(
        1000 * iso_grade_6_mm(major, pitch)
    )


def _major_6_um(pitch: float) -> float:
    """Td of grade 6: 180 P^(2/3) - 3.15/P^(1/2)."""
    return _MAJOR_6.get(pitch) or 180 * pitch ** (2 / 3) - 3.15 / pitch**0.5


def _minor_6_um(pitch: float) -> float:
    """TD1 of grade 6: 433 P - 190 P^1.22 below 1 mm, 230 P^0.7 from there."""
    by_formula = 433 * pitch - 190 * pitch**1.22 if pitch < 1 else 230 * pitch**0.7
    return _MINOR_6.get(pitch) or by_formula


def _deviation(pitch: float, position: str) -> int:
    """How far a position leaves the basic size, um."""
    letter = position.lower()
    if letter == "h":
        return 0
    published = _DEVIATIONS.get(pitch)
    if published is None:
        return round(_BASES[letter] + 11 * pitch)
    found = published["gfe".index(letter)]
    if not found:
        raise ValueError(f"ISO 965-1 has no position {position} for a pitch of {pitch:g} mm")
    return found


def _parts(class_name: str, *, inside: bool) -> tuple[int, str, int, str]:
    """Grade and position of the pitch diameter, then of the crest."""
    letters = "GH" if inside else "efgh"
    found = re.fullmatch(rf"(\d)([{letters}])(?:(\d)([{letters}]))?", class_name)
    kind = "internal" if inside else "external"
    if found is None:
        raise ValueError(f"{class_name} is no class of {kind} threads in ISO 965-1")
    grade, position, crest_grade, crest_position = found.groups()
    pitch_grade, crest = int(grade), int(crest_grade or grade)
    grades, crests = (_INSIDE_PITCH_STEPS, _MINOR_STEPS) if inside else (_PITCH_STEPS, _MAJOR_STEPS)
    if pitch_grade not in grades or crest not in crests:
        raise ValueError(f"{class_name}: ISO 965-1 has no such grade of {kind} threads")
    return pitch_grade, position, crest, crest_position or position


def _check_pitch(
    pitch: float, parts: tuple[int, str, int, str], class_name: str, *, inside: bool
) -> None:
    finest = _LEAST_PITCH if inside else _LEAST_PITCH_OUTSIDE
    least = max(finest.get(parts[0], 0.0), finest.get(parts[2], 0.0))
    if pitch < least:
        raise ValueError(
            f"{class_name}: ISO 965-1 has this grade from a pitch of {least:g} mm, not {pitch:g}"
        )


def _mm(value: float) -> float:
    return round(value, 3)
