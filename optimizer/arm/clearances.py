"""What must keep apart on the arm: gears of one plane, and gears and the hubs they pass."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from gearchest.optimizer.arm.geometry import Point
from gearchest.optimizer.arm.result import Clearance, Hub
from gearchest.optimizer.domain.lathe import Banjo
from gearchest.optimizer.domain.layout import Layout, Seat
from gearchest.optimizer.domain.train import Train

DECIMALS = 9
"""Of a millimetre: what differs less differs by rounding alone."""


@lru_cache
def kept_apart(banjo: Banjo, layout: Layout) -> tuple[tuple[Seat, Seat | Hub], ...]:
    """A gear and what its tips must clear: a gear of its plane with which it does not mesh, or
    what stands proud on a shaft it passes."""
    hubs = [banjo.driver_hub, *[banjo.stud_hub] * layout.studs, banjo.screw_hub]
    return (
        *layout.tip_pairs,
        *((seat, Hub(shaft, hubs[shaft] / 2)) for seat, shaft in layout.hub_pairs),
    )


def clearances(banjo: Banjo, train: Train, shafts: Sequence[Point]) -> tuple[Clearance, ...]:
    """Every clearance with the shafts' centres there, tightest first; of equal ones (to a
    nanometre) that of the smaller gear, then the one nearer the first driver."""
    gears = dict(train.seated)
    found = []
    for one, other in kept_apart(banjo, train.layout):
        reach = other.radius if isinstance(other, Hub) else gears[other].tip_radius
        distance = math.dist(shafts[one.shaft], shafts[other.shaft])
        found.append(Clearance(distance - gears[one].tip_radius - reach, one, other))
    return tuple(
        sorted(found, key=lambda c: (round(c.mm, DECIMALS), gears[c.one].teeth, c.other.shaft))
    )
