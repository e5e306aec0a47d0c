"""Results as JSON documents: reach and plan. Every name is fixed by what others read."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan, Step
from gearchest.optimizer.search.result import Addition, Answer, Reach, WantStep
from gearchest.reports.plan.why_document import gear_why, plan_why, step_why
from gearchest.reports.trains.document import Json, train_document


def reach_document(lathe: Lathe, found: Sequence[Reach]) -> Json:
    """Whether pitches can be cut. Errors and allowances are fractions, lengths mm."""
    return {
        "kind": "reach",
        "version": 1,
        "lathe": lathe.name,
        "pitches": [_reach(lathe, one) for one in found],
    }


def want_document(want: Want) -> Json:
    """What every document says of a want. The gears are set for the lead."""
    return {
        "name": want.name,
        "pitch_mm": want.pitch.mm,
        "lead_mm": want.pitch.lead_mm,
        "starts": want.pitch.starts,
        "allowed_error": float(want.allowance.relative),
        "allowance": want.allowance.why,
        "use": want.use.value,
        "left": want.left,
    }


def optional_train(lathe: Lathe, want: Want, answer: Answer | None) -> Json | None:
    """A train for a want, or null where there is none."""
    return None if answer is None else train_document(lathe, answer, want.pitch.starts)


def _reach(lathe: Lathe, one: Reach) -> Json:
    return {
        **want_document(one.want),
        "verdict": one.verdict.value,
        "closest": optional_train(lathe, one.want, one.closest),
        "easiest": optional_train(lathe, one.want, one.easiest),
        "trains": [optional_train(lathe, one.want, answer) for answer in one.trains],
        "additions": [_addition(lathe, one.want, addition) for addition in one.additions],
        "misfit": optional_train(lathe, one.want, one.misfit),
        "cures": list(one.cures),
    }


def _addition(lathe: Lathe, want: Want, addition: Addition) -> Json:
    return {
        "gears": [gear.teeth for gear in addition.gears],
        "train": optional_train(lathe, want, addition.answer),
    }


def plan_document(plan: Plan) -> Json:
    """Steps 0..N and each want's state at each of them. Money and weights are numbers."""
    return {
        "kind": "plan",
        "version": 1,
        "lathe": plan.lathe.name,
        "steps": [_step(step) for step in plan.steps],
        "pitches": [
            {
                **want_document(want),
                "weight": float(want.weight),
                "steps": [_want_step(plan.lathe, want, state) for state in states],
            }
            for want, states in zip(plan.wants, plan.states, strict=True)
        ],
        "notes": list(plan.notes),
        **plan_why(plan),
    }


def _want_step(lathe: Lathe, want: Want, state: WantStep) -> Json:
    return {
        "verdict": state.verdict.value,
        "train": optional_train(lathe, want, state.answer),
        "without_error": optional_train(lathe, want, state.without_error),
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
        **step_why(step),
    }
