"""The shop rule that stands in where the arm is not measured (common practice, no source).

For A/B x C/D: A + B >= C + 15 and C + D >= B + 15, and likewise along a longer train. It is
a rule of thumb about nuts and shafts and proves nothing: what passes is "unchecked".
"""

from __future__ import annotations

import itertools

from gearchest.optimizer.arm.misfit import Misfit
from gearchest.optimizer.domain.train import Train

SHOP_RULE_TEETH = 15


def shop_rule_misfits(train: Train) -> list[Misfit]:
    """Where a train breaks the rule; [] if it keeps it.

    Stages of different module are compared in millimetres, the fifteen teeth in the module
    of the gear that has to pass.
    """
    broken = []
    pairs = list(zip(train.drivers, train.driven, strict=True))
    for (a, b), (c, d) in itertools.pairwise(pairs):
        for one, other, passing in ((a, b, c), (c, d, b)):
            room = one.module * (one.teeth + other.teeth)
            if room < passing.module * (passing.teeth + SHOP_RULE_TEETH):
                short = passing.teeth + SHOP_RULE_TEETH
                broken.append(
                    Misfit(
                        float(passing.module * short - room) / 2,
                        f"by the shop rule {one} + {other} should come to at least "
                        f"{passing} + {SHOP_RULE_TEETH}",
                        "a measured arm, which may show that it fits after all",
                    )
                )
    return broken
