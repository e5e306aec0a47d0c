"""The setups of a chart in their order: every chart weighed where there are few threads, else the
best found, with the bound that the solver proves."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from ortools.sat.python import cp_model

from gearchest.optimizer.chart.bound import by_setups
from gearchest.optimizer.chart.model import ChartModel
from gearchest.optimizer.chart.question import ChartQuestion
from gearchest.optimizer.chart.start import good_order, rank
from gearchest.optimizer.chart.weigh import can_be_weighed, weighed
from gearchest.optimizer.plan.running import run
from gearchest.optimizer.plan.watch import Watch

MOST_MODELLED = 700
"""Setups of which the solver is asked in which order they follow one another."""

_ROUNDS, _WORK = (60, 800), 1_200_000
"""Rounds of the search: so many at least and at most, and between them so many setups looked at
in all of them."""

_HURRIED = 6
"""So many times less is done in a hurry."""

_SOLVING = 0.4
"""Time of the solver in its own deterministic seconds, about two of the clock each."""

_SEARCHING = 0.4
"""Share of the time given that the search takes, where time was given."""


class Pace(Enum):
    """How long is looked: beside other work, as long as somebody waits gladly, or as long as the
    watch leaves."""

    HURRIED = "hurried"
    USUAL = "usual"
    THOROUGH = "thorough"


@dataclass(frozen=True)
class ChartOrder:
    """`order`: setups in the order in which they follow one another. `bound`: no chart has fewer
    gears put on. `weighed`: all charts were, so that none with as few has fewer demerits."""

    order: tuple[int, ...]
    bound: int
    weighed: bool


def share(question: ChartQuestion, watch: Watch, pace: Pace = Pace.USUAL) -> ChartOrder:
    """The best chart found. It depends on the machine only where the watch ends it, as it does
    where the pace is thorough."""
    if not question.threads or can_be_weighed(question):
        order = weighed(question)
        return ChartOrder(tuple(order), question.changes(order), True)
    order = _searched(question, watch, pace)
    bound = by_setups(question, watch)
    modelled = pace is not Pace.HURRIED and len(question) <= MOST_MODELLED and not watch.over
    if modelled and bound < question.changes(order):
        order, proven = _modelled(question, order, watch, pace)
        bound = max(bound, proven)
    return ChartOrder(tuple(order), bound, False)


def _searched(question: ChartQuestion, watch: Watch, pace: Pace) -> list[int]:
    least, most = _ROUNDS
    rounds = min(most, max(least, _WORK // (len(question) + 1000)))
    if pace is Pace.HURRIED:
        rounds //= _HURRIED
    until = None
    if pace is Pace.THOROUGH and watch.remaining is not None:
        until, rounds = watch.seconds + _SEARCHING * watch.remaining, 1 << 30
    return good_order(
        question, rounds, lambda: watch.over or (until is not None and watch.seconds > until)
    )


def _modelled(
    question: ChartQuestion, order: list[int], watch: Watch, pace: Pace
) -> tuple[list[int], int]:
    """The better of a chart and the solver's, and the solver's bound."""
    model = ChartModel(question)
    model.at_most(order)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1  # several know no linear programme, and get nowhere
    solver.parameters.linearization_level = 2
    if watch.remaining is not None:
        solver.parameters.max_time_in_seconds = watch.remaining
    if pace is not Pace.THOROUGH or watch.remaining is None:
        solver.parameters.max_deterministic_time = _SOLVING
    if run(solver, model.model, watch) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        hung = [s for s, one in enumerate(model.hung) if solver.boolean_value(one)]
        found = good_order(question, 0, lambda: True, hung)
        order = min(order, found, key=lambda one: rank(question, one))
    return order, max(0, round(solver.best_objective_bound))
