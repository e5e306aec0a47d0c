"""Measuring a finished gear: span, over pins, chordal thickness.

ISO 21771 formulas for external spur gears. Lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from gearchest.optimizer.making.angles import involute, involute_inverse
from gearchest.optimizer.making.blank import Blank

PREFERRED_PIN = 1.728
"""Pin diameter in modules that touches near the pitch circle on any external gear: the
1.728/DP series of the trade's pin tables."""

AT_HAND = (
    *(tenth / 10 for tenth in range(5, 60)),
    *(half / 2 for half in range(12, 21)),
)
"""Pin sizes a drawer of drills and dowels holds, mm: by tenths to 6, by halves to 10."""


@dataclass(frozen=True)
class Span:
    """Over `teeth` teeth with flat jaws: ideal, and with the blank's backlash.

    `per_division`: how much one dial division more of depth takes off.
    """

    teeth: int
    ideal: float
    with_backlash: float
    per_division: float
    touches: bool


@dataclass(frozen=True)
class OverPins:
    """Over two pins of `pin` mm in opposite spaces (or as near as an odd count allows).

    `usable`: the pin touches the flanks and stands proud of the tips.
    """

    pin: float
    ideal: float
    with_backlash: float
    per_division: float
    usable: bool


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


def span(blank: Blank, division: float, teeth: int | None = None) -> Span:
    """The span over `teeth` teeth (the best number where none is given).

    `division`: depth of one dial division, mm.
    """
    count = teeth or span_teeth(blank)
    length = span_length(blank, count)
    touching = math.hypot(length / 2, blank.base_diameter / 2)
    return Span(
        count,
        span_length(exact(blank), count),
        length,
        length - span_length(thinner(blank, division), count),
        form_diameter(blank) / 2 < touching < blank.tip_diameter / 2,
    )


def form_diameter(blank: Blank) -> float:
    """mm; from here outward the flank is a true involute (cut by a rack, no undercut).

    The straight flank of the cutter ends one module below its reference line.
    """
    sunk = blank.module * (1 - blank.shift) + blank.thinning / (2 * math.tan(blank.alpha))
    along = blank.base_diameter / 2 * math.tan(blank.alpha) - sunk / math.sin(blank.alpha)
    return 2 * math.hypot(blank.base_diameter / 2, max(0.0, along))


def pin_angle(blank: Blank, pin: float) -> float:
    """Pressure angle in radians at the pin's centre. ValueError where the pin drops through."""
    half_space = math.pi / blank.teeth - blank.thickness / blank.pitch_diameter
    return involute_inverse(involute(blank.alpha) + pin / blank.base_diameter - half_space)


def pins_length(blank: Blank, pin: float) -> float:
    """M over two pins: d_b / cos b + pin, the first term x cos(90 deg/z) for odd counts."""
    across = blank.base_diameter / math.cos(pin_angle(blank, pin))
    if blank.teeth % 2:
        across *= math.cos(math.pi / 2 / blank.teeth)
    return across + pin


def over_pins(blank: Blank, pin: float, division: float) -> OverPins:
    """The measure over pins of `pin` mm. ValueError where the pin is too small to rest."""
    length = pins_length(blank, pin)
    angle = pin_angle(blank, pin)
    centre = blank.base_diameter / 2 / math.cos(angle)
    along = blank.base_diameter / 2 * math.tan(angle) - pin / 2
    touching = math.hypot(blank.base_diameter / 2, along)
    inner, outer = form_diameter(blank) / 2, blank.tip_diameter / 2
    clears_root = centre - pin / 2 > blank.cut_root_diameter / 2
    return OverPins(
        pin,
        pins_length(exact(blank), pin),
        length,
        length - pins_length(thinner(blank, division), pin),
        along > 0 and inner <= touching < outer and centre + pin / 2 > outer and clears_root,
    )


def pins_at_hand(
    blank: Blank, division: float, sizes: Sequence[float] = AT_HAND, most: int = 3
) -> tuple[OverPins, ...]:
    """Sizes from the drawer that measure this gear, nearest the preferred size first."""
    ideal = PREFERRED_PIN * blank.module
    near = sorted(
        (size for size in sizes if 0.8 * ideal < size < 1.4 * ideal),
        key=lambda size: (abs(size - ideal), size),
    )
    measured = (over_pins(blank, size, division) for size in near)
    return tuple(found for found in measured if found.usable)[:most]


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
