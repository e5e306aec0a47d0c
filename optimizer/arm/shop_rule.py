"""The shop rule that stands in where the arm is not measured (common practice, no source).

For A/B x C/D: A + B >= C + 15 and C + D >= B + 15, and likewise along a longer train. It is
a rule of thumb about nuts and shafts and proves nothing: what passes is "unchecked".
"""

from __future__ import annotations

import itertools
from fractions import Fraction
from typing import TypeVar

from gearchest.optimizer.arm.misfit import Misfit
from gearchest.optimizer.domain.arrays import Floats
from gearchest.optimizer.domain.train import Train

SHOP_RULE_TEETH = 15

Length = TypeVar("Length", Fraction, Floats)


def shop_rule_room(one: Length, other: Length, passing: Length, module: Length) -> Length:
    """mm of diameter to spare where a gear passes the two of the stage beside it; negative
    where the rule is broken. All by pitch diameters; `module`: of the gear that passes."""
    return one + other - passing - SHOP_RULE_TEETH * module


def shop_rule_misfits(train: Train) -> list[Misfit]:
    """Where a train breaks the rule; [] if it keeps it.

    Stages of different module are compared in millimetres, the fifteen teeth in the module
    of the gear that has to pass.
    """
    broken = []
    pairs = list(zip(train.drivers, train.driven, strict=True))
    for (a, b), (c, d) in itertools.pairwise(pairs):
        for one, other, passing in ((a, b, c), (c, d, b)):
            beside, further, past = (gear.module * gear.teeth for gear in (one, other, passing))
            room = shop_rule_room(beside, further, past, passing.module)
            if room < 0:
                broken.append(
                    Misfit(
                        float(-room) / 2,
                        f"by the shop rule {one} + {other} should come to at least "
                        f"{passing} + {SHOP_RULE_TEETH}",
                        "a measured arm, which may show that it fits after all",
                    )
                )
    return broken
