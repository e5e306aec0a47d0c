"""What a set of gears is worth.

A set covers a want when it holds all missing gears of one of the want's options. The option
used is the best of those it holds, by the aims that count trains in the order asked for; ties
go to fewer missing gears, then to the smaller numbers. With that, minimising the aims one
after the other over sets and over options comes to the same as judging each set by its best
options: a set that meets the least total of the first such aim must use the best option by it
everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gearchest.optimizer.domain.arrays import Ints
from gearchest.optimizer.plan.aims import OF_TRAINS, Aim
from gearchest.optimizer.plan.problem import Chosen, Problem


@dataclass(frozen=True)
class Worth:
    """Covered weight and the total by each aim, in integer units; `used` holds the row of
    `Options` used for each covered want."""

    weight: int
    totals: Mapping[Aim, int]
    used: Ints


def held_rows(problem: Problem, chosen: Chosen) -> Ints:
    """Rows of `Options` whose gears are all in a set."""
    options = problem.options
    counts = np.zeros(len(problem.candidates) + 1, dtype=np.int64)
    np.add.at(counts, np.array(chosen, dtype=np.int64), 1)
    held = np.all(options.repeat <= counts[options.missing], axis=1)  # the pad needs 0 of the last
    return np.flatnonzero(held)


def worth(problem: Problem, chosen: Chosen) -> Worth:
    """Judge a set of gears from the options it holds."""
    options = problem.options
    rows = held_rows(problem, chosen)
    wants, first = np.unique(options.want[rows], return_index=True)
    used = rows[first]
    weights = problem.weights[wants]
    totals = dict(zip(OF_TRAINS, (weights @ options.costs[used]).tolist(), strict=True))
    totals |= {aim: problem.cost(aim, chosen) for aim in problem.copy_costs}
    return Worth(int(weights.sum()), totals, used)


Rank = tuple[int | Chosen, ...]


def rank(problem: Problem, chosen: Chosen, value: Worth) -> Rank:
    """Sort key of a set, best first: weight, the aims, fewer gears, smaller numbers."""
    return (-value.weight, *(value.totals[aim] for aim in problem.aims), len(chosen), chosen)
