"""A plan in a few lines for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.plan.result import Goal, Plan, Step
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.plan.advice_words import (
    advice_line,
    advice_why,
    largest_error,
    overload_told,
)
from gearchest.reports.plan.why_view import HASTY, alternatives
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.columns import lined_up

OTHERS = 3
"""Alternatives to a step named in the terminal."""


def plan_lines(plan: Plan) -> list[str]:
    """A line a step, then what to get in which order, then what nothing helps."""
    lines = [advice_line(plan)]
    if why := advice_why(plan):
        lines.append(f"  {why}")
    if not all(lathe.banjo for lathe in (plan.lathe, plan.also) if lathe):
        lines.append("the arm is not measured: whether these gears fit is not known")
    shared = f" and {plan.also.name}, which share their gears" if plan.also else ""
    lines.append(f"{plan.lathe.name}{shared}")
    steps = _steps(plan, plan.steps)
    for number, step in enumerate(steps):
        lines += [step, *_beside(plan, number)]
    advised = plan.steps[plan.advice.step]
    if len(advised.order) > 1:
        lines.append(f"one at a time, with the weight covered: {_in_order(advised)}")
    if plan.goal:
        lines += _goal(plan, plan.goal)
    if plan.spare:
        gears = wording.teeth(plan.spare.together) or "none"
        proof = "proven" if plan.spare.proven else "not proven"
        lines.append(
            "step 0, as long as nothing is added: could be sold together without losing a "
            f"thread: {gears}, {proof}"
        )
        if plan.spare.inexact:
            lines.append(f"  but then in tolerance only: {', '.join(plan.spare.inexact)}")
    if plan.cut_short and not plan.all_covered:
        lines.append("the search was cut short: what is not covered may yet be in reach")
    elif not plan.settled and not plan.cut_short:
        lines.append(HASTY)
    if plan.unreachable:
        names = ", ".join(name for name, _ in plan.unreachable)
        about = "out of reach with these offers" if plan.sought else "not cut"
        lines.append(f"{about}: {names}")
    lines += plan.notes
    return lines


def _beside(plan: Plan, number: int) -> list[str]:
    """What a step gives up, and the sets one may rather buy."""
    lines = []
    traded = plan.trades_exactness(number)
    if traded:
        lines.append(
            f"     with an error from now on, to be kinder to the teeth: {', '.join(traded)}"
        )
    if lost := [name for name in plan.loses_exactness(number) if name not in traded]:
        lines.append(f"     no longer without error: {', '.join(lost)}")
    over = plan.overloads(number)
    if over and number != plan.advice.step:
        lines.append(f"     {overload_told(over)}")
    others = alternatives(plan, plan.steps[number])
    lines += [f"     or {other}" for other in others[:OTHERS]]
    if len(others) > OTHERS:
        more = numbers.plural(len(others) - OTHERS, "more set")
        lines.append(f"     and {more}, see the report")
    return lines


def _goal(plan: Plan, goal: Goal) -> list[str]:
    lines = [f"cheapest to cover {goal.asked}:", *_steps(plan, [goal.step])]
    strained = [
        want.name for want, state in zip(plan.wants, goal.states, strict=True) if state.overloaded
    ]
    if strained:
        lines.append(f"     {overload_told(strained)}")
    if not goal.reached:
        none = "no set on these terms does" if goal.certain else "no set that does was found"
        lines.append(f"  this does not cover all that was asked: {none}")
    if goal.beyond:
        about = "in the way" if goal.certain else "not covered by any set found"
        lines.append(f"  {about}: {', '.join(goal.beyond)}")
    return lines


def _steps(plan: Plan, steps: Sequence[Step]) -> list[str]:
    """A line a step, figures below figures."""
    rows = [
        (
            f"{step.covered} of {step.wanted} threads{_not_looked(plan, step)}",
            f"weight {numbers.weight(step.covered_weight)} of {numbers.weight(step.wanted_weight)}",
            f"{numbers.weight(step.demerits)} demerits",
            _off(plan, step),
            f"price {numbers.weight(step.price)}" if plan.priced and step.gears else "",
            wording.teeth(added.offer.gear for added in step.gears) or "as it is",
            _proof(step),
        )
        for step in steps
    ]
    wide = max(len(str(step.most)) for step in steps)
    return [
        f"  {step.most:>{wide}}: {line}" for step, line in zip(steps, lined_up(rows), strict=True)
    ]


def _not_looked(plan: Plan, step: Step) -> str:
    """How many threads time did not suffice for, of one of the plan's steps."""
    if step not in plan.steps:
        return ""
    number = plan.steps.index(step)
    count = sum(states[number].verdict is Verdict.NOT_LOOKED for states in plan.states)
    return f", {count} not looked at" if count else ""


def _off(plan: Plan, step: Step) -> str:
    """How far off the farthest thread of one of the plan's steps is."""
    if step not in plan.steps:
        return ""
    return largest_error(plan.largest_error(plan.steps.index(step)))


def _proof(step: Step) -> str:
    if step.proven:
        return "proven"
    return f"not proven ({step.stopped_by}): bound {numbers.weight(step.bound_weight)}"


def _in_order(step: Step) -> str:
    return ", then ".join(f"{gear} ({numbers.weight(weight)})" for gear, weight in step.order)
