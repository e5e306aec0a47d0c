"""Limits of size of British threads: Whitworth form by BS 84, British Association by BS 93."""

from __future__ import annotations

from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.limits import Limits
from gearchest.optimizer.threads.tolerances import INCH, whitworth_medium_mm

WHITWORTH_OUTSIDE = ("medium", "close", "free")
WHITWORTH_INSIDE = ("medium", "normal", "close")
BA_OUTSIDE = ("normal", "close")
BA_INSIDE = ("normal",)
"""The classes of BS 84 and BS 93, the usual one first."""

_BA_STEP = 0.005
"""mm: BS 93 rounds the depth of thread to this, and the diameters with it."""

_SHARE = {"close": 2 / 3, "medium": 1.0, "free": 3 / 2, "normal": 3 / 2}
_BS_84 = (
    "formulas of BS 84 in Machinery's Handbook 27, p. 1857; the allowance of 0.3 T up to 3/4 in "
    "from memory"
)
_BS_93 = "formulas of BS 93 in Machinery's Handbook 31, p. 2115, and BS 93:2008, annex B"


def whitworth(major: float, pitch: float, class_name: str, *, inside: bool) -> Limits | None:
    """BS 84, mm, over an engaged length of one diameter.

    T = 0.002 D^(1/3) + 0.003 L^(1/2) + 0.005 P^(1/2) inches is the medium class's tolerance of
    the pitch diameter. Medium and free bolts up to 3/4 in stay 0.3 T below basic; below 1/4 in
    the allowance of a 1/4 in BSW bolt applies. ValueError for a class BS 84 does not have.
    """
    if class_name not in (WHITWORTH_INSIDE if inside else WHITWORTH_OUTSIDE):
        raise ValueError(f"{class_name} is no class of {_kind(inside)} in BS 84")
    d, p = major / INCH, pitch / INCH
    depth = FORMS["whitworth"].depth * p
    medium = whitworth_medium_mm(major, pitch) / INCH
    width = _SHARE[class_name] * medium
    if inside:
        tpi = 1 / p
        bore = 0.2 * p + (0.004 if tpi > 25 else 0.005 if tpi > 21 else 0.007)
        root = d - 2 * depth
        return Limits(
            class_name, "BS 84", True, (_inches(d), None),
            (_inches(d - depth), _inches(d - depth + width)), (_inches(root), _inches(root + bore)),
            _BS_84,
        )  # fmt: skip
    large = d > 0.75 + 1e-9
    below = 0.0 if class_name == "close" or large else 0.3 * _allowed_from(major, pitch) / INCH
    crest = width + 0.01 * p**0.5
    root_width = width + (0.013 if class_name == "close" else 0.02) * p**0.5
    top, middle, bottom = d - below, d - depth - below, d - 2 * depth - below
    return Limits(
        class_name, "BS 84", False, (_inches(top - crest), _inches(top)),
        (_inches(middle - width), _inches(middle)),
        (_inches(bottom - root_width), _inches(bottom)), _BS_84,
    )  # fmt: skip


def _allowed_from(major: float, pitch: float) -> float:
    """The medium tolerance, mm, of which the allowance is a share."""
    if major < INCH / 4 - 1e-9:
        return whitworth_medium_mm(INCH / 4, INCH / 20)
    return whitworth_medium_mm(major, pitch)


def association(major: float, pitch: float, class_name: str, *, inside: bool) -> Limits | None:
    """BS 93, mm. ValueError for a class BS 93 does not have at this size."""
    if class_name not in (BA_INSIDE if inside else BA_OUTSIDE):
        raise ValueError(f"{class_name} is no class of {_kind(inside)} in BS 93")
    depth = round(FORMS["ba"].depth * pitch / _BA_STEP) * _BA_STEP
    if inside:
        root = major - 2 * depth
        return Limits(
            class_name, "BS 93", True, (_mm(major), None),
            (_mm(major - depth), _mm(major - depth + 0.12 * pitch + 0.03)),
            (_mm(root), _mm(root + 0.375 * pitch)), _BS_93,
        )  # fmt: skip
    large = pitch >= 0.35  # 0 to 10 BA
    if class_name == "close" and not large:
        raise ValueError("BS 93 has a close class for 0 to 10 BA only")
    below = 0.025 if class_name == "normal" and large else 0.0
    crest = (0.15 if class_name == "close" else 0.20 if large else 0.25) * pitch
    width = 0.08 * pitch + 0.02 if class_name == "close" else 0.10 * pitch + 0.025
    top, middle, bottom = major - below, major - depth - below, major - 2 * depth - below
    return Limits(
        class_name, "BS 93", False, (_mm(top - crest), _mm(top)),
        (_mm(middle - width), _mm(middle)), (_mm(bottom - 2 * width), _mm(bottom)), _BS_93,
    )  # fmt: skip


def _kind(inside: bool) -> str:
    return "nuts" if inside else "bolts"


def _inches(value: float) -> float:
    return round(value, 4) * INCH


def _mm(value: float) -> float:
    return round(value, 4)
