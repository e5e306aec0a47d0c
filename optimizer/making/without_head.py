"""Dividing without a dividing head: by change gears on a spindle, or by a degree wheel."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import prod


@dataclass(frozen=True)
class GearDivider:
    """A change gear as the dividing plate, geared to the work by others.

    A detent falls into the teeth of the `index` gear, `step` teeth for each tooth to cut.
    `drivers` and `driven` lead from the index gear's shaft to the work (empty: both sit on
    the work's own spindle).
    """

    teeth: int
    index: int
    step: int
    drivers: tuple[int, ...] = ()
    driven: tuple[int, ...] = ()


def gear_dividers(teeth: int, owned: Sequence[int], most: int = 3) -> tuple[GearDivider, ...]:
    """Ways to divide with the gears owned (repeated as often as owned), the simplest first.

    One gear with a multiple of the count; else one pair, else a compound pair of gears.
    """
    for pairs in (0, 1, 2):
        found = sorted(
            set(_dividers(teeth, Counter(owned), pairs)),
            key=lambda way: (way.step, -way.index, way.drivers, way.driven),
        )
        if found:
            return tuple(found[:most])
    return ()


def _dividers(teeth: int, owned: Counter[int], pairs: int) -> Iterator[GearDivider]:
    """Every way with so many pairs of gears: step = index x driven / (teeth x drivers)."""
    for index in owned:
        left = owned - Counter([index])
        groups = set(combinations(sorted(left.elements()), pairs))
        for driven in groups:
            steps, rest = divmod(index * prod(driven), teeth)
            if rest:
                continue
            for drivers in groups:
                step, over = divmod(steps, prod(drivers))
                if not over and 0 < step <= index // 2 and not set(drivers) & set(driven):
                    taken = Counter(drivers) + Counter(driven)
                    if taken <= left:
                        yield GearDivider(teeth, index, step, drivers, driven)


@dataclass(frozen=True)
class DegreeWheel:
    """A graduated wheel on the work's spindle, read to `reading` degrees."""

    teeth: int
    reading: Fraction

    @property
    def settings(self) -> tuple[Fraction, ...]:
        """Degrees to set for tooth 0, 1, ..., each rounded to the wheel's reading.

        Rounded from the exact angle every time, so that nothing adds up; the last is 360.
        """
        exact = (Fraction(360 * k, self.teeth) for k in range(self.teeth + 1))
        return tuple(round(angle / self.reading) * self.reading for angle in exact)

    @property
    def largest_error(self) -> Fraction:
        """Degrees by which the worst setting stands off its true place."""
        exact = (Fraction(360 * k, self.teeth) for k in range(self.teeth + 1))
        return max(abs(a - b) for a, b in zip(self.settings, exact, strict=True))
