"""The question a plan answers, in integers: wants, gears on offer, and what covers what.

A set of gears is a tuple of candidate indices, ascending, a gear taken twice standing twice.
The candidates stand in the order of `Gear.order`, so comparing tuples compares numbers.

A set covers a want when it holds all missing gears of one of the want's options. The option
used is the best of those it holds, by the aims that concern a train (tooth load, error) in
the order asked for; ties go to fewer missing gears, then to the smaller numbers. With that,
minimising the aims one after the other over sets and over options comes to the same as
judging each set by its best options: a set that meets the least total of the first train aim
must use the best option by it everywhere.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import gcd, lcm

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Aim
from gearchest.optimizer.search.options import ERROR_UNIT, LOAD_UNIT, OptionTable

Chosen = tuple[int, ...]

LARGEST = 2**62
"""Totals stay below this, so that sums and differences of two fit 64 bits."""

_PAD = -1


WEIGHT, COUNT, NUMBERS = "covered weight", "number of gears", "smaller numbers"
"""Names of the objectives besides the aims: the first, and the two that settle ties."""


class ImpossibleError(ValueError):
    """The conditions contradict each other: no set of gears meets them."""


@dataclass(frozen=True)
class Terms:
    """Conditions on the gears. `include`: gears that must be in, as often as they stand there;
    a step of fewer gears holds that many of them. `keep_out`: kinds that must stay out.
    `budget`: the most money a set may cost, None for any. `aims`: each once, first counts
    most."""

    budget: Fraction | None = None
    include: tuple[Gear, ...] = ()
    keep_out: frozenset[Gear] = frozenset()
    aims: tuple[Aim, ...] = tuple(Aim)


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

    Sorted by want, then best first. `missing` is padded with -1; `repeat[i, j]` tells how
    many copies of `missing[i, j]` row i needs up to there (0 where padded). `index` is the
    option's place in its want's `WantOptions`.
    """

    want: Ints
    missing: Ints
    repeat: Ints
    load: Ints
    error: Ints
    index: Ints

    def rows(self, chosen: Bools) -> Options:
        """The rows picked by a mask."""
        return Options(
            self.want[chosen],
            self.missing[chosen],
            self.repeat[chosen],
            self.load[chosen],
            self.error[chosen],
            self.index[chosen],
        )

    @property
    def size(self) -> Ints:
        """How many gears each row misses."""
        sizes: Ints = np.sum(self.missing != _PAD, axis=1)
        return sizes


@dataclass(frozen=True)
class Problem:
    """One instance. `weights` by want and `prices` by candidate are in units of their scales;
    `prices[c]` lists the price of the first, second, ... copy, as many as can be had and be of
    use. `include` are candidates that must be in; `offers[c]` the offers behind `prices[c]`.
    """

    table: OptionTable
    options: Options
    weights: Ints
    weight_scale: Scale
    prices: tuple[tuple[int, ...], ...]
    price_scale: Scale
    offers: tuple[tuple[Offer, ...], ...]
    budget: int | None
    include: Chosen
    aims: tuple[Aim, ...]

    @property
    def candidates(self) -> tuple[Gear, ...]:
        """The gears that could be added."""
        return self.table.candidates

    def scale(self, objective: str) -> Scale:
        """The unit in which the totals of an objective are counted."""
        weight = self.weight_scale.unit
        units = {
            str(Aim.LOAD): weight * Fraction(str(LOAD_UNIT)),
            str(Aim.MONEY): self.price_scale.unit,
            str(Aim.ERROR): weight * Fraction(str(ERROR_UNIT)),
            COUNT: Fraction(1),
        }
        return Scale(units.get(objective, weight))

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

    def price(self, chosen: Chosen) -> int:
        """What a set costs, in units."""
        return sum(sum(self.prices[c][:count]) for c, count in Counter(chosen).items())

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


@dataclass(frozen=True)
class Worth:
    """What a set is judged by, in integer units; `used` holds the row of `Options` used for
    each covered want."""

    weight: int
    load: int
    money: int
    error: int
    used: Ints

    def aim(self, aim: Aim) -> int:
        """The total for one aim."""
        return {Aim.LOAD: self.load, Aim.MONEY: self.money, Aim.ERROR: self.error}[aim]


