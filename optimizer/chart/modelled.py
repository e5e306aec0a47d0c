"""A chart bettered by the constraint solver, with the bound that it proves. Imported when it is
asked, as loading the solver takes as long as a whole chart made without it."""

from __future__ import annotations

from ortools.sat.python import cp_model

from gearchest.optimizer.chart.model import ChartModel
from gearchest.optimizer.chart.question import ChartQuestion
from gearchest.optimizer.chart.start import good_order, rank
from gearchest.optimizer.plan.running import run
from gearchest.optimizer.plan.watch import Watch


def modelled(
    question: ChartQuestion, order: list[int], watch: Watch, seconds: float | None
) -> tuple[list[int], int]:
    """The better of a chart and the solver's, and the solver's bound. `seconds`: how long it may
    take, in its own deterministic seconds, about two of the clock each; None for as long as the
    watch leaves."""
    model = ChartModel(question)
    model.at_most(order)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1  # several know no linear programme, and get nowhere
    solver.parameters.linearization_level = 2
    if watch.remaining is not None:
        solver.parameters.max_time_in_seconds = watch.remaining
    if seconds is not None:
        solver.parameters.max_deterministic_time = seconds
    if run(solver, model.model, watch) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        hung = [s for s, one in enumerate(model.hung) if solver.boolean_value(one)]
        found = good_order(question, 0, lambda: True, hung)
        order = min(order, found, key=lambda one: rank(question, one))
    return order, max(0, round(solver.best_objective_bound))
