"""The cheapest gears that cover what is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from gearchest.optimizer.plan.best_set import BestSet
from gearchest.optimizer.plan.demand import Demand, SolverLimits
from gearchest.optimizer.plan.explain import covered
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.problem import Chosen, Problem
from gearchest.optimizer.plan.start import greedy
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import worth

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