def held_rows(problem: Problem, chosen: Chosen) -> Ints:
    """Rows of `Options` whose gears are all in a set."""
    options = problem.options
    counts = np.zeros(len(problem.candidates) + 1, dtype=np.int64)
    np.add.at(counts, np.array(chosen, dtype=np.int64), 1)
    held = np.all(options.repeat <= counts[options.missing], axis=1)  # the pad needs 0 of the last
    return np.flatnonzero(held)


def worth(problem: Problem, chosen: Chosen) -> Worth:
    """Judge a set of gears from the options it holds."""
    options = problem.options
    rows = held_rows(problem, chosen)
    wants, first = np.unique(options.want[rows], return_index=True)
    used = rows[first]
    weights = problem.weights[wants]
    return Worth(
        int(weights.sum()),
        int(weights @ options.load[used]),
        problem.price(chosen),
        int(weights @ options.error[used]),
        used,
    )


Rank = tuple[int | Chosen, ...]


def rank(problem: Problem, chosen: Chosen, value: Worth) -> Rank:
    """Sort key of a set, best first: weight, the aims, fewer gears, smaller numbers."""
    return (-value.weight, *map(value.aim, problem.aims), len(chosen), chosen)


def formulate(
    wants: Sequence[Want], table: OptionTable, offers: Sequence[Offer], terms: Terms
) -> Problem:
    """Bring wants, options, offers and terms into one instance.

    Candidates without an offer cannot be had. Raises `ImpossibleError` where the terms
    contradict each other, `OverflowError` where totals would not fit 64 bits.
    """
    if sorted(terms.aims) != sorted(Aim):
        raise ImpossibleError(f"each aim stands once in the order: {', '.join(Aim)}")
    places = {gear: c for c, gear in enumerate(table.candidates)}
    by_gear = _copies(table.candidates, offers, terms, _most_copies(table, terms))
    options = _drop_unavailable(_stack(table, terms.aims), [len(had) for had in by_gear])
    include = tuple(sorted(places[gear] for gear in _offered(terms.include, places)))
    by_gear = _useful(by_gear, options, include)
    weight_scale = Scale.of(want.weight for want in wants)
    price_scale = Scale.of(offer.price for had in by_gear for offer in had)
    weights = [weight_scale.whole(want.weight) for want in wants]
    prices = tuple(tuple(price_scale.whole(offer.price) for offer in had) for had in by_gear)
    _check_range(options, sum(weights), sum(map(sum, prices)))
    problem = Problem(
        table=table,
        options=options,
        weights=np.array(weights, dtype=np.int64),
        weight_scale=weight_scale,
        prices=prices,
        price_scale=price_scale,
        offers=by_gear,
        budget=_whole_budget(terms.budget, price_scale, prices),
        include=include,
        aims=terms.aims,
    )
    _check_terms(problem, terms)
    return problem


def _most_copies(table: OptionTable, terms: Terms) -> int:
    widest = max((options.missing.shape[1] for options in table.wants), default=0)
    return max(1, widest, *Counter(terms.include).values(), 0)


def _copies(
    candidates: Sequence[Gear], offers: Sequence[Offer], terms: Terms, most: int
) -> tuple[tuple[Offer, ...], ...]:
    """For each candidate the offer behind every copy, cheapest first, at most `most`."""
    by_gear: dict[Gear, list[Offer]] = {gear: [] for gear in candidates}
    for offer in offers:
        if offer.gear in by_gear and offer.gear not in terms.keep_out:
            by_gear[offer.gear].append(offer)
    had = []
    for sources in by_gear.values():
        sources.sort(key=lambda offer: (offer.price, offer.how, offer.note))
        copies = [
            offer
            for offer in sources
            for _ in range(most if offer.copies is None else min(most, offer.copies))
        ]
        had.append(tuple(copies[:most]))
    return tuple(had)


