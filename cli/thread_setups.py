"""Everything needed to cut the threads of a plan: with the gears owned, and with those advised."""

from __future__ import annotations

from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import Answer, Reach
from gearchest.optimizer.turning.setup import Setup, Wishes, setup


def thread_setups(plan: Plan) -> list[list[Setup]]:
    """By want, the setups of the trains that are to be set up at the step advised and with the
    gears owned, where they cover it; fewer where the thread has no sizes to be worked out."""
    found = []
    for want, states in zip(plan.wants, plan.states, strict=True):
        trains: dict[tuple[Answer, str], None] = {}
        for step in (states[plan.advice.step], states[0]):
            if step.answer and step.verdict.covered:
                trains[step.answer, step.lathe] = None
        made = []
        for answer, name in trains:
            lathe = plan.also if plan.also and name == plan.also.name else plan.lathe
            reach = Reach(want, answer.verdict, answer, None, None, (answer,), ())
            try:
                made.append(setup(lathe, want, reach, Wishes()))
            except (KeyError, ValueError):
                continue
        found.append(made)
    return found
