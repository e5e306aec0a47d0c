"""The steps of a plan, one after the other, each by the prover that suits it."""

from __future__ import annotations

from gearchest.optimizer.plan import constraint
from gearchest.optimizer.plan.constraint import Effort
from gearchest.optimizer.plan.found import Found, proven_stages
from gearchest.optimizer.plan.problem import Problem, worth
from gearchest.optimizer.plan.start import grow
from gearchest.optimizer.plan.watch import Watch

AS_IT_IS = "nothing to choose"
"""What proves step 0."""


def solve(problem: Problem, most: int, watch: Watch, workers: int = 2) -> tuple[Found, ...]:
    """The best sets of at most 0, 1, ... `most` gears, each found afresh.

    Every step is given a fair share of the time left. A step the watch cuts short holds the
    best set known, its bounds, and what stopped it.
    """
    steps = [_as_it_is(problem)]
    for added in range(1, most + 1):
        before = steps[-1].chosen
        start = grow(problem, before, added, watch)
        effort = Effort(workers, _share(watch, most + 1 - added))
        least = worth(problem, before).weight if problem.allowed(before, added) else 0
        found = constraint.best_set(problem, added, start, watch, effort, least_weight=least)
        assert found is not None, "the start keeps the terms"
        steps.append(found)
    return tuple(steps)


def _as_it_is(problem: Problem) -> Found:
    return Found((), proven_stages(problem, ()), AS_IT_IS)


def _share(watch: Watch, steps_left: int) -> float | None:
    return None if watch.remaining is None else watch.remaining / steps_left
