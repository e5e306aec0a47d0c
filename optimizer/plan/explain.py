"""Why a set of gears: what each gear opens, in which order to get them, what is left."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache

import numpy as np

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.pitch import magnitude, relative_error
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.problem import PAD, WEIGHT, Chosen, Problem
from gearchest.optimizer.plan.result import AddedGear, Further
from gearchest.optimizer.plan.served import Served
from gearchest.optimizer.plan.worth import held_rows, worth


def covered(problem: Problem, chosen: Chosen) -> frozenset[int]:
    """The wants a set covers."""
    used = worth(problem, chosen).used
    return frozenset(problem.options.want[used].tolist())


def without(chosen: Chosen, gear: int) -> Chosen:
    """The set with one copy of a gear left out."""
    place = chosen.index(gear)
    return chosen[:place] + chosen[place + 1 :]


def added_gears(problem: Problem, chosen: Chosen, names: Sequence[str]) -> tuple[AddedGear, ...]:
    """What each gear of a set is for."""
    bare = covered(problem, ())
    missing = _used_missing(problem, chosen)
    gears = []
    for c, offer in zip(chosen, problem.taken(chosen), strict=True):
        lost = missing.keys() - covered(problem, without(chosen, c))
        alone = covered(problem, (c,)) - bare
        together = [
            (names[want], problem.gears(without(missing[want], c))) for want in sorted(lost - alone)
        ]
        weight = sum(int(problem.weights[want]) for want in lost)
        gears.append(
            AddedGear(
                offer,
                unlocks=tuple(names[want] for want in sorted(lost)),
                alone=tuple(names[want] for want in sorted(alone)),
                together=tuple(together),
                lost_weight=problem.scales[WEIGHT].exact(weight),
            )
        )
    return tuple(gears)


def _used_missing(problem: Problem, chosen: Chosen) -> dict[int, Chosen]:
    """For each covered want the missing gears of the option it uses."""
    options = problem.options
    return {
        int(options.want[row]): tuple(c for c in options.missing[row].tolist() if c >= 0)
        for row in worth(problem, chosen).used
    }


def best_order(problem: Problem, chosen: Chosen) -> tuple[tuple[Gear, Fraction], ...]:
    """The order in which to get the gears one at a time, with the weight covered after each.

    Best is the order with the most weight covered summed over all purchases, so that the
    lathe does as much as it can for as long as the rest are still to come; ties go to the
    order that has more sooner, then to the smaller numbers.
    """

    # what a part of the gears holds, all of them hold
    held_by_all = replace(problem, options=problem.options.rows(held_rows(problem, chosen)))

    @cache
    def weight(held: Chosen) -> int:
        return worth(held_by_all, held).weight

    @cache
    def best(held: Chosen) -> tuple[int, tuple[int, ...], tuple[int, ...]]:
        """(-sum, -weights in order, gears in order) of the best way to come to `held`."""
        if not held:
            return 0, (), ()
        ways = []
        for last in sorted(set(held)):
            total, weights, order = best(without(held, last))
            now = -weight(held)
            ways.append((total + now, (*weights, now), (*order, last)))
        return min(ways)

    _, weights, order = best(chosen)
    return tuple(
        (problem.candidates[c], problem.scales[WEIGHT].exact(-negated))
        for c, negated in zip(order, weights, strict=True)
    )


def further(problem: Problem, chosen: Chosen, names: Sequence[str]) -> tuple[Further, ...]:
    """For each want a set leaves uncovered, the fewest gears that would cover it as well.

    Ties go to the option that is best by the aims. Copies are limited, money is not.
    """
    options = problem.options
    counts = np.zeros(len(problem.candidates) + 1, dtype=np.int64)
    np.add.at(counts, np.array(chosen, dtype=np.int64), 1)
    lacking = (options.repeat > counts[options.missing]) & (options.missing != PAD)
    number = lacking.sum(axis=1)
    have = covered(problem, chosen)
    rest = []
    for want in range(len(problem.weights)):
        if want in have:
            continue
        start, end = np.searchsorted(options.want, [want, want + 1])
        gears: tuple[Gear, ...] = ()
        if start < end:
            row = start + int(np.argmin(number[start:end]))
            gears = problem.gears(tuple(options.missing[row][lacking[row]].tolist()))
        rest.append(Further(names[want], gears))
    return tuple(rest)


def largest_error(
    problem: Problem, served: Served, wants: Sequence[Want], chosen: Chosen
) -> float | Fraction | None:
    """The size of the largest relative error of the options that a set uses; None where it
    covers nothing."""
    options = problem.options
    rows = worth(problem, chosen).used
    units = options.cost(Aim.ERROR)[rows]
    errors = []
    for row in rows[units == units.max(initial=0)].tolist():
        want, option = int(options.want[row]), int(options.index[row])
        train, screw = problem.table.wants[want].train(option), served.lathe(want, option).leadscrew
        errors.append(magnitude(relative_error(train.ratio, screw, wants[want].pitch)))
    return max(errors, default=None)


def dropped(problem: Problem, chosen: Chosen, earlier: Sequence[Chosen]) -> tuple[Gear, ...]:
    """Gears that an earlier set had and this one does without."""
    had: Counter[int] = Counter()
    for before in earlier:
        had |= Counter(before)
    return problem.gears(tuple(sorted((had - Counter(chosen)).elements())))


def knee(weights: Sequence[Fraction]) -> int | None:
    """The step after which a gear brings little: the one furthest above the straight line
    from the first step to the last. None where no step lies above it."""
    last = len(weights) - 1
    if last < 2:
        return None
    rise = (weights[last] - weights[0]) / last
    above = [weight - weights[0] - rise * k for k, weight in enumerate(weights)]
    best = max(above)
    return above.index(best) if best > 0 else None
