"""The involute function, its inverse, and what tooth angles need of them. Radians."""

from __future__ import annotations

import math


def involute(angle: float) -> float:
    """inv a = tan a - a, for 0 <= a < pi/2."""
    return math.tan(angle) - angle


def involute_inverse(value: float) -> float:
    """The angle whose involute is `value` (>= 0), by Newton's method to machine precision.

    Raises ValueError for a negative value: no pressure angle has one.
    """
    if value < 0:
        raise ValueError(f"no pressure angle has the involute {value:.6g}")
    if value == 0:
        return 0.0
    # inv a ~ a^3/3 for small angles and nearly tan a for large ones; both starts lie above
    # the root, from where Newton's method descends without overshooting (inv is convex).
    angle: float = min((3 * value) ** (1 / 3), math.atan(value + math.pi / 2))
    for _ in range(50):
        step = (involute(angle) - value) / math.tan(angle) ** 2
        angle -= step
        if abs(step) < 1e-15:
            break
    return angle
