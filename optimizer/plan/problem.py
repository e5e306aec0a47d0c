"""The question a plan answers, in integers: wants, gears on offer, and what covers what.

A set of gears is a tuple of candidate indices, ascending, a gear taken twice standing twice.
The candidates stand in the order of `Gear.order`, so comparing tuples compares numbers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import gcd, lcm

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.plan.aims import OF_TRAINS, Aim
from gearchest.optimizer.search.options import OptionTable

Chosen = tuple[int, ...]

CopyCosts = tuple[tuple[int, ...], ...]
"""By candidate, what the first, second, ... copy costs."""

PAD = -1
"""Fills the ends of short rows of missing gears."""

WEIGHT, COUNT, NUMBERS = "covered weight", "number of gears", "smaller numbers"
"""Names of the objectives besides the aims: the first, and the two that settle ties."""


@dataclass(frozen=True)
class Scale:
    """Exact values as integers: value = integer x `unit`."""

    unit: Fraction

    @classmethod
    def of(cls, values: Iterable[Fraction]) -> Scale:
        """The coarsest unit that makes all of `values` whole; scaled values scale alike."""
        seen = [value for value in values if value]
        below = lcm(*(value.denominator for value in seen))
        above = reduce(gcd, (int(value * below) for value in seen), 0)
        return cls(Fraction(above or 1, below))

    def whole(self, value: Fraction) -> int:
        """`value` in units, rounded down (a budget need not be a multiple)."""
        return int(value // self.unit)

    def exact(self, units: int) -> Fraction:
        """The value of so many units."""
        return units * self.unit


@dataclass(frozen=True)
class Options:
    """The options of all wants that respect the terms, one under the other.

    Sorted by want, then best first. `missing` is padded with PAD; `repeat[i, j]` tells how
    many copies of `missing[i, j]` row i needs up to there (0 where padded). `costs`: a column
    for each aim that counts trains, in the order of `OF_TRAINS`. `index` is the option's place
    in its want's `WantOptions`.
    """

    want: Ints
    missing: Ints
    repeat: Ints
    costs: Ints
    index: Ints

    def rows(self, chosen: Bools | Ints) -> Options:
        """Some of the rows."""
        return Options(
            self.want[chosen],
            self.missing[chosen],
            self.repeat[chosen],
            self.costs[chosen],
            self.index[chosen],
        )

    @property
    def size(self) -> Ints:
        """How many gears each row misses."""
        sizes: Ints = np.sum(self.missing != PAD, axis=1)
        return sizes

    def cost(self, aim: Aim) -> Ints:
        """What each row costs by an aim that counts trains."""
        column: Ints = self.costs[:, list(OF_TRAINS).index(aim)]
        return column


@dataclass(frozen=True)
class Problem:
    """One instance, all numbers in units of `scales`, which has one for each objective.

    `weights` by want; `offers[c]` lists the offers for the first, second, ... copy of a
    candidate, as many as can be had and be of use; `copy_costs` what these copies cost by each
    aim that counts gears. `include` are candidates that must be in.
    """

    table: OptionTable
    options: Options
    weights: Ints
    offers: tuple[tuple[Offer, ...], ...]
    copy_costs: Mapping[Aim, CopyCosts]
    scales: Mapping[str, Scale]
    budget: int | None
    include: Chosen
    aims: tuple[Aim, ...]

    @property
    def candidates(self) -> tuple[Gear, ...]:
        """The gears that could be added."""
        return self.table.candidates

    @property
    def prices(self) -> CopyCosts:
        """What the copies cost in money."""
        return self.copy_costs[Aim.MONEY]

    def gears(self, chosen: Chosen) -> tuple[Gear, ...]:
        """The gears of a set."""
        return tuple(self.candidates[c] for c in chosen)

    def taken(self, chosen: Chosen) -> tuple[Offer, ...]:
        """The offers taken for a set: of each gear the cheapest copies."""
        seen: Counter[int] = Counter()
        taken = []
        for c in chosen:
            taken.append(self.offers[c][seen[c]])
            seen[c] += 1
        return tuple(taken)

    def cost(self, aim: Aim, chosen: Chosen) -> int:
        """What a set costs by an aim that counts gears."""
        costs = self.copy_costs[aim]
        return sum(sum(costs[c][:count]) for c, count in Counter(chosen).items())

    def price(self, chosen: Chosen) -> int:
        """What a set costs in money."""
        return self.cost(Aim.MONEY, chosen)

    def included(self, chosen: Chosen) -> int:
        """How many of the gears that must be in are in."""
        return (Counter(chosen) & Counter(self.include)).total()

    def allowed(self, chosen: Chosen, most: int) -> bool:
        """Whether a set of at most `most` gears keeps to copies, budget and gears that must
        be in."""
        counts = Counter(chosen)
        return (
            len(chosen) <= most
            and all(count <= len(self.prices[c]) for c, count in counts.items())
            and (self.budget is None or self.price(chosen) <= self.budget)
            and self.included(chosen) >= min(most, len(self.include))
        )
