"""A plan in a few lines for the terminal."""

from __future__ import annotations

from gearchest.optimizer.plan.result import Goal, Plan, Step
from gearchest.reports.plan.advice_words import advice_line, advice_why
from gearchest.reports.plan.why_view import alternatives
from gearchest.reports.words import numbers, wording

OTHERS = 3
"""Alternatives to a step named in the terminal."""


def plan_lines(plan: Plan) -> list[str]:
    """A line a step, then what to get in which order, then what nothing helps."""
    lines = [advice_line(plan)]
    if why := advice_why(plan):
        lines.append(f"  {why}")
    if not all(lathe.banjo for lathe in (plan.lathe, plan.also) if lathe):
        lines.append("the arm is not measured: whether these gears fit is not known")
    lines.append(plan.lathe.name)
    for number, step in enumerate(plan.steps):
        lines += [_step(plan, step), *_beside(plan, number)]
    last = plan.steps[-1]
    if len(last.order) > 1:
        lines.append(f"best order: {_in_order(last)}")
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
    if plan.cut_short:
        lines.append("the search was cut short: what is not covered may yet be in reach")
    if plan.unreachable:
        names = ", ".join(name for name, _ in plan.unreachable)
        about = "out of reach with these offers" if plan.sought else "not cut"
        lines.append(f"{about}: {names}")
    lines += plan.notes
    return lines


def _beside(plan: Plan, number: int) -> list[str]:
    """What a step gives up, and the sets one may rather buy."""
    lines = []
    if lost := plan.loses_exactness(number):
        lines.append(f"     no longer without error: {', '.join(lost)}")
    others = alternatives(plan, plan.steps[number])
    lines += [f"     or {other}" for other in others[:OTHERS]]
    if len(others) > OTHERS:
        lines.append(f"     and {len(others) - OTHERS} more sets, see the report")
    return lines


def _goal(plan: Plan, goal: Goal) -> list[str]:
    lines = [f"cheapest to cover {goal.asked}:", _step(plan, goal.step)]
    if not goal.reached:
        lines.append("  this does not cover all that was asked: no set on these terms does")
    if goal.beyond:
        lines.append(f"  in the way: {', '.join(goal.beyond)}")
    return lines


def _step(plan: Plan, step: Step) -> str:
    gears = wording.teeth(added.offer.gear for added in step.gears) or "as it is"
    return (
        f"  {step.most}: {step.covered} of {step.wanted} threads, "
        f"weight {numbers.weight(step.covered_weight)} of {numbers.weight(step.wanted_weight)}, "
        f"{numbers.weight(step.demerits)} demerits, {gears}{_price(plan, step)}, {_proof(step)}"
    )


def _price(plan: Plan, step: Step) -> str:
    return f", price {numbers.weight(step.price)}" if step.gears and plan.priced else ""


def _proof(step: Step) -> str:
    if step.proven:
        return "proven"
    return f"not proven ({step.stopped_by}): bound {numbers.weight(step.bound_weight)}"


def _in_order(step: Step) -> str:
    return ", then ".join(f"{gear} ({numbers.weight(weight)})" for gear, weight in step.order)
