"""Change gears between a dividing head's spindle and its plate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import combinations

import numpy as np


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


Ends = tuple[tuple[int, ...], tuple[int, ...]]
"""Drivers and driven gears."""


class Gearings:
    """What some gears make as a simple or a compound pair: each ratio by its simplest train,
    looked for when it is asked for. A large chest makes millions of them."""

    def __init__(self, gears: tuple[int, ...]) -> None:
        self._owned = Counter(gears)
        pairs = sorted(set(combinations(sorted(gears), 2)))
        self._pairs = pairs
        self._products = np.array([a * b for a, b in pairs], dtype=np.int64)
        self._with_product: dict[int, list[tuple[int, int]]] = {}
        for pair, product in zip(pairs, self._products.tolist(), strict=True):
            self._with_product.setdefault(product, []).append(pair)
        self._known: dict[Fraction, Ends | None] = {}

    def get(self, ratio: Fraction) -> Ends | None:
        """The simplest train of a ratio >= 0 (drivers over driven), of equals the first."""
        if ratio not in self._known:
            self._known[ratio] = next(self._all(ratio), None)
        return self._known[ratio]

    def _all(self, ratio: Fraction) -> Iterator[Ends]:
        above, below = ratio.numerator, ratio.denominator
        if not above:
            return
        for driver in sorted(self._owned):
            driven, over = divmod(driver * below, above)
            if not over and Counter((driver, driven)) <= self._owned:
                yield (driver,), (driven,)
        for at in np.flatnonzero(self._products % above == 0).tolist():
            drivers = self._pairs[at]
            for others in self._with_product.get(int(self._products[at]) // above * below, ()):
                if Counter((*drivers, *others)) <= self._owned:
                    yield drivers, others


@lru_cache(maxsize=8)
def plate_gearings(gears: tuple[int, ...]) -> Gearings:
    """Those of gears sorted by teeth, made once."""
    return Gearings(gears)


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
    left = list((Counter(gears) - Counter(drivers) - Counter(driven)).elements())
    meshes = len(drivers)
    needed = 1 if meshes == 1 else 0
    if (meshes + needed) % 2 != (0 if with_crank else 1):
        needed += 1
    if needed > len(left):
        return None
    middling = sorted(left, key=lambda teeth: (abs(teeth - 40), teeth))[:needed]
    return PlateGears(drivers, driven, tuple(sorted(middling)), with_crank)
