"""Limits of size of parallel pipe threads: ISO 228-1 (G), classes A and B outside."""

from __future__ import annotations

from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.limits import Limits
from gearchest.optimizer.threads.tolerances import INCH

OUTSIDE = ("A", "B")
INSIDE = ("one class",)
"""ISO 228-1 has one class of internal threads."""

_BY_TPI = {28: (107, 282), 19: (125, 445), 14: (142, 541), 11: (180, 640)}
"""Tolerance of the pitch diameter of class A and of internal threads, and of the internal minor
diameter, um."""

_LARGE = (60.0, 217)
"""Above this major diameter, mm, (G 2 1/4 and up) the pitch diameter's tolerance, um."""

_SOURCE = "table of ISO 228-1, as threadlib design/BSPP_thread.csv has it"


def limits(major: float, pitch: float, class_name: str, *, inside: bool) -> Limits | None:
    """Limits of a class, mm; None for a pitch ISO 228-1 does not have. Class B has twice the
    tolerance of class A. ValueError for a class ISO 228-1 does not have."""
    if class_name not in (INSIDE if inside else OUTSIDE):
        kind = "internal" if inside else "external"
        raise ValueError(f"{class_name} is no class of {kind} threads in ISO 228-1")
    tpi = round(INCH / pitch)
    if tpi not in _BY_TPI or abs(INCH / pitch - tpi) > 1e-6:
        return None
    width, bore = _BY_TPI[tpi]
    if major > _LARGE[0]:
        width = _LARGE[1]
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
