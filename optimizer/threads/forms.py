"""Thread forms: the shape of a ridge, from which every diameter and depth follows.

A form is given by ratios to the pitch P, plus what some forms add in mm at crest and root.
Only the figures of one standard stand in one entry; `profile` gives them for a pitch in mm
and `dimensions` for a whole thread.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from gearchest.optimizer.domain.pitch import lead_angle
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.flanks import SQUARE, Flanks, vee
from gearchest.optimizer.threads.tolerances import INCH

_SHARP_60 = math.sqrt(3) / 2
"""Height of the sharp 60 degree triangle, in pitches."""


def _none(pitch_mm: float) -> float:
    return 0.0


def _trapezoidal_clearance(pitch_mm: float) -> float:
    """a_c of ISO 2904, mm: 0.15 to P = 1.5, 0.25 to 5, 0.5 to 12, 1 above."""
    steps = ((1.5, 0.15), (5.0, 0.25), (12.0, 0.5))
    return next((clearance for upper, clearance in steps if pitch_mm <= upper), 1.0)


def _acme_clearance(pitch_mm: float) -> float:
    """ASME B1.5 and B1.8: 0.010 in radially up to 10 threads per inch, 0.005 in above."""
    return (0.010 if INCH / pitch_mm <= 10 + 1e-9 else 0.005) * INCH


_NPT_BLUNTEST = {27: 0.0036, 18: 0.0049, 14: 0.0056, 11.5: 0.0063, 8: 0.0078}
"""By threads per inch: how much of the sharp root an NPT thread may lack, inches (ASME B1.20.1,
table 1)."""


def _npt_least_root(pitch_mm: float) -> float:
    """How far an NPT root reaches past the pitch line at least, mm; at another pitch the larger
    share of the two next to it."""
    tpi = INCH / pitch_mm
    near = max((n for n in _NPT_BLUNTEST if n <= tpi + 1e-6), default=8)
    return _SHARP_60 / 2 * pitch_mm - _NPT_BLUNTEST[near] * near / tpi * INCH


@dataclass(frozen=True)
class Form:
    """One form. Lengths are ratios to the pitch unless they end in _mm.

    `flanks` is None where there are no straight ones. `addendum` is the height
    of the crest above the pitch line, `depth` crest to root of the external thread, `nut_depth`
    crest to root of the internal one, `nut_addendum` from pitch line to the internal thread's
    crest, all without `clearance_mm`, which external and internal roots gain on top. `crest`
    and `root` are the flats of the external thread (without clearance), `crest_radius` and
    `root_radius` its roundings. `taper` is change of diameter per length. `least_root_mm`: how
    far a root must reach past the pitch line where the standard says; else the mate's crest does.
    """

    title: str
    flanks: Flanks | None
    addendum: float
    depth: float
    nut_depth: float
    nut_addendum: float
    crest: float = 0.0
    root: float = 0.0
    crest_radius: float = 0.0
    root_radius: float = 0.0
    clearance_mm: Callable[[float], float] = _none
    nut_bore_slack: float = 0.0
    taper: float = 0.0
    has_nut: bool = True
    least_root_mm: Callable[[float], float] | None = None
    source: str = ""

    @property
    def included_angle_deg(self) -> float | None:
        """Between the flanks; None where they are not straight."""
        return None if self.flanks is None else self.flanks.included


def wood(included_angle_deg: float, flat: float = 1 / 8) -> Form:
    """A wooden V thread: `flat` of the pitch wide at crest and root, so that edges don't crumble.

    Angle 60 to 90 degrees; the nut is bored a quarter pitch above the root diameter. Common
    practice, no source: a 1 in tap of 8 to the inch is sold with a 7/8 in bore.
    """
    if not 60 <= included_angle_deg <= 90:
        raise ValueError(f"a wooden V is 60 to 90 degrees, not {included_angle_deg:g}")
    if not 0 <= flat < 1 / 2:
        raise ValueError(f"a flat is 0 to 1/2 of the pitch, not {flat:g}")
    depth = (1 / 2 - flat) / math.tan(math.radians(included_angle_deg / 2))
    return Form(
        f"wooden V, {included_angle_deg:g} degrees", vee(included_angle_deg), depth / 2, depth,
        depth, depth / 2, crest=flat, root=flat, nut_bore_slack=1 / 4,
        source="common practice, no source",
    )  # fmt: skip


def _trapezoid(
    title: str, angle: float, height: float, clearance: Callable[[float], float], source: str
) -> Form:
    """Flats of equal width at basic crest and root; clearance deepens both roots."""
    flat = 1 / 2 - height * math.tan(math.radians(angle / 2))
    return Form(
        title, vee(angle), height / 2, height, height, height / 2, crest=flat, root=flat,
        clearance_mm=clearance, source=source,
    )  # fmt: skip


def _whitworth(title: str, taper: float = 0.0, source: str = "BS 84") -> Form:
    return Form(
        title, vee(55), 0.640327 / 2, 0.640327, 0.640327, 0.640327 / 2,
        crest_radius=0.137329, root_radius=0.137329, taper=taper, source=source,
    )  # fmt: skip


FORMS: dict[str, Form] = {
    "iso": Form(
        "ISO metric", vee(60), 3 / 8 * _SHARP_60, 17 / 24 * _SHARP_60, 5 / 8 * _SHARP_60,
        1 / 4 * _SHARP_60, crest=1 / 8, root_radius=_SHARP_60 / 6,
        source="ISO 68-1; root radius H/6",
    ),
    "unified": Form(
        "Unified", vee(60), 3 / 8 * _SHARP_60, 11 / 16 * _SHARP_60, 5 / 8 * _SHARP_60,
        1 / 4 * _SHARP_60, crest=1 / 8, root_radius=3 / 16 * _SHARP_60,
        source="ASME B1.1; external thread with rounded root (UNR), 0.59539 P deep",
    ),
    "whitworth": _whitworth("Whitworth"),
    "whitworth-taper": _whitworth("Whitworth, taper 1:16", 1 / 16, "ISO 7-1"),
    "ba": Form(
        "British Association", vee(47.5), 0.3, 0.6, 0.6, 0.3, crest_radius=0.1808346,
        root_radius=0.1808346, source="BS 93",
    ),
    "cycle": Form(
        "British Standard Cycle", vee(60), (_SHARP_60 - 1 / 3) / 2, _SHARP_60 - 1 / 3,
        _SHARP_60 - 1 / 3, (_SHARP_60 - 1 / 3) / 2, crest_radius=1 / 6, root_radius=1 / 6,
        source="BS 811: radius P/6, depth 0.5327 P",
    ),
    "npt": Form(
        "NPT, taper 1:16", vee(60), 0.4, 0.8, 0.8, 0.4, crest=0.0381, root=0.0381, taper=1 / 16,
        least_root_mm=_npt_least_root, source="ASME B1.20.1: depth 0.8 P",
    ),
    "trapezoidal": _trapezoid(
        "ISO trapezoidal", 30.0, 0.5, _trapezoidal_clearance, "ISO 2901, ISO 2904",
    ),
    "acme": _trapezoid("Acme", 29.0, 0.5, _acme_clearance, "ASME B1.5"),
    "stub-acme": _trapezoid("Acme, stub", 29.0, 0.3, _acme_clearance, "ASME B1.8"),
    "worm": Form(
        "worm, 20 degree flanks", vee(40), 1 / math.pi, 2.2 / math.pi, 0.0, 0.0,
        crest=1 / 2 - 2 / math.pi * math.tan(math.radians(20)),
        root=1 / 2 - 2.4 / math.pi * math.tan(math.radians(20)), has_nut=False,
        source="addendum 1, dedendum 1.2 modules; common practice, no source",
    ),
    "square": Form(
        "square", SQUARE, 1 / 4, 1 / 2, 1 / 2, 1 / 4, crest=1 / 2, root=1 / 2,
        source="no standard; depth and width half the pitch, nominal, as books on turning have it",
    ),
    "buttress": Form(
        "buttress, 3 and 30 degrees", Flanks(3, 30), 0.375, 0.867767, 0.75, 0.375,
        crest=0.263841, root_radius=0.124271,
        source="DIN 513: core 0.86 P deep, crest 0.264 P, root radius 0.125 P seen; more digits "
        "from memory, and they close into one curve",
    ),
    "buttress-7-45": Form(
        "buttress, 7 and 45 degrees", Flanks(7, 45), 0.3, 0.66271, 0.66271, 0.3,
        crest=0.16316, root_radius=0.07141,
        source="ASME B1.9, height of engagement 0.6 P: depth 0.6627 P, crest 0.1631 P, root "
        "radius 0.0714 P seen",
    ),
    "wood-60": wood(60.0),
    "wood-90": wood(90.0),
    "edison": Form(
        "lamp cap, round", None, 0.15, 0.3, 0.3, 0.15,
        source="IEC 60061-1; depth about 0.3 P, from memory",
    ),
    "bottle": Form("bottle neck", None, 0.0, 0.0, 0.0, 0.0, has_nut=False),
}  # fmt: skip
"""By the name a thread's `form` gives."""


