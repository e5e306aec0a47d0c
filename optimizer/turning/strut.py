"""Whether a screw that is pressed endwise buckles: Euler, and Johnson's parabola where it is short.

Lengths in mm, loads in N, stresses in MPa. With the slenderness s = K L / k, K of the ends, k a
quarter of the root diameter, the load that buckles is

    pi^2 E A / s^2                       where s >= c = sqrt(2 pi^2 E / compression): Euler,
    compression A (1 - (s/c)^2 / 2)      where s < c: J. B. Johnson,

which meet at s = c (Mott, Machine Elements, ch. 6; Shigley, ch. 4). The thread's ridge bears
nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

SLENDEREST = 200.0
"""Slenderness beyond which nothing should be a strut: the limit of steel codes (AISC)."""


class Ends(Enum):
    """How the ends are held, and K: the length that buckles like one between two pins, in free
    lengths. Values recommended for practice (AISC; Mott, fig. 6-2), a little above the theory's
    2, 1, 0.7 and 0.5."""

    FIXED_FREE = "fixed-free", 2.1
    PINNED = "pinned-pinned", 1.0
    FIXED_PINNED = "fixed-pinned", 0.8
    FIXED = "fixed-fixed", 0.65

    def __init__(self, title: str, factor: float) -> None:
        self.title = title
        self.factor = factor


@dataclass(frozen=True)
class Strut:
    """A screw under an endwise load: `free` mm between where it is held, `critical` the load in N
    that buckles it, `limit` the slenderness from which Euler holds. `assumed`: nobody named the
    ends, the worst are taken."""

    free: float
    ends: Ends
    slenderness: float
    limit: float
    critical: float
    load: float
    assumed: bool = False

    @property
    def euler(self) -> bool:
        """Whether Euler's formula holds; else Johnson's."""
        return self.slenderness >= self.limit

    @property
    def safety(self) -> float:
        """The load that buckles over the load."""
        return self.critical / self.load

    @property
    def too_slender(self) -> bool:
        """Whether it is slenderer than any strut should be."""
        return self.slenderness > SLENDEREST


def critical_stress(slenderness: float, modulus: float, compression: float) -> float:
    """The stress at which a strut of a slenderness > 0 buckles, at most `compression`."""
    if slenderness >= euler_from(modulus, compression):
        return math.pi**2 * modulus / slenderness**2
    return compression * (1 - compression * slenderness**2 / (4 * math.pi**2 * modulus))


def euler_from(modulus: float, compression: float) -> float:
    """The slenderness from which Euler's formula holds: below it would allow more than half of
    `compression`."""
    return math.sqrt(2 * math.pi**2 * modulus / compression)


def strut(
    load: float,
    root_diameter: float,
    free: float,
    ends: Ends | None,
    modulus: float,
    compression: float,
) -> Strut:
    """A screw's core of `root_diameter` under `load`; `ends` None: one end held, the other free."""
    held = Ends.FIXED_FREE if ends is None else ends
    slenderness = held.factor * free / (root_diameter / 4)
    critical = critical_stress(slenderness, modulus, compression) * math.pi / 4 * root_diameter**2
    limit = euler_from(modulus, compression)
    return Strut(free, held, slenderness, limit, critical, load, ends is None)
