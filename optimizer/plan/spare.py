"""The gears owned that could be spared: the cheapest cover the other way round."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Small
from gearchest.optimizer.domain.gear import Chest, Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import most_gears
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import Aim, first_of_all, of_trains
from gearchest.optimizer.plan.demand import Demand, SolverLimits
from gearchest.optimizer.plan.explain import covered
from gearchest.optimizer.plan.formulate import Terms, formulate
from gearchest.optimizer.plan.problem import PAD, Chosen, Problem
from gearchest.optimizer.plan.result import Spare
from gearchest.optimizer.plan.served import serve
from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.plan.worth import rank, worth
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.search import find_options

SPARING = first_of_all(Aim.MONEY)
"""Aims where gears owned are asked about: each at one price, the fewest kept."""

MOST_LOOKED_AT = 22
"""Gears whose every set is looked at, four million: a second."""

MOST_JUDGED = 5_000
"""Sets equally small that are judged by the aims: a second or two."""

SECONDS = 20.0
"""What the solver is given for more gears, where no time limit is."""

_WORD = 64


def spare_gears(
    lathes: Sequence[Lathe], wants: Sequence[Want], watch: Watch, limits: SolverLimits
) -> Spare | None:
    """The most loose gears that could go without losing a want; ties go by the aims.

    The lathes share one chest. The same question as the cheapest cover, asked from an empty
    chest with every gear owned on offer at one price. None where the watch left no time.
    """
    owned = dict(lathes[0].chest.loose)
    candidates = list(owned.items())
    seats = most_gears(max(lathe.studs for lathe in lathes))
    if watch.over:
        return None
    empty = [replace(one, chest=Chest((), one.chest.pinned)) for one in lathes]
    order, workers = of_trains(SPARING), limits.workers

    def ask() -> None:
        if watch.over:
            raise SearchStoppedError

    try:
        tables = [
            find_options(one, wants, candidates, seats, order=order, workers=workers, ask=ask)
            for one in empty
        ]
    except SearchStoppedError:
        return None
    served = serve(empty, tables)
    offers = [Offer(gear, Fraction(1)) for gear in owned]  # no train lacks more than there are
    problem = formulate(wants, served.table, offers, Terms(aims=SPARING))
    every = tuple(c for c, prices in enumerate(problem.prices) for _ in prices)
    needed = frozenset(covered(problem, every))
    try:
        kept, proven = _fewest(problem, every, needed, watch, limits)
    except StoppedError:
        return None
    return Spare(
        together=_in_order(Counter(owned) - Counter(problem.gears(kept))),
        proven=proven,
        each=_one_at_a_time(problem, every, needed, owned),
    )


def _fewest(
    problem: Problem, every: Chosen, needed: frozenset[int], watch: Watch, limits: SolverLimits
) -> tuple[Chosen, bool]:
    """The fewest gears that do, and whether that is proven. Raises `StoppedError`."""
    if len(every) <= MOST_LOOKED_AT:
        return _by_looking(problem, every, needed, watch), True
    from gearchest.optimizer.plan.constraint import cheapest_set

    if limits.seconds is None:
        limits = replace(limits, seconds=SECONDS)
    found = cheapest_set(problem, every, watch, limits, Demand(wants=needed))
    if found is None:
        raise StoppedError
    fewest = next(total for total in found.totals if total.objective == Aim.MONEY)
    return found.chosen, fewest.proven


def _by_looking(problem: Problem, every: Chosen, needed: frozenset[int], watch: Watch) -> Chosen:
    """The fewest of all sets there are, each a number whose bits are the gears kept; ties by the
    aims, among the first of them."""
    doing, size = _doing(problem, every, needed, watch)
    few = np.flatnonzero(doing & (size == size[doing].min()))[:MOST_JUDGED]
    sets = {tuple(c for bit, c in enumerate(every) if kept >> bit & 1) for kept in few.tolist()}
    judged = []
    for chosen in sorted(sets):
        watch.check()
        judged.append((rank(problem, chosen, worth(problem, chosen)), chosen))
    return min(judged)[1]


def _doing(
    problem: Problem, every: Chosen, needed: frozenset[int], watch: Watch
) -> tuple[Bools, Small]:
    """By set of gears kept: whether it covers what is needed, and how many gears it has."""
    options, count = problem.options, len(every)
    first = np.array([0, *accumulate(map(len, problem.prices))], dtype=np.int64)
    bits = np.where(options.missing == PAD, 0, 1 << (first[options.missing] + options.repeat - 1))
    masks = np.bitwise_or.reduce(bits, axis=1)
    doing = np.ones(1 << count, dtype=np.bool_)
    wants = list(needed)
    for word in (wants[start : start + _WORD] for start in range(0, len(wants), _WORD)):
        cover = np.zeros(1 << count, dtype=np.uint64)
        for bit, want in enumerate(word):
            cover[masks[options.want == want]] |= np.uint64(1 << bit)
        for gear in range(count):  # a set covers what it covers without one of its gears
            watch.check()
            pairs = cover.reshape(-1, 2, 1 << gear)
            pairs[:, 1] |= pairs[:, 0]
        doing &= cover == np.uint64((1 << len(word)) - 1)
    size = np.zeros(1, dtype=np.int16)
    for _ in every:
        size = np.concatenate([size, size + np.int16(1)])
    return doing, size


def _one_at_a_time(
    problem: Problem, every: Chosen, needed: frozenset[int], owned: dict[Gear, int]
) -> tuple[Gear, ...]:
    """Gears that could go if all the others stayed."""
    useful = Counter(problem.gears(every))
    spare = [gear for gear, count in owned.items() if count > useful[gear]]
    for c in sorted(set(every)):
        rest = list(every)
        rest.remove(c)
        gear = problem.candidates[c]
        if gear not in spare and needed <= covered(problem, tuple(rest)):
            spare.append(gear)
    return tuple(sorted(spare, key=lambda gear: gear.order))


def _in_order(gears: Counter[Gear]) -> tuple[Gear, ...]:
    return tuple(sorted(gears.elements(), key=lambda gear: gear.order))
