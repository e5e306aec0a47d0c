"""Limits of size of parallel pipe threads: ISO 228-1 (G), classes A and B outside."""

from __future__ import annotations

from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.limits import Limits
from gearchest.optimizer.threads.tolerances import INCH, pipe_class_a_mm

OUTSIDE = ("A", "B")
INSIDE = ("one class",)
"""ISO 228-1 has one class of internal threads."""

_BORES = {28: 282, 19: 445, 14: 541, 11: 640}
"""Tolerance of the internal minor diameter by threads an inch, um."""

_SOURCE = "table of ISO 228-1, as threadlib design/BSPP_thread.csv has it"


def limits(major: float, pitch: float, class_name: str, *, inside: bool) -> Limits | None:
    """Limits of a class, mm; None for a pitch ISO 228-1 does not have. Class B has twice the
    tolerance of class A. ValueError for a class ISO 228-1 does not have."""
    if class_name not in (INSIDE if inside else OUTSIDE):
        kind = "internal" if inside else "external"
        raise ValueError(f"{class_name} is no class of {kind} threads in ISO 228-1")
    tpi = round(INCH / pitch)
    if tpi not in _BORES or abs(INCH / pitch - tpi) > 1e-6:
        return None
    width, bore = 1000 * pipe_class_a_mm(major, pitch), _BORES[tpi]
    depth = round(FORMS["whitworth"].depth * pitch, 3)
    middle, bottom = major - depth, major - 2 * depth
    if inside:
        return Limits(
            class_name, "ISO 228-1", True, (_mm(major), None),
            (_mm(middle), _mm(middle + width / 1000)), (_mm(bottom), _mm(bottom + bore / 1000)),
            _SOURCE,
        )  # fmt: skip
    grade = width if class_name == "A" else 2 * width
    return Limits(
        class_name, "ISO 228-1", False, (_mm(major - 2 * width / 1000), _mm(major)),
        (_mm(middle - grade / 1000), _mm(middle)), (None, _mm(bottom)), _SOURCE,
    )  # fmt: skip


def _mm(value: float) -> float:
    return round(value, 3)
