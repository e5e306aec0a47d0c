"""What is asked of the constraint solver, and how long it may take.

Apart from the solver itself, so that only a step that needs the solver loads it.
"""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.plan.problem import Chosen


@dataclass(frozen=True)
class SolverLimits:
    """`workers`: threads of the solver, >= 1. `seconds`: time for the step, None for no
    limit of its own. A proven answer depends on neither."""

    workers: int = 2
    seconds: float | None = None


@dataclass(frozen=True)
class Demand:
    """What a set must do beside keeping the terms: cover at least `weight`, cover all of
    `wants`, have exactly `size` gears (None: any number), and be none of `excluded`. What is
    known of all such sets: they have at least `fewest` gears and cost at least `money`."""

    weight: int = 0
    wants: frozenset[int] = frozenset()
    size: int | None = None
    excluded: tuple[Chosen, ...] = ()
    fewest: int = 0
    money: int = 0
