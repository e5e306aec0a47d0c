"""What the solver explains, as JSON: beside the plan's own names, none of which it repeats."""

from __future__ import annotations

from collections.abc import Iterable

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.plan.result import AddedGear, Goal, Plan, Step
from gearchest.reports.trains.document import Json, train_document


def gear_why(added: AddedGear) -> Json:
    """What one gear of a step opens by itself and with others, and what it is worth."""
    return {
        "alone": list(added.alone),
        "together": [{"name": name, "with": _teeth(gears)} for name, gears in added.together],
        "lost_weight": float(added.lost_weight),
    }


def step_why(step: Step) -> Json:
    """Objectives with their bounds, the next best set, gears dropped, what is left to do.

    Tooth loads are totals of weight x N for 1 N m at the leadscrew, errors of weight x
    fraction.
    """
    runner = step.next_best
    return {
        "objectives": [
            {
                "objective": one.objective,
                "value": float(one.value),
                "bound": float(one.bound),
                "proven": one.proven,
            }
            for one in step.judged
        ],
        "next_best": runner
        and {
            "gears": _teeth(runner.gears),
            "covered_weight": float(runner.covered_weight),
            "loses": float(runner.loses),
        },
        "dropped": _teeth(step.dropped),
        "further": [{"name": one.want, "gears": _teeth(one.gears)} for one in step.further],
    }


def plan_why(plan: Plan) -> Json:
    """Where the returns bend, what nothing reaches, the cheapest cover, gears to spare."""
    spare = plan.spare
    starts = {want.name: want.pitch.starts for want in plan.wants}
    return {
        "aims": [aim.value for aim in plan.aims],
        "knee": plan.knee,
        "unreachable": [
            {
                "name": name,
                "verdict": miss.verdict.value,
                "train": miss.answer and train_document(plan.lathe, miss.answer, starts[name]),
            }
            for name, miss in plan.unreachable
        ],
        "goal": plan.goal and _goal(plan.goal),
        "spare": spare
        and {
            "together": _teeth(spare.together),
            "proven": spare.proven,
            "each": _teeth(spare.each),
            "step": 0,
            "loses_exactness": list(spare.inexact),
        },
    }


def _goal(goal: Goal) -> Json:
    return {
        "asked": goal.asked,
        "reached": goal.reached,
        "gears": _teeth(added.offer.gear for added in goal.step.gears),
        "price": float(goal.step.price),
        "proven": goal.step.proven,
        "in_the_way": list(goal.beyond),
        "certain": goal.certain,
    }


def _teeth(gears: Iterable[Gear]) -> list[int]:
    return [gear.teeth for gear in gears]
