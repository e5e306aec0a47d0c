"""Measuring a finished gear: span and chordal thickness; `pins` has the measure over pins.

ISO 21771 formulas for external spur gears. Lengths mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from gearchest.optimizer.making.angles import involute
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.involute import ToothForm


@dataclass(frozen=True)
class Span:
    """Over `teeth` teeth with flat jaws: ideal, and with the blank's backlash.

    `per_division`: how much one dial division more of depth takes off.
    """

    teeth: int
    ideal: float
    with_backlash: float
    per_division: float


@dataclass(frozen=True)
class Chordal:
    """Tooth caliper: thickness along the chord of the pitch circle, and its height below the tip.

    `thickness` and `height` with the blank's backlash, `ideal` the thickness without.
    """

    ideal: float
    thickness: float
    height: float
    per_division: float


def thinner(blank: Blank, deeper: float) -> Blank:
    """The same blank cut `deeper` mm further: each tooth 2 tan a x deeper thinner."""
    return replace(blank, thinning=blank.thinning + 2 * deeper * math.tan(blank.alpha))


def exact(blank: Blank) -> Blank:
    """The same blank without backlash."""
    return replace(blank, thinning=0.0)


def span_teeth(blank: Blank) -> int:
    """How many teeth to span so that the jaws touch near the middle of the flanks."""
    middle = blank.pitch_diameter / 2 + blank.shift * blank.module
    angle = math.acos(min(1.0, blank.base_diameter / 2 / middle))
    inverse = math.tan(angle) - involute(blank.alpha)
    count = blank.teeth * inverse / math.pi - 2 * blank.shift * math.tan(blank.alpha) / math.pi
    return max(2, round(count + 0.5))


def span_length(blank: Blank, teeth: int) -> float:
    """W = m cos a (pi (k - 1/2) + z inv a) + 2 x m sin a, less the thinning x cos a."""
    upright = math.pi * (teeth - 0.5) + blank.teeth * involute(blank.alpha)
    ideal = blank.module * math.cos(blank.alpha) * upright
    shifted = 2 * blank.shift * blank.module * math.sin(blank.alpha)
    return ideal + shifted - blank.thinning * math.cos(blank.alpha)


def span(blank: Blank, division: float) -> Span:
    """The span over the best number of teeth. `division`: depth of one dial division, mm."""
    count = span_teeth(blank)
    length = span_length(blank, count)
    return Span(
        count,
        span_length(exact(blank), count),
        length,
        length - span_length(thinner(blank, division), count),
    )


def jaws_rest(blank: Blank) -> bool:
    """Whether the jaws touch true involute, between undercut and tip."""
    across = span_length(blank, span_teeth(blank))
    touching = math.hypot(across / 2, blank.base_diameter / 2)
    return form_diameter(blank) / 2 < touching < blank.tip_diameter / 2


def form_diameter(blank: Blank) -> float:
    """mm; from here outward the flank of a generated tooth is a true involute.

    The straight flank of the cutter ends one module below its reference line. Where that lies
    beyond the line of action the tooth is undercut, and the involute begins where the fillet
    leaves it.
    """
    sunk = blank.module * (1 - blank.shift) + blank.thinning / (2 * math.tan(blank.alpha))
    along = blank.base_diameter / 2 * math.tan(blank.alpha) - sunk / math.sin(blank.alpha)
    if along < 0:
        return 2 * ToothForm(blank).form_radius
    return 2 * math.hypot(blank.base_diameter / 2, along)


def _chord(blank: Blank) -> tuple[float, float]:
    half = blank.thickness / blank.pitch_diameter
    addendum = (blank.tip_diameter - blank.pitch_diameter) / 2
    sagitta = blank.pitch_diameter / 2 * (1 - math.cos(half))
    return blank.pitch_diameter * math.sin(half), addendum + sagitta


def chordal(blank: Blank, division: float) -> Chordal:
    """Chordal thickness d sin(s/d) and height h_a + d/2 (1 - cos(s/d))."""
    thickness, height = _chord(blank)
    return Chordal(
        _chord(exact(blank))[0],
        thickness,
        height,
        thickness - _chord(thinner(blank, division))[0],
    )
