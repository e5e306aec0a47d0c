"""What no chart can do with less: gears put on, by counting setups."""

from __future__ import annotations

import numpy as np

from gearchest.optimizer.chart.fewest import fewest_sets
from gearchest.optimizer.chart.question import EMPTY, ChartQuestion
from gearchest.optimizer.domain.arrays import Bools, distinct
from gearchest.optimizer.plan.watch import Watch


def by_setups(question: ChartQuestion, watch: Watch) -> int:
    """So many gears at least: each setup of the fewest that serve all threads has one put on,
    unless nothing but taking off can lead to it; the first and the last may have more. 0 where the
    watch stops it."""
    if not question.threads:
        return 0
    least = ~_free(question)
    first, number = distinct(question.serves)
    kinds = question.serves[first]
    paid = np.ones(len(kinds), dtype=np.bool_)
    np.logical_and.at(paid, number, least)
    needed = _fewest(kinds, paid, watch)
    if needed is None:
        return 0
    ends = (question.first - least).min() + question.last.min()
    return needed + int(ends)


def _fewest(kinds: Bools, paid: Bools, watch: Watch) -> int | None:
    """How many kinds of setup with a gear put on it takes, besides the others, to serve all
    threads, or a bound of that; None where the watch stops it."""
    left = kinds[:, ~kinds[~paid].any(axis=0)]
    served = [sum(1 << thread for thread in np.flatnonzero(kind).tolist()) for kind in left[paid]]
    found = fewest_sets(served, (1 << left.shape[1]) - 1)
    return _solved(kinds, paid, watch) if found is None else found


def _solved(kinds: Bools, paid: Bools, watch: Watch) -> int | None:
    from ortools.sat.python import cp_model

    from gearchest.optimizer.plan.running import run

    model = cp_model.CpModel()
    hung = [model.new_bool_var(f"hung_{k}") for k in range(len(kinds))]
    for thread in kinds.T:
        model.add(sum(hung[k] for k in np.flatnonzero(thread).tolist()) >= 1)
    model.minimize(sum(int(pays) * one for pays, one in zip(paid, hung, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    solver.parameters.max_deterministic_time = 1.0
    if run(solver, model, watch) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return round(solver.best_objective_bound)


def _free(question: ChartQuestion) -> Bools:
    """Setups that taking off alone may lead to: what hangs at the start, and those whose places
    are some of another's."""
    filled = question.gears != EMPTY
    places = filled[distinct(filled)[0]]
    free = question.first == 0
    for some in places:
        if any((some <= more).all() and (some < more).any() for more in places):
            free |= (filled == some).all(axis=1)
    return np.asarray(free, dtype=np.bool_)
