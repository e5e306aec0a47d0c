"""A plan as a JSON document: its steps, and every want at each of them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from gearchest.optimizer.chart.of_plan import StepChart
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan, Step
from gearchest.optimizer.search.result import WantStep
from gearchest.reports.chart.section import charts_document
from gearchest.reports.plan.advice_words import advice_line, why_sentence
from gearchest.reports.plan.setups_view import serving
from gearchest.reports.plan.why_document import gear_why, plan_why, step_why
from gearchest.reports.trains.document import Json, optional_train, want_document


def plan_document(plan: Plan, walls: Sequence[StepChart] = ()) -> Json:
    """Steps 0..N and each want's state at each of them; `walls`: charts for the wall. Money and
    weights are numbers."""
    return {
        "kind": "plan",
        "version": 1,
        "lathe": plan.lathe.name,
        "also": plan.also.name if plan.also else None,
        "priced": plan.priced,
        "cut_short": plan.cut_short,
        "settled": plan.settled,
        "steps": [
            {
                **_step(step),
                "largest_error": _number(plan.largest_error(number)),
                "loses_exactness": list(plan.loses_exactness(number)),
            }
            for number, step in enumerate(plan.steps)
        ],
        "sparing": _sparing(plan),
        "advice": {
            "step": plan.advice.step,
            "gears": [added.offer.gear.teeth for added in plan.steps[plan.advice.step].gears],
            "why": " ".join(filter(None, (advice_line(plan), why_sentence(plan)))),
        },
        "pitches": [
            {
                **want_document(want),
                "weight": float(want.weight),
                "steps": [_want_step(serving(plan, state.lathe), want, state) for state in states],
            }
            for want, states in zip(plan.wants, plan.states, strict=True)
        ],
        "charts": charts_document(walls),
        "notes": list(plan.notes),
        **plan_why(plan),
    }


def _number(value: float | Fraction | None) -> float | None:
    return None if value is None else float(value)


def _sparing(plan: Plan) -> Json | None:
    spares = plan.sparing
    if spares is None:
        return None
    return {
        "gears": [gear.teeth for gear in spares.gears],
        "price": float(spares.price),
        "wants": list(spares.wants),
        "added": list(spares.added),
    }


def _want_step(lathe: Lathe, want: Want, state: WantStep) -> Json:
    return {
        "verdict": state.verdict.value,
        "lathe": lathe.name if state.answer else None,
        "train": optional_train(lathe, want, state.answer),
        "without_error": optional_train(lathe, want, state.without_error),
        "settled": state.settled,
    }


def _step(step: Step) -> Json:
    return {
        "added": step.most,
        "gears": [
            {
                "teeth": added.offer.gear.teeth,
                "how": added.offer.how,
                "price": float(added.offer.price),
                "unlocks": list(added.unlocks),
                **gear_why(added),
            }
            for added in step.gears
        ],
        "price": float(step.price),
        "covered": step.covered,
        "covered_weight": float(step.covered_weight),
        "demerits": float(step.demerits),
        "wanted": step.wanted,
        "wanted_weight": float(step.wanted_weight),
        "proven": step.proven,
        "bound_weight": float(step.bound_weight),
        "proven_by": step.proven_by,
        "stopped_by": step.stopped_by,
        "order": [
            {"teeth": gear.teeth, "covered_weight": float(weight)} for gear, weight in step.order
        ],
        "equally_good": [[gear.teeth for gear in gears] for gears in step.equally_good],
        "alternatives": [
            {
                "gears": [gear.teeth for gear in other.gears],
                "covered_weight": float(other.covered_weight),
                "demerits": float(other.demerits),
                "price": float(other.price),
                "largest_error": _number(other.largest_error),
                "proven": other.proven,
                "idle": other.idle,
            }
            for other in step.alternatives
        ],
        **step_why(step),
    }