@dataclass(frozen=True)
class Profile:
    """Shape of one ridge in mm. `depth_mm` is the external thread's, crest to root."""

    form: str
    flanks: Flanks | None
    pitch_mm: float
    depth_mm: float
    nut_depth_mm: float
    crest_flat_mm: float
    root_flat_mm: float
    crest_radius_mm: float
    root_radius_mm: float

    @property
    def included_angle_deg(self) -> float | None:
        """Between the flanks; None where they are not straight."""
        return None if self.flanks is None else self.flanks.included


@dataclass(frozen=True)
class Dimensions:
    """Basic sizes of a thread in mm: diameters None where the thread has no diameter or no nut.

    `minor_mm` is the external thread's root diameter, `nut_minor_mm` and `nut_major_mm` the
    internal thread's; `nut_bore_mm` what to bore before cutting it. Taper threads: the
    diameters in the plane that `plane` names. `lead_angle_deg` at the pitch line.
    """

    profile: Profile
    major_mm: float | None
    pitch_diameter_mm: float | None
    minor_mm: float | None
    nut_major_mm: float | None
    nut_minor_mm: float | None
    nut_bore_mm: float | None
    lead_angle_deg: float | None
    plane: str = ""


def profile(form: Form, pitch_mm: float) -> Profile:
    """The ridge of a form at a pitch > 0 mm."""
    gap = form.clearance_mm(pitch_mm)
    lost = 2 * gap * form.flanks.slope if form.flanks else 0.0
    p = pitch_mm
    return Profile(
        form.title, form.flanks, p,
        depth_mm=form.depth * p + gap,
        nut_depth_mm=form.nut_depth * p + gap,
        crest_flat_mm=form.crest * p,
        root_flat_mm=max(0.0, form.root * p - lost),
        crest_radius_mm=form.crest_radius * p,
        root_radius_mm=form.root_radius * p,
    )  # fmt: skip


