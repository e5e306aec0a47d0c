"""Every choice of setups in every order, for few threads: a shortest path over what has been
served and what hangs."""

from __future__ import annotations

import numpy as np

from gearchest.optimizer.chart.question import NEVER, ChartQuestion, put_on
from gearchest.optimizer.domain.arrays import Ints

MOST_WORK = 400_000_000
"""Steps of the dynamic programme that are few enough: about two seconds."""

_CHANGE = 1 << 40
"""A gear put on, in demerits: more than all threads together can have."""

_FAR = 1 << 60


def can_be_weighed(question: ChartQuestion) -> bool:
    """Whether there are few enough threads and setups."""
    kinds = len(question.threads)
    return kinds < 16 and (1 << kinds) * len(question) ** 2 <= MOST_WORK


def weighed(question: ChartQuestion) -> list[int]:
    """The setups in their order: none needs fewer gears put on, nor as many at fewer demerits.

    By threads served (as bits) and setup hung: the least gears and demerits that lead there.
    `stood` before the next thread is served, `served` right after one.
    """
    count, kinds = len(question), len(question.threads)
    if not kinds:
        return []
    between = put_on(question.gears[:, None, :], question.gears[None, :, :]) * _CHANGE
    demerits = np.where(question.demerits == NEVER, _FAR, question.demerits)
    every = (1 << kinds) - 1
    served = np.full((1 << kinds, count), _FAR, dtype=np.int64)
    stood = np.full((1 << kinds, count), _FAR, dtype=np.int64)
    stood[0] = question.first * _CHANGE
    for done in range(every):
        if done:
            known = np.flatnonzero(served[done] < _FAR)
            if len(known):
                stood[done] = (served[done, known][:, None] + between[known]).min(axis=0)
        for kind in range(kinds):
            if not done >> kind & 1:
                then = done | 1 << kind
                served[then] = np.minimum(served[then], stood[done] + demerits[:, kind])
    total = served[every] + question.last * _CHANGE
    return _traced(int(np.argmin(total)), served, stood, between, demerits)


def _traced(setup: int, served: Ints, stood: Ints, between: Ints, demerits: Ints) -> list[int]:
    """The way back from the setup that hangs last. A setup hung again could as well have served
    all its threads the first time."""
    order, done = [setup], len(served) - 1
    while True:
        done = next(
            done ^ 1 << kind
            for kind in range(demerits.shape[1])
            if done >> kind & 1
            and served[done, setup] == stood[done ^ 1 << kind, setup] + demerits[setup, kind]
        )
        if not done:
            return list(dict.fromkeys(reversed(order)))
        setup = int(np.argmin(served[done] + between[:, setup]))
        order.append(setup)
