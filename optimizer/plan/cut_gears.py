"""The sheets of the gears that a plan wants cut."""

from __future__ import annotations

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.making.sheet import BlankSheet, blank_sheet
from gearchest.optimizer.making.tables import Tables
from gearchest.optimizer.plan.result import Plan


def cut_sheets(plan: Plan, tables: Tables) -> tuple[BlankSheet, ...]:
    """A sheet for every gear some step takes with `how` = "cut", by tooth count.

    Only gears of the lathe's own module: another's bore and key are not known. The load is
    that of the trains set up with the gear at the last step that has it.
    """
    cut = {
        added.offer.gear: number
        for number, step in enumerate(plan.steps)
        for added in step.gears
        if added.offer.how == "cut" and added.offer.gear.module == plan.lathe.making.module
    }
    return tuple(
        blank_sheet(plan.lathe, gear.teeth, tables, uses=_trains(plan, gear, cut[gear]))
        for gear in sorted(cut, key=lambda gear: gear.order)
    )


def _trains(plan: Plan, gear: Gear, step: int) -> list[tuple[str, Train]]:
    """(want, train) of every covered want whose train holds the gear at that step."""
    found: list[tuple[str, Train]] = []
    for want, states in zip(plan.wants, plan.states, strict=True):
        state = states[step]
        if state.verdict.covered and state.answer and gear in state.answer.train.gears:
            found.append((want.name, state.answer.train))
    return found
