"""What would spare teeth that a plan overloads.

Steps cover as much as can be, whatever the teeth bear. Where the step advised overloads them,
sets of one gear more are looked at: all of them beyond the last step, else those that no other
beats.
"""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.best_set import BestSet
from gearchest.optimizer.plan.build import Builder
from gearchest.optimizer.plan.problem import Chosen
from gearchest.optimizer.plan.result import Alternative, Plan, Sparing, Step
from gearchest.optimizer.plan.solve import one_more
from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.search.asking import SearchStoppedError


def sparing(builder: Builder, plan: Plan, found: Sequence[BestSet], watch: Watch) -> Sparing | None:
    """Of the sets of one gear more than the step advised, that cover no less, the one with the
    fewest demerits, where it spares teeth; None where none are overloaded, or time does not
    suffice."""
    if plan.cut_short or not plan.overloads(plan.advice.step):
        return None
    try:
        more = _one_more(builder, plan, found, watch)
        return _spared(builder, plan, more) if more is not None else None
    except (StoppedError, SearchStoppedError):
        return None


def _one_more(
    builder: Builder, plan: Plan, found: Sequence[BestSet], watch: Watch
) -> Chosen | None:
    step = plan.advice.step
    if step == len(found) - 1:
        best = one_more(builder.problem, found, watch)
        return best.chosen if best else None
    further = found[step + 1]
    told: list[Step | Alternative] = [plan.steps[step + 1], *plan.steps[step + 1].alternatives]
    chosen = [further.chosen, *(other.chosen for other in further.alternatives)]
    enough = [
        (one.demerits, one.price, gears)
        for one, gears in zip(told, chosen, strict=True)
        if one.covered_weight >= plan.steps[step].covered_weight
    ]
    return min(enough)[2]


def _spared(builder: Builder, plan: Plan, chosen: Chosen) -> Sparing | None:
    step = plan.advice.step
    strained = [n for n, states in enumerate(plan.states) if states[step].overloaded]
    after = builder.states(chosen, strained)
    spared = [
        builder.wants[n].name
        for n, state in zip(strained, after, strict=True)
        if state.verdict.covered and not state.overloaded
    ]
    if not spared:
        return None
    problem = builder.problem
    money = problem.scales[Aim.MONEY].exact(problem.price(chosen))
    return Sparing(problem.gears(chosen), money, tuple(spared))
