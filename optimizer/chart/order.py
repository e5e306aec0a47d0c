"""In which order given setups follow one another with the fewest gears put on."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from gearchest.optimizer.chart.question import ChartQuestion, put_on

EXACT = 10
"""Up to so many setups every order is weighed; beyond it orders are bettered step by step."""


def best_order(question: ChartQuestion, setups: Sequence[int]) -> list[int]:
    """The order with the fewest gears put on, exact up to `EXACT` setups; never worse than the
    order they are given in."""
    if len(setups) < 2:
        return list(setups)
    if len(setups) <= EXACT:
        return _shortest(question, setups)
    return _bettered(question, list(setups))


def _shortest(question: ChartQuestion, setups: Sequence[int]) -> list[int]:
    """Held and Karp's dynamic programme (J. SIAM 10, 1962), from the end backwards: the least that
    is left to put on, by what was hung already and what hangs now."""
    count = len(setups)
    gears = question.gears[list(setups)]
    between = put_on(gears[:, None, :], gears[None, :, :])
    every = (1 << count) - 1
    left = np.full((1 << count, count), 1 << 30, dtype=np.int64)
    left[every] = question.last[list(setups)]
    for hung in range(every - 1, 0, -1):
        to = [k for k in range(count) if not hung >> k & 1]
        onward = np.array([left[hung | 1 << k, k] for k in to])
        left[hung] = (between[:, to] + onward).min(axis=1)
    hung, order, steps = 0, [], question.first[list(setups)]
    while hung != every:
        to = [k for k in range(count) if not hung >> k & 1]
        at = min(to, key=lambda k: int(steps[k] + left[hung | 1 << k, k]))
        order.append(setups[at])
        hung, steps = hung | 1 << at, between[at]
    return order


def _bettered(question: ChartQuestion, order: list[int]) -> list[int]:
    """Runs of up to three setups moved elsewhere, either way round, while that saves gears."""
    count = len(order)
    steps = np.zeros((count + 1, count + 1), dtype=np.int64)
    gears = question.gears[order]
    steps[:count, :count] = put_on(gears[:, None, :], gears[None, :, :])
    steps[count, :count], steps[:count, count] = question.first[order], question.last[order]
    between = steps.tolist()
    at = [count, *range(count), count]  # both ends are the start, for a gap to go between
    while (moved := _moved(at, between)) is not None:
        at = moved
    return [order[k] for k in at[1:-1]]


def _moved(at: list[int], between: list[list[int]]) -> list[int] | None:
    """The first move found that saves gears."""
    for length in (1, 2, 3):
        for first in range(1, len(at) - length):
            run, rest = at[first : first + length], at[:first] + at[first + length :]
            before, after = rest[first - 1], rest[first]
            saved = between[before][run[0]] + between[run[-1]][after] - between[before][after]
            for one in (run, run[::-1]):
                within = _along(one, between) - _along(run, between)
                for gap in range(1, len(rest)):
                    left, right = rest[gap - 1], rest[gap]
                    more = between[left][one[0]] + between[one[-1]][right] - between[left][right]
                    if more + within < saved:
                        return [*rest[:gap], *one, *rest[gap:]]
    return None


def _along(run: list[int], between: list[list[int]]) -> int:
    return sum(between[one][other] for one, other in pairwise(run))
