"""What a profile shift does to the centre distance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gearchest.optimizer.making.angles import involute, involute_inverse
from gearchest.optimizer.making.blank import Blank


def centre_distance(
    module: float, alpha: float, teeth: tuple[int, int], shifts: tuple[float, float]
) -> float:
    """Centre distance in mm at which two shifted gears run without backlash.

    inv a_w = 2 tan a (x1 + x2)/(z1 + z2) + inv a;  a = m (z1 + z2)/2 x cos a / cos a_w
    (ISO 21771). `alpha` in radians. Raises ValueError where the shifts are too far negative.
    """
    total = sum(teeth)
    working = involute_inverse(2 * math.tan(alpha) * sum(shifts) / total + involute(alpha))
    return module * total / 2 * math.cos(alpha) / math.cos(working)


@dataclass(frozen=True)
class ShiftEffect:
    """What a shift does beside one mate: centre distance and how far it moves apart, mm."""

    mate: int
    centre_distance: float
    moved: float


def shift_effects(blank: Blank, mates: Sequence[int]) -> tuple[ShiftEffect, ...]:
    """The centre distances of the gear at its `sound_shift` beside unshifted mates; those left
    out with which it would bind at any distance."""
    shifts = blank.sound_shift, 0.0
    effects: list[ShiftEffect] = []
    for mate in mates:
        try:
            distance = centre_distance(blank.module, blank.alpha, (blank.teeth, mate), shifts)
        except ValueError:
            continue
        plain = blank.module * (blank.teeth + mate) / 2
        effects.append(ShiftEffect(mate, distance, distance - plain))
    return tuple(effects)
