"""Measuring a gear over two pins, and which pins can measure it.

ISO 21771 formulas for external spur gears. Lengths mm, angles radians.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gearchest.optimizer.making.angles import involute, involute_inverse
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.measuring import exact, form_diameter, thinner

PREFERRED_PIN = 1.728
"""Pin diameter in modules that touches near the pitch circle on any external gear: the
1.728/DP series of the trade's pin tables."""

AT_HAND = (
    *(tenth / 10 for tenth in range(5, 60)),
    *(half / 2 for half in range(12, 21)),
)
"""Pin sizes a drawer of drills and dowels holds, mm: by tenths to 6, by halves to 10."""


@dataclass(frozen=True)
class OverPins:
    """Over two pins of `pin` mm in opposite spaces (or as near as an odd count allows):
    ideal, with the blank's backlash, and what one dial division more of depth takes off."""

    pin: float
    ideal: float
    with_backlash: float
    per_division: float


@dataclass(frozen=True)
class PinRange:
    """The pins that measure a gear, from `least` to `most` mm."""

    least: float
    most: float

    def holds(self, pin: float) -> bool:
        """Whether a pin of this size measures the gear."""
        return self.least <= pin <= self.most


def pin_angle(blank: Blank, pin: float) -> float:
    """Pressure angle in radians at the pin's centre. ValueError where the pin drops through."""
    return involute_inverse(involute(blank.alpha) + pin / blank.base_diameter - _half_space(blank))


def _half_space(blank: Blank) -> float:
    """Half the angle of a space on the pitch circle."""
    return math.pi / blank.teeth - blank.thickness / blank.pitch_diameter


def pins_length(blank: Blank, pin: float) -> float:
    """M over two pins: d_b / cos b + pin, the first term x cos(90 deg/z) for odd counts."""
    across = blank.base_diameter / math.cos(pin_angle(blank, pin))
    if blank.teeth % 2:
        across *= math.cos(math.pi / 2 / blank.teeth)
    return across + pin


def over_pins(blank: Blank, pin: float, division: float) -> OverPins:
    """The measure over pins of `pin` mm, one of those in `pin_range`."""
    length = pins_length(blank, pin)
    return OverPins(
        pin,
        pins_length(exact(blank), pin),
        length,
        length - pins_length(thinner(blank, division), pin),
    )


def pin_range(blank: Blank, division: float) -> PinRange | None:
    """The pins that touch true involute on both flanks, stand proud of the tips and clear the
    root, from the first cut to full depth until one division past it; None where none does.
    """
    states = [_pins_resting(state) for state in (exact(blank), blank, thinner(blank, division))]
    ranges = [found for found in states if found]
    least = max((found.least for found in ranges), default=0.0)
    most = min((found.most for found in ranges), default=0.0)
    return PinRange(least, most) if len(ranges) == len(states) and least <= most else None


def _pins_resting(blank: Blank) -> PinRange | None:
    """The pins that measure this blank as it is.

    At a pressure angle b at the pin's centre the pin's radius is r_b (inv b - inv a + e), e
    half the space, and it touches the flank where that has rolled off by b + inv a - e. All
    that is asked of it grows with b: between two angles every pin will do.
    """
    base = blank.base_diameter / 2
    turned = involute(blank.alpha) - _half_space(blank)

    def radius(angle: float) -> float:
        return base * (involute(angle) - turned)

    def outermost(angle: float) -> float:
        return base / math.cos(angle) + radius(angle)

    def innermost(angle: float) -> float:
        return base / math.cos(angle) - radius(angle)

    most = _roll(base, blank.tip_diameter / 2) - turned
    foot = max(0.0, _roll(base, form_diameter(blank) / 2) - turned)
    if not foot < most < math.pi / 2:
        return None
    proud = _least(lambda angle: outermost(angle) - blank.tip_diameter / 2, foot, most)
    clear = _least(lambda angle: innermost(angle) - blank.cut_root_diameter / 2, foot, most)
    if proud is None or clear is None:
        return None
    return PinRange(2 * radius(max(proud, clear)), 2 * radius(most))


def _roll(base: float, radius: float) -> float:
    """The angle by which an involute from a base circle has rolled off at a radius."""
    return math.sqrt(max(0.0, (radius / base) ** 2 - 1))


def _least(grows: Callable[[float], float], low: float, high: float) -> float | None:
    """The least angle from `low` to `high` at which a growing function is not negative."""
    if grows(low) >= 0:
        return low
    if grows(high) < 0:
        return None
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if grows(middle) < 0 else (low, middle)
    return high


def pins_at_hand(
    blank: Blank,
    division: float,
    usable: PinRange | None,
    sizes: Sequence[float] = AT_HAND,
    most: int = 3,
) -> tuple[OverPins, ...]:
    """Sizes from the drawer that measure this gear, nearest the preferred size first."""
    ideal = PREFERRED_PIN * blank.module
    near = sorted(
        (size for size in sizes if usable and usable.holds(size)),
        key=lambda size: (abs(size - ideal), size),
    )
    return tuple(over_pins(blank, size, division) for size in near[:most])