def _offered(include: Sequence[Gear], places: dict[Gear, int]) -> Sequence[Gear]:
    for gear in include:
        if gear not in places:
            raise ImpossibleError(f"gear {gear} is to be included but is not on offer")
    return include


def _stack(table: OptionTable, aims: Sequence[Aim]) -> Options:
    """All options one under the other, by want and best first."""
    width = max((options.missing.shape[1] for options in table.wants), default=0)
    missing = [
        np.pad(
            options.missing.astype(np.int64),
            ((0, 0), (0, width - options.missing.shape[1])),
            constant_values=_PAD,
        )
        for options in table.wants
    ]
    sizes = [len(options.load) for options in table.wants]
    stacked = np.concatenate([np.zeros((0, width), dtype=np.int64), *missing])
    none = np.zeros(0, dtype=np.int64)
    options = Options(
        want=np.repeat(np.arange(len(sizes)), sizes),
        missing=stacked,
        repeat=_repeats(stacked),
        load=np.concatenate([none, *(o.load for o in table.wants)]),
        error=np.concatenate([none, *(o.error for o in table.wants)]),
        index=np.concatenate([none, *(np.arange(size) for size in sizes)]),
    )
    totals = {Aim.LOAD: options.load, Aim.ERROR: options.error}
    first, second = (totals[aim] for aim in aims if aim is not Aim.MONEY)
    # lexsort takes the last key first; padded rows are shorter and come first by -1 < 0
    numbers = tuple(options.missing.T[::-1])
    best_first = np.lexsort((*numbers, options.size, second, first, options.want))
    return Options(*(getattr(options, name)[best_first] for name in Options.__annotations__))


def _repeats(missing: Ints) -> Ints:
    repeat: Ints = (missing != _PAD).astype(np.int64)
    for j in range(1, missing.shape[1]):
        again = (missing[:, j] == missing[:, j - 1]) & (missing[:, j] != _PAD)
        repeat[:, j] += np.where(again, repeat[:, j - 1], 0)
    return repeat


def _drop_unavailable(options: Options, copies: Sequence[int]) -> Options:
    """Leave out options that need more copies of a gear than can be had."""
    limit = np.array([*copies, 0], dtype=np.int64)  # the last stands for the pad
    return options.rows(np.all(options.repeat <= limit[options.missing], axis=1))


def _useful(
    by_gear: Sequence[tuple[Offer, ...]], options: Options, include: Chosen
) -> tuple[tuple[Offer, ...], ...]:
    """Cut each gear's copies to as many as an option or a term can ask for."""
    needed = np.zeros(len(by_gear) + 1, dtype=np.int64)
    np.maximum.at(needed, options.missing.ravel(), options.repeat.ravel())
    for c, count in Counter(include).items():
        needed[c] = max(needed[c], count)
    return tuple(had[: int(needed[c])] for c, had in enumerate(by_gear))


def _check_terms(problem: Problem, terms: Terms) -> None:
    for c, count in Counter(problem.include).items():
        if count > len(problem.prices[c]):
            raise ImpossibleError(
                f"gear {problem.candidates[c]} is to be included {count} times but can be had "
                f"{len(problem.prices[c])} times"
            )
    if problem.budget is not None and problem.price(problem.include) > problem.budget:
        cost = problem.price_scale.exact(problem.price(problem.include))
        raise ImpossibleError(
            f"the gears to include cost {float(cost):g}, more than the budget of "
            f"{float(terms.budget or 0):g}"
        )


def _whole_budget(
    budget: Fraction | None, scale: Scale, prices: Sequence[Sequence[int]]
) -> int | None:
    """The budget in units; None where everything can be bought with it."""
    if budget is None or scale.whole(budget) >= sum(map(sum, prices)):
        return None
    return scale.whole(budget)


def _check_range(options: Options, weight: int, money: int) -> None:
    most = max(1, int(options.load.max(initial=0)), int(options.error.max(initial=0)))
    if weight * most >= LARGEST or money >= LARGEST:
        raise OverflowError(
            "weights or prices lie too far apart to be compared exactly: use rounder numbers"
        )
