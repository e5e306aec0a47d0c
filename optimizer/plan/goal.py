"""The cheapest gears that cover what is asked for; and, the other way round, the gears owned
that could be spared."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.gear import Chest, Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import most_gears
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import Aim, first_of_all, of_trains
from gearchest.optimizer.plan.best_set import BestSet
from gearchest.optimizer.plan.demand import Demand, SolverLimits
from gearchest.optimizer.plan.explain import covered
from gearchest.optimizer.plan.formulate import Terms, formulate
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.problem import Chosen, Problem
from gearchest.optimizer.plan.result import Spare
from gearchest.optimizer.plan.served import serve
from gearchest.optimizer.plan.start import greedy
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import worth
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.search import find_options

SECONDS = 20.0
"""What the solver is given for the cheapest set where no time limit is: money is proven soon if it
can be at all, and which of the cheapest sets is the best by the aims may never be."""


@dataclass(frozen=True)
class Cover:
    """What is to be covered: these wants (by position), and this share of the weight of all.

    `asked` says it in words.
    """

    asked: str
    wants: frozenset[int] = frozenset()
    share: Fraction = Fraction(0)


@dataclass(frozen=True)
class Reached:
    """The cheapest set; `beyond`: the wants asked for that it leaves uncovered because no
    set of offers, or none for the budget, covers them."""

    found: BestSet
    beyond: frozenset[int]
    reached: bool


def cheapest_cover(
    problem: Problem,
    cover: Cover,
    steps: Sequence[BestSet],
    watch: Watch,
    limits: SolverLimits,
) -> Reached | None:
    """The cheapest set that covers what can be covered of what is asked.

    None where the budget leaves no such set. Raises `StoppedError` where the watch, or the time
    for the solver, ended the search before one was found. `steps`: the best sets of at most
    0, 1, 2, ... gears, of which one may be proven cheapest already.
    """
    reachable = frozenset(np.unique(problem.options.want).tolist())
    asked = -(-cover.share.numerator * int(problem.weights.sum()) // cover.share.denominator)
    most = int(problem.weights[sorted(reachable)].sum())
    demand = Demand(min(asked, most), cover.wants & reachable)
    needed = max(demand.weight, int(problem.weights[sorted(demand.wants)].sum()))
    steps = _further(problem, steps, needed, watch)
    found = _known_cheapest(problem, steps, demand)
    if found is None:
        found = _solved(problem, steps, demand, needed, watch, limits)
    if found is None:
        return None
    beyond = cover.wants - reachable
    return Reached(found, beyond, not beyond and asked <= most)


def _further(
    problem: Problem, steps: Sequence[BestSet], needed: int, watch: Watch
) -> Sequence[BestSet]:
    """The steps, and more of them until one covers what is needed, while there are few enough
    sets to look at all."""
    every, steps = Enumeration(problem, watch), list(steps)
    while (
        steps
        and steps[-1].proven
        and steps[-1].totals[0].value < needed
        and every.reaches(len(steps))
    ):
        found = every.step(len(steps), watch)
        if found is None:
            break
        steps.append(found)
    return steps


def _solved(
    problem: Problem,
    steps: Sequence[BestSet],
    demand: Demand,
    needed: int,
    watch: Watch,
    limits: SolverLimits,
) -> BestSet | None:
    """What the constraint solver finds from the best set known, and from what the steps prove:
    sets that cover too little are no smaller than so many gears, and these cost so much."""
    from gearchest.optimizer.plan.constraint import cheapest_set

    every = sum(map(len, problem.prices))
    starts = [step.chosen for step in steps if problem.allowed(step.chosen, every)]
    starts += [greedy(problem, start, every) for start in starts[-1:]]
    met = [start for start in starts if _meets(problem, start, demand)]
    guess = min(met, key=problem.price, default=None)
    short = [n for n, step in enumerate(steps) if step.totals[0].bound < needed]
    fewest = max(short, default=-1) + 1
    prices = sorted(price for copies in problem.prices for price in copies)
    least = replace(demand, fewest=fewest, money=sum(prices[:fewest]))
    if limits.seconds is None:
        limits = replace(limits, seconds=SECONDS)
    return cheapest_set(problem, guess, watch, limits, least)


def _known_cheapest(problem: Problem, steps: Sequence[BestSet], demand: Demand) -> BestSet | None:
    """The first step that covers what is asked, where that proves it the cheapest: fewer gears
    do not, as many cannot cost less, and more cost more."""
    needed = max(demand.weight, int(problem.weights[sorted(demand.wants)].sum()))
    prices = sorted(price for copies in problem.prices for price in copies)
    for step in steps:
        if not step.proven or problem.include:
            return None
        if _meets(problem, step.chosen, demand):
            size = len(step.chosen)
            least = problem.price(step.chosen) == sum(prices[:size])
            return step if least and all(prices[size : size + 1]) else None
        if worth(problem, step.chosen).weight >= needed:
            return None
    return None


def _meets(problem: Problem, chosen: Chosen, demand: Demand) -> bool:
    have = covered(problem, chosen)
    return demand.wants <= have and worth(problem, chosen).weight >= demand.weight


SPARING = first_of_all(Aim.MONEY)
"""Aims where gears owned are asked about: each at one price, the fewest kept."""


def spare_gears(
    lathes: Sequence[Lathe], wants: Sequence[Want], watch: Watch, limits: SolverLimits
) -> Spare | None:
    """The most loose gears that could go without losing a want; ties go by the aims.

    The lathes share one chest. The same question as the cheapest cover, asked from an empty
    chest with every gear owned on offer at one price. None where the watch left no time.
    """
    from gearchest.optimizer.plan.constraint import cheapest_set

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
    offers = [Offer(gear, Fraction(1), copies=count) for gear, count in owned.items()]
    problem = formulate(wants, served.table, offers, Terms(aims=SPARING))
    every = tuple(c for c, prices in enumerate(problem.prices) for _ in prices)
    needed = frozenset(covered(problem, every))
    found = cheapest_set(problem, every, watch, limits, Demand(wants=needed))
    if found is None:
        return None
    kept = Counter(problem.gears(found.chosen))
    return Spare(
        together=_in_order(Counter(owned) - kept),
        proven=found.proven,
        each=_one_at_a_time(problem, every, needed, owned),
    )


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