def dimensions(thread: Thread) -> Dimensions:
    """The basic sizes of a thread. One without a form is taken as ISO metric."""
    shape = FORMS[thread.form or "iso"]
    p = thread.pitch.mm
    ridge = profile(shape, p)
    if thread.major_mm is None or not shape.depth:
        known = None if thread.major_mm is None else float(thread.major_mm)
        return Dimensions(ridge, known, None, None, None, None, None, None)
    major, plane = _major_mm(thread, p)
    gap = shape.clearance_mm(p)
    effective = major - 2 * shape.addendum * p
    nut_minor = effective - 2 * shape.nut_addendum * p
    nut_root = (shape.nut_depth - shape.nut_addendum) * p + gap
    return Dimensions(
        ridge, major, effective, major - 2 * ridge.depth_mm,
        nut_major_mm=effective + 2 * nut_root if shape.has_nut else None,
        nut_minor_mm=nut_minor if shape.has_nut else None,
        nut_bore_mm=nut_minor + shape.nut_bore_slack * p if shape.has_nut else None,
        lead_angle_deg=lead_angle(thread.pitch.lead_mm, effective),
        plane=plane,
    )  # fmt: skip


def _major_mm(thread: Thread, pitch_mm: float) -> tuple[float, str]:
    """The major diameter, and for a taper thread the plane in which it is given.

    ASME B1.20.1: at the small end the pitch diameter is D - (0.05 D + 1.1) P, with D the
    outside diameter of the pipe and inches throughout.
    """
    nominal = float(thread.major_mm or 0)
    if thread.form == "npt":
        effective = nominal - (0.05 * nominal / INCH + 1.1) * pitch_mm
        return effective + 0.8 * pitch_mm, "at the small end"
    return nominal, "in the gauge plane" if thread.form == "whitworth-taper" else ""
