"""What would spare teeth that a plan overloads.

Steps end once all is covered, whatever the teeth bear. Where they are overloaded then, sets of
one gear more are looked at.
"""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.best_set import BestSet
from gearchest.optimizer.plan.build import Builder
from gearchest.optimizer.plan.result import Plan, Sparing
from gearchest.optimizer.plan.solve import one_more
from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.search.asking import SearchStoppedError


def sparing(builder: Builder, plan: Plan, found: Sequence[BestSet], watch: Watch) -> Sparing | None:
    """Of the sets of one gear more than the last step the best, where it spares teeth; None where
    none are overloaded, or another step is advised, or time does not suffice."""
    last = len(found) - 1
    if plan.cut_short or plan.advice.step != last or not plan.overloads(last):
        return None
    try:
        more = one_more(builder.problem, found, watch)
        return _spared(builder, plan, more) if more else None
    except (StoppedError, SearchStoppedError):
        return None


def _spared(builder: Builder, plan: Plan, found: BestSet) -> Sparing | None:
    strained = [n for n, states in enumerate(plan.states) if states[-1].overloaded]
    after = builder.states(found.chosen, strained)
    spared = [
        builder.wants[n].name
        for n, state in zip(strained, after, strict=True)
        if state.verdict.covered and not state.overloaded
    ]
    if not spared:
        return None
    problem = builder.problem
    money = problem.scales[Aim.MONEY].exact(problem.cost(Aim.MONEY, found.chosen))
    return Sparing(problem.gears(found.chosen), money, tuple(spared))
