"""How much a thin rim between root and bore takes from what a tooth bears.

The bending stress at the root is multiplied by a factor of the rim's thickness over the
tooth's whole depth: 1 from 1.2 up, below that 1.6 ln(2.242 / share) (AGMA 2001-D04, factor
K_B; ISO 6336-3, factor Y_B; from memory). Both rate no rim below half the depth; the formula
is carried on there, since such gears are in use, and never makes a rim look sounder than it is.
"""

from __future__ import annotations

import math

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import GearMaking
from gearchest.optimizer.domain.tooth import USUAL_THINNING, inner_reach, read_keyway, usual_depth

FULL_RIM = 1.2
"""Rim / whole depth from which the rim does not weaken the tooth."""


def rim_factor(share: float) -> float:
    """What the stress in a tooth is multiplied by, for a rim of `share` > 0 of its depth."""
    return 1.0 if share >= FULL_RIM else 1.6 * math.log(2.242 / share)


def rim_share(making: GearMaking, gear: Gear) -> float | None:
    """Rim over whole depth of one of a lathe's gears, cut with the usual backlash.

    None where the lathe file gives no bore: then nothing is known against the rim. 0 or less:
    bore or keyway reach the teeth, so this gear cannot be bored as the file says.
    """
    if not making.bore:
        return None
    depth = usual_depth(gear.module, gear.pressure_angle)
    whole = float((1 + depth.dedendum) * gear.module + depth.extra)
    thinning = USUAL_THINNING * float(gear.module)
    cut = whole + thinning / (2 * math.tan(math.radians(float(gear.pressure_angle))))
    return (gear.tip_radius - cut - inner_reach(making.bore, read_keyway(making.keyway))) / whole
