"""What would spare teeth that a plan overloads.

Steps cover as much as can be, whatever the teeth bear. Where the step advised overloads them, or
what covers more does, sets of one gear more are looked at: all of them beyond the last step, else
those that no other beats.
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


def sparing(
    builder: Builder, plan: Plan, found: Sequence[BestSet], watch: Watch, *, beyond: bool
) -> Sparing | None:
    """Of the sets of one gear more than the step advised, that cover no less, the one with the
    fewest demerits, where it spares teeth or covers more on teeth that bear it; None where none
    are overloaded, or time does not suffice. `beyond`: look past the last step too."""
    strained = plan.overloads(plan.advice.step) or plan.straining is not None
    if plan.cut_short or not strained:
        return None
    try:
        more = _one_more(builder, plan, found, watch, beyond=beyond)
        return _spared(builder, plan, more) if more is not None else None
    except (StoppedError, SearchStoppedError):
        return None


def _one_more(
    builder: Builder, plan: Plan, found: Sequence[BestSet], watch: Watch, *, beyond: bool
) -> Chosen | None:
    step = plan.advice.step
    if step == len(found) - 1:
        best = one_more(builder.problem, found, watch) if beyond else None
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
    now = [states[plan.advice.step] for states in plan.states]
    hard = [n for n, state in enumerate(now) if state.overloaded or not state.verdict.covered]
    after = builder.states(chosen, hard)
    borne = [
        n
        for n, state in zip(hard, after, strict=True)
        if state.verdict.covered and not state.overloaded
    ]
    if not borne:
        return None
    wants, added = (
        tuple(builder.wants[n].name for n in borne if now[n].verdict.covered is covered)
        for covered in (True, False)
    )
    problem = builder.problem
    money = problem.scales[Aim.MONEY].exact(problem.price(chosen))
    return Sparing(problem.gears(chosen), money, wants, added)
