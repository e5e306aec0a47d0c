"""Where to draw the shafts of a train whose arm is unmeasured or on which it won't go.

Meshing gears stand at their true distance; the chain zigzags as far as gears that share a
plane allow, so that it looks like a train on an arm. It says nothing about fit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.layout import Layout, Seat
from gearchest.optimizer.domain.train import Train
from gearchest.reports.drawing.labels import Point

BENDS = (52.0, 44.0, 36.0, 28.0, 20.0, 12.0, 0.0)
"""Degrees by which the chain leaves the straight line, tried from the most bent."""


def chain(train: Train) -> list[Point]:
    """Shaft centres, y upward: the screw's at the origin, the first driver's above it."""
    gears = dict(train.seated)
    for bend in BENDS:
        points = _zigzag(train.spans, bend)
        if _keeps_apart(train.layout, gears, points):
            break
    return points


def _zigzag(distances: Sequence[float], bend: float) -> list[Point]:
    """Shafts at these distances, leaning right and left of the vertical by turns."""
    if len(distances) == 1:
        bend = 0.0
    steps = [
        (
            d * math.sin(math.radians(bend)) * (1 if i % 2 == 0 else -1),
            -d * math.cos(math.radians(bend)),
        )
        for i, d in enumerate(distances)
    ]
    xs = list(accumulate((x for x, _ in steps), initial=0.0))
    ys = list(accumulate((y for _, y in steps), initial=0.0))
    return [(x - xs[-1], y - ys[-1]) for x, y in zip(xs, ys, strict=True)]


def _keeps_apart(layout: Layout, gears: dict[Seat, Gear], points: list[Point]) -> bool:
    return all(
        math.dist(points[a.shaft], points[b.shaft]) > gears[a].tip_radius + gears[b].tip_radius
        for a, b in layout.tip_pairs
    )
