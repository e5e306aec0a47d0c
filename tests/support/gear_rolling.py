"""Two sampled flanks rolled against each other: a numerical mesh check.

Knows nothing of involutes: a flank is its points, joined by a cubic spline.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize_scalar


class Flank:
    """A right-hand flank of an upright tooth: points from root to tip, and the tooth count."""

    def __init__(self, points: np.ndarray, teeth: int) -> None:
        reach = np.hypot(*points.T)
        angle = np.arctan2(points[:, 0], points[:, 1])
        keep = np.concatenate(([True], np.diff(reach) > 1e-7))
        self.teeth = teeth
        self.low, self.high = float(reach[0]), float(reach[-1])
        self.angle = CubicSpline(reach[keep], angle[keep])


@dataclass
class Motion:
    """Largest relative error of the ratio over steps of a twentieth of a tooth; mean number
    of tooth pairs in contact."""

    ratio_error: float
    overlap: float


def touching(one: Flank, other: Flank, apart: float, turn: float, tooth: int) -> float:
    """How far the mate must turn (radians) until this tooth's flank touches its own.

    The driver stands at the origin, the mate `apart` above; both have a tooth on the line of
    centres when unturned (the mate half a pitch on). Angles clockwise from straight up for
    the driver, from straight down for the mate.
    """
    pitch = 2 * math.pi / one.teeth

    def gap(radius: float) -> float:
        angle = turn + tooth * pitch + float(one.angle(radius))
        x, y = radius * math.sin(angle), radius * math.cos(angle)
        reach = math.hypot(x, apart - y)
        if not other.low <= reach <= other.high:
            return 1e3 + abs(reach - (other.low + other.high) / 2)
        here = math.atan2(x, apart - y)  # on the mate, counter-clockwise from straight down
        # the mate's left wall, half a tooth on, waits at this angle
        wall = math.pi / other.teeth - float(other.angle(reach))
        return wall - here

    grid = np.linspace(one.low, one.high, 60)
    values = [gap(float(r)) for r in grid]
    best = int(np.argmin(values))
    if values[best] > 100:
        return math.inf
    bounds = (grid[max(best - 1, 0)], grid[min(best + 1, len(grid) - 1)])
    found = minimize_scalar(gap, bounds=bounds, method="bounded", options={"xatol": 1e-10})
    step = 2 * math.pi / other.teeth
    return min(float(found.fun), values[best]) + tooth * step


def roll(one: Flank, other: Flank, apart: float, steps: int = 40) -> Motion:
    """Turn the driver through two teeth; the mate follows whichever pair touches first."""
    pitch = 2 * math.pi / one.teeth
    turns = np.linspace(0, 2 * pitch, steps + 1)
    follow, pairs = [], []
    for turn in turns:
        gaps = sorted(touching(one, other, apart, float(turn), k) for k in range(-5, 4))
        follow.append(-gaps[0])
        pairs.append(sum(gap - gaps[0] < 2e-6 for gap in gaps))
    speed = np.diff(follow) / np.diff(turns)
    ratio = one.teeth / other.teeth
    return Motion(float(np.abs(speed / ratio - 1).max()), float(np.mean(pairs[:-1])))


def contact_ratio(one, other, apart: float) -> float:
    """Transverse contact ratio by the textbook: path of contact over base pitch (ISO 21771)."""
    bases = [gear.base_diameter / 2 for gear in (one, other)]
    tips = [gear.tip_diameter / 2 for gear in (one, other)]
    working = math.acos(sum(bases) / apart)
    path = sum(math.sqrt(t**2 - b**2) for t, b in zip(tips, bases, strict=True))
    path -= apart * math.sin(working)
    return path / (math.pi * one.module * math.cos(one.alpha))
