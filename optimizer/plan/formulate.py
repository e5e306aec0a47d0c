"""Bring wants, options, offers and terms into one instance."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.arrays import Ints
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import OF_GEARS, OF_TRAINS, USUAL, Aim
from gearchest.optimizer.plan.problem import (
    COUNT,
    NUMBERS,
    PAD,
    WEIGHT,
    Chosen,
    CopyCosts,
    Options,
    Problem,
    Scale,
)
from gearchest.optimizer.search.merit import NOT_COVERED
from gearchest.optimizer.search.options import OptionTable

LARGEST = 2**62
"""Totals stay below this, so that sums and differences of two fit 64 bits."""


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
    aims: tuple[Aim, ...] = USUAL


def formulate(
    wants: Sequence[Want], table: OptionTable, offers: Sequence[Offer], terms: Terms
) -> Problem:
    """One instance. Candidates without an offer cannot be had.

    Raises `ImpossibleError` where the terms contradict each other, `OverflowError` where
    totals would not fit 64 bits.
    """
    if len(set(terms.aims)) != len(terms.aims) or not set(USUAL) <= set(terms.aims):
        raise ImpossibleError(f"each aim stands once in the order, and none of {', '.join(USUAL)} "
                              "is left out")  # fmt: skip
    places = {gear: c for c, gear in enumerate(table.candidates)}
    by_gear = _copies(table.candidates, offers, terms, _most_copies(table, terms))
    options = _drop_unavailable(_stack(table, terms.aims), [len(had) for had in by_gear])
    include = tuple(sorted(places[gear] for gear in _offered(terms.include, places)))
    by_gear = _useful(by_gear, options, include)
    weight = Scale.of(want.weight for want in wants)
    weights = [weight.whole(want.weight) for want in wants]
    counted = {aim: _count(aim, by_gear) for aim in OF_GEARS}
    costs = {aim: costs for aim, (costs, _) in counted.items()}
    _check_range(options, sum(weights), costs.values())
    problem = Problem(
        table=table,
        options=options,
        weights=np.array(weights, dtype=np.int64),
        offers=by_gear,
        copy_costs=costs,
        scales={
            WEIGHT: weight,
            COUNT: Scale(Fraction(1)),
            NUMBERS: Scale(Fraction(1)),
            **{aim: Scale(weight.unit * rule.unit) for aim, rule in OF_TRAINS.items()},
            **{aim: scale for aim, (_, scale) in counted.items()},
        },
        budget=_whole_budget(terms.budget, counted[Aim.MONEY][1], costs[Aim.MONEY]),
        include=include,
        aims=terms.aims,
    )
    _check_terms(problem, terms)
    return problem


def _count(aim: Aim, by_gear: Sequence[Sequence[Offer]]) -> tuple[CopyCosts, Scale]:
    """What every copy costs by an aim that counts gears, and in which unit."""
    exact = [OF_GEARS[aim].costs(copies) for copies in by_gear]
    scale = Scale.of(cost for costs in exact for cost in costs)
    return tuple(tuple(map(scale.whole, costs)) for costs in exact), scale


def _most_copies(table: OptionTable, terms: Terms) -> int:
    widest = max((options.missing.shape[1] for options in table.wants), default=0)
    return max(1, widest, *Counter(terms.include).values())


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
            constant_values=PAD,
        )
        for options in table.wants
    ]
    sizes = [len(options) for options in table.wants]
    stacked = np.concatenate([np.zeros((0, width), dtype=np.int64), *missing])
    none = np.zeros(0, dtype=np.int64)
    options = Options(
        want=np.repeat(np.arange(len(sizes)), sizes),
        missing=stacked,
        repeat=_repeats(stacked),
        costs=np.stack(
            [np.concatenate([none, *map(rule.costs, table.wants)]) for rule in OF_TRAINS.values()],
            axis=1,
        ),
        index=np.concatenate([none, *map(np.arange, sizes)]),
    )
    best_first = [options.cost(aim) for aim in aims if aim in OF_TRAINS]
    # lexsort takes the last key first; padded rows are shorter and come first by PAD < 0
    numbers = tuple(options.missing.T[::-1])
    return options.rows(np.lexsort((*numbers, options.size, *best_first[::-1], options.want)))


def _repeats(missing: Ints) -> Ints:
    repeat: Ints = (missing != PAD).astype(np.int64)
    for j in range(1, missing.shape[1]):
        again = (missing[:, j] == missing[:, j - 1]) & (missing[:, j] != PAD)
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
        cost = problem.scales[Aim.MONEY].exact(problem.price(problem.include))
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


def _check_range(options: Options, weight: int, copy_costs: Iterable[CopyCosts]) -> None:
    trains = weight * max(NOT_COVERED, int(options.costs.max(initial=0)))
    gears = [sum(map(sum, costs)) for costs in copy_costs]
    if max(trains, *gears) >= LARGEST:
        raise OverflowError(
            "weights or prices lie too far apart to be compared exactly: use rounder numbers"
        )
