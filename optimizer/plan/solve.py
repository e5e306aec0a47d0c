"""The steps of a plan, one after the other, each by the prover that suits it.

Looking at every set is much the quicker while there are few enough of them; beyond, the
constraint solver takes over, with the sets found so far as a start.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearchest.optimizer.plan.effort import Demand, Effort
from gearchest.optimizer.plan.found import CONSTRAINT, EQUALLY_GOOD, Found, Stage, proven_stages
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.problem import WEIGHT, Chosen, Problem, worth
from gearchest.optimizer.plan.start import grow
from gearchest.optimizer.plan.watch import Progress, Watch

AS_IT_IS = "nothing to choose"
"""What proves step 0."""

NOT_PROVEN = "nothing"


def solve(problem: Problem, most: int, watch: Watch, workers: int = 2) -> tuple[Found, ...]:
    """The best sets of at most 0, 1, ... `most` gears, each found afresh.

    Every step is given a fair share of the time left. A step the watch cuts short holds the
    best set known, its bound, and what stopped it.
    """
    every = Enumeration(problem)
    steps = [Found((), proven_stages(problem, ()), AS_IT_IS)]
    for added in range(1, most + 1):
        found = every.step(added, watch) if every.reaches(added) else None
        if found is None:
            found = _beyond(problem, added, steps[-1].chosen, watch, workers, most)
        steps.append(found)
        _tell(problem, added, found, watch)
    return tuple(_with_equals(problem, step, watch, workers) for step in steps)


def _beyond(
    problem: Problem, added: int, before: Chosen, watch: Watch, workers: int, most: int
) -> Found:
    """A step with too many sets to look at, or cut short."""
    start = grow(problem, before, added, watch)
    if watch.over:
        return unproven(problem, added, start, watch)
    from gearchest.optimizer.plan.constraint import best_set

    effort = Effort(workers, _share(watch, most + 1 - added))
    least = worth(problem, before).weight if problem.allowed(before, added) else 0
    found = best_set(problem, added, start, watch, effort, Demand(least))
    return found or unproven(problem, added, start, watch)


def _with_equals(problem: Problem, found: Found, watch: Watch, workers: int) -> Found:
    """What the constraint solver proved, with the sets that do as well: each is the best once
    those before it are forbidden."""
    if found.proven_by != CONSTRAINT or not found.proven:
        return found
    from gearchest.optimizer.plan.constraint import best_set

    size, weight = len(found.chosen), worth(problem, found.chosen).weight
    equal: list[Chosen] = []
    while len(equal) < EQUALLY_GOOD and not watch.over:
        effort = Effort(workers, _share(watch, 2))
        demand = Demand(weight, size=size, excluded=(found.chosen, *equal))
        other = best_set(problem, size, None, watch, effort, demand)
        if other is None or not other.proven:
            break
        equal.append(other.chosen)
    return replace(found, equally_good=tuple(equal))


def unproven(problem: Problem, most: int, chosen: Chosen, watch: Watch) -> Found:
    """A set of which nothing is known but that no set can cover a want without options."""
    options = problem.options
    reachable = np.unique(options.want[options.size <= most])
    bound = int(problem.weights[reachable].sum())
    stage = Stage(WEIGHT, worth(problem, chosen).weight, bound, False)
    return Found(chosen, (stage,), NOT_PROVEN, watch.why)


def _share(watch: Watch, steps_left: int) -> float | None:
    return None if watch.remaining is None else watch.remaining / steps_left


def _tell(problem: Problem, added: int, found: Found, watch: Watch) -> None:
    stage = found.stages[0]
    exact = problem.weight_scale.exact
    watch.report(Progress(added, WEIGHT, exact(stage.value), exact(stage.bound)))
