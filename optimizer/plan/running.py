"""Let the constraint solver work while a watch is kept."""

from __future__ import annotations

import threading

from ortools.sat.python import cp_model

from gearchest.optimizer.plan.watch import Watch

_POLL = 0.05
"""Seconds between looks at the watch while the solver runs."""


def run(
    solver: cp_model.CpSolver, model: cp_model.CpModel, watch: Watch
) -> cp_model.CpSolverStatus:
    """Solve in a thread of its own, so that the watch is heard while the solver works."""
    solver.parameters.random_seed = 0
    solver.parameters.catch_sigint_signal = False
    status: list[cp_model.CpSolverStatus] = []
    thread = threading.Thread(target=lambda: status.append(solver.solve(model)))
    thread.start()
    while thread.is_alive():
        thread.join(_POLL)
        if watch.over:
            solver.stop_search()
    return status[0]
