"""The steps of a plan, one after the other, each by the prover that suits it.

Looking at every set is much the quicker while there are few enough of them; beyond, the
constraint solver takes over, with the sets found so far as a start.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from gearchest.optimizer.plan.alternatives import with_alternatives
from gearchest.optimizer.plan.best_set import (
    CONSTRAINT,
    EQUALLY_GOOD,
    BestSet,
    Total,
    proven_totals,
)
from gearchest.optimizer.plan.demand import Demand, SolverLimits
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.problem import WEIGHT, Chosen, Problem
from gearchest.optimizer.plan.start import grow
from gearchest.optimizer.plan.watch import Progress, Watch
from gearchest.optimizer.plan.worth import worth

AS_IT_IS = "nothing to choose"
"""What proves step 0."""

NOT_PROVEN = "nothing"


MOST = 5
"""Gears added at most where nothing is said."""


def solve(
    problem: Problem,
    most: int | None,
    watch: Watch,
    workers: int = 2,
    *,
    whole: bool = True,
    past: bool = True,
) -> tuple[BestSet, ...]:
    """The best sets of at most 0, 1, ... `most` gears, each found afresh. `most` None: up to
    the first that covers all that can be covered, and `MOST` at most; so it is with any `most`
    where `past` is False.

    Every step is given a fair share of the time left. A step the watch cuts short holds the
    best set known, its bound, and what stopped it. `whole`: all trains were looked for, so that
    a bound is one.
    """
    every = Enumeration(problem, watch)
    steps = [BestSet((), proven_totals(problem, ()), AS_IT_IS)]
    can = int(problem.weights[np.unique(problem.options.want)].sum())
    last = MOST if most is None else most
    for gears in range(1, last + 1):
        if (most is None or not past) and steps[-1].totals[0].value == can:
            break
        found = every.step(gears, watch) if every.reaches(gears) else None
        if found is None:
            limits = SolverLimits(workers, _share(watch, last + 1 - gears))
            found = _beyond(problem, gears, steps[-1].chosen, watch, limits)
        steps.append(found)
        _tell(problem, gears, found, watch, whole=whole)
    steps = [_with_equals(problem, step, watch, workers) for step in steps]
    return with_alternatives(every, steps, watch)


def one_more(problem: Problem, steps: Sequence[BestSet], watch: Watch) -> BestSet | None:
    """The best set of one gear more than the last step may have; None where there are too many
    sets to look at, or no time."""
    every = Enumeration(problem, watch)
    return every.step(len(steps), watch) if every.reaches(len(steps)) else None


def _beyond(
    problem: Problem, most: int, before: Chosen, watch: Watch, limits: SolverLimits
) -> BestSet:
    """A step with too many sets to look at, or cut short."""
    start = grow(problem, before, most, watch)
    if watch.over:
        return unproven(problem, most, start, watch)
    from gearchest.optimizer.plan.constraint import best_set

    least = worth(problem, before).weight if problem.allowed(before, most) else 0
    found = best_set(problem, most, start, watch, limits, Demand(least))
    return found if found and found.totals else unproven(problem, most, start, watch)


def _with_equals(problem: Problem, found: BestSet, watch: Watch, workers: int) -> BestSet:
    """What the constraint solver proved, with the sets that do as well: each is the best once
    those before it are forbidden."""
    if found.proven_by != CONSTRAINT or not found.proven:
        return found
    from gearchest.optimizer.plan.constraint import best_set

    size, weight = len(found.chosen), worth(problem, found.chosen).weight
    equal: list[Chosen] = []
    while len(equal) < EQUALLY_GOOD and not watch.over:
        limits = SolverLimits(workers, _share(watch, 2))
        demand = Demand(weight, size=size, excluded=(found.chosen, *equal))
        other = best_set(problem, size, None, watch, limits, demand)
        if other is None or not other.proven:
            break
        equal.append(other.chosen)
    return replace(found, equally_good=tuple(equal))


def unproven(problem: Problem, most: int, chosen: Chosen, watch: Watch) -> BestSet:
    """A set of which nothing is known but that no set can cover a want without options."""
    options = problem.options
    reachable = np.unique(options.want[options.size <= most])
    bound = int(problem.weights[reachable].sum())
    total = Total(WEIGHT, worth(problem, chosen).weight, bound, False)
    return BestSet(chosen, (total,), NOT_PROVEN, watch.why)


def _share(watch: Watch, steps_left: int) -> float | None:
    return None if watch.remaining is None else watch.remaining / steps_left


def _tell(problem: Problem, most: int, found: BestSet, watch: Watch, *, whole: bool) -> None:
    total = found.totals[0]
    exact = problem.scales[WEIGHT].exact
    watch.report(Progress(most, WEIGHT, exact(total.value), exact(total.bound) if whole else None))
