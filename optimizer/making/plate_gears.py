"""Change gears between a dividing head's spindle and its plate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import combinations


@dataclass(frozen=True)
class PlateGears:
    """Change gears from the head's spindle (first driver) to the plate (last driven).

    `with_crank`: whether the plate must turn the crank's way. `idlers`: gears between, for
    the direction only.
    """

    drivers: tuple[int, ...]
    driven: tuple[int, ...]
    idlers: tuple[int, ...]
    with_crank: bool

    @property
    def plate_turns(self) -> Fraction:
        """Plate turns for one turn of the work, positive with the crank."""
        turns = Fraction(1)
        for driver, driven in zip(self.drivers, self.driven, strict=True):
            turns *= Fraction(driver, driven)
        return turns if self.with_crank else -turns


@lru_cache(maxsize=8)
def plate_gearings(
    gears: tuple[int, ...],
) -> dict[Fraction, tuple[tuple[int, ...], tuple[int, ...]]]:
    """Every ratio the gears make as a simple or a compound pair, each by its simplest train."""
    owned = Counter(gears)
    kinds = sorted(owned)
    ways: dict[Fraction, tuple[tuple[int, ...], tuple[int, ...]]] = {}
    singles = [((a,), (b,)) for a in kinds for b in kinds]
    pairs = list(combinations(sorted(owned.elements()), 2))
    doubles = [(top, bottom) for top in sorted(set(pairs)) for bottom in sorted(set(pairs))]
    for drivers, driven in [*singles, *doubles]:
        if Counter(drivers) + Counter(driven) <= owned:
            ratio = Fraction(1)
            for driver, follower in zip(drivers, driven, strict=True):
                ratio *= Fraction(driver, follower)
            ways.setdefault(ratio, (drivers, driven))
    return ways


def with_idlers(
    drivers: tuple[int, ...],
    driven: tuple[int, ...],
    with_crank: bool,
    gears: Sequence[int],
) -> PlateGears | None:
    """The gearing with idlers from what is left, so that the plate turns the right way.

    Even meshes turn the plate with the crank. A simple pair takes one idler at least, to
    bridge the distance. None where the chest has not enough gears left.
    """
    left = sorted((Counter(gears) - Counter(drivers) - Counter(driven)).elements())
    meshes = len(drivers)
    needed = 1 if meshes == 1 else 0
    if (meshes + needed) % 2 != (0 if with_crank else 1):
        needed += 1
    if needed > len(left):
        return None
    middling = sorted(left, key=lambda teeth: (abs(teeth - 40), teeth))[:needed]
    return PlateGears(drivers, driven, tuple(sorted(middling)), with_crank)
