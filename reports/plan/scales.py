"""Round figures along an axis."""

from __future__ import annotations

import math
from dataclasses import dataclass

MOST_TICKS = 5


@dataclass(frozen=True)
class Tick:
    """A mark on an axis: where, in units of a curve or per cent of a cell; and its figure."""

    at: float
    figure: str


def ticks(most: float, count: int = MOST_TICKS) -> list[float]:
    """Round figures from 0 up to `most`, `count` at most beside 0; whole ones where most is 1 or
    more.

    >>> ticks(99), ticks(3), ticks(0.7)
    ([0.0, 20.0, 40.0, 60.0, 80.0], [0.0, 1.0, 2.0, 3.0], [0.0, 0.2, 0.4, 0.6])
    """
    if most <= 0:
        return [0.0]
    size = 10.0 ** math.floor(math.log10(most / count))
    step = next(size * by for by in (1, 2, 5, 10) if most / (size * by) <= count)
    if most >= 1:
        step = max(step, 1.0)
    return [round(k * step, 9) for k in range(math.floor(most / step + 1e-9) + 1)]
