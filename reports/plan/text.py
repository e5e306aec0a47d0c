"""A plan in a few lines for the terminal."""

from __future__ import annotations

from gearchest.optimizer.plan.result import Goal, Plan, Step
from gearchest.reports.words import numbers, wording


def plan_lines(plan: Plan) -> list[str]:
    """A line a step, then what to get in which order, then what nothing helps."""
    lines = [plan.lathe.name, *(_step(step) for step in plan.steps)]
    last = plan.steps[-1]
    if len(last.order) > 1:
        lines.append(f"best order: {_in_order(last)}")
    if plan.goal:
        lines += _goal(plan.goal)
    if plan.spare:
        gears = wording.teeth(plan.spare.together) or "none"
        proof = "proven" if plan.spare.proven else "not proven"
        lines.append(f"could be sold together without losing a thread: {gears}, {proof}")
    if plan.unreachable:
        names = ", ".join(name for name, _ in plan.unreachable)
        about = "out of reach with these offers" if len(plan.steps) > 1 else "not cut"
        lines.append(f"{about}: {names}")
    lines += plan.notes
    return lines


def _goal(goal: Goal) -> list[str]:
    lines = [f"cheapest to cover {goal.asked}:", _step(goal.step)]
    if not goal.reached:
        lines.append("  this does not cover all that was asked: no set on these terms does")
    if goal.beyond:
        lines.append(f"  in the way: {', '.join(goal.beyond)}")
    return lines


def _step(step: Step) -> str:
    gears = wording.teeth(added.offer.gear for added in step.gears) or "as it is"
    return (
        f"  {step.most}: {step.covered} of {step.wanted} threads, "
        f"weight {numbers.weight(step.covered_weight)} of {numbers.weight(step.wanted_weight)}, "
        f"{gears}{_price(step)}, {_proof(step)}"
    )


def _price(step: Step) -> str:
    return f", price {numbers.weight(step.price)}" if step.gears else ""


def _proof(step: Step) -> str:
    if step.proven:
        return "proven"
    return f"not proven ({step.stopped_by}): bound {numbers.weight(step.bound_weight)}"


def _in_order(step: Step) -> str:
    return ", then ".join(f"{gear} ({numbers.weight(weight)})" for gear, weight in step.order)
