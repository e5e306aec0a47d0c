"""What is asked of a chart, in integers: which setups there are, and which threads they serve.

A setup is what hangs on the lathe whatever the levers say: a train without its setting. It is told
by place: every place (shaft and plane, see `Layout.places`) holds a kind of gear or nothing. To go
from one setup to the next, a gear is put on at every place that is to hold one and did not hold
that kind before; taking one off costs nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small

EMPTY = -1
"""The gear of a place that holds none."""


@dataclass(frozen=True)
class AlikeThreads:
    """Threads that the same trains cut: which setups do, ascending, and at how many demerits.
    `count`: how many threads these are."""

    setups: Ints
    demerits: Ints
    count: int = 1


@dataclass(frozen=True)
class ChartQuestion:
    """`gears`: (setups, places) kinds of gears. `start`: by place what hangs before the first
    setup, EMPTY all over where no usual train is named; where `back`, the same is hung again at
    the end. `threads`: none without a setup. `whole`: all setups of theirs are there."""

    gears: Small
    start: Small
    back: bool
    threads: tuple[AlikeThreads, ...]
    whole: bool = True

    def __len__(self) -> int:
        return len(self.gears)

    def onto(self, setup: int) -> Ints:
        """From every setup to this one: gears put on."""
        return put_on(self.gears, self.gears[setup])

    def after(self, setup: int) -> Ints:
        """From this setup to every one."""
        return put_on(self.gears[setup], self.gears)

    @cached_property
    def first(self) -> Ints:
        """From the start to every setup."""
        return put_on(self.start, self.gears)

    @cached_property
    def last(self) -> Ints:
        """From every setup to the end."""
        if not self.back:
            return np.zeros(len(self), dtype=np.int64)
        return put_on(self.gears, self.start)

    @cached_property
    def serves(self) -> Bools:
        """(setups, threads): whether a setup serves."""
        table = np.zeros((len(self), len(self.threads)), dtype=np.bool_)
        for number, thread in enumerate(self.threads):
            table[thread.setups, number] = True
        return table

    @cached_property
    def demerits(self) -> Ints:
        """(setups, threads): demerits of all threads of a kind together, NEVER where it does not
        serve."""
        table = np.full((len(self), len(self.threads)), NEVER, dtype=np.int64)
        for number, thread in enumerate(self.threads):
            table[thread.setups, number] = thread.demerits * thread.count
        return table

    def changes(self, order: Sequence[int]) -> int:
        """Gears put on where these setups follow one another, from the start to the end."""
        if not order:
            return 0
        between = pairwise(order)
        steps = sum(int(put_on(self.gears[a], self.gears[b])) for a, b in between)
        return int(self.first[order[0]]) + steps + int(self.last[order[-1]])

    def cost(self, order: Sequence[int]) -> int:
        """Demerits of all threads, each cut by the one of these setups that suits it best; NEVER
        or more where one is served by none."""
        return int(self.demerits[list(order)].min(axis=0, initial=NEVER).sum())


NEVER = 10**9
"""Demerits of a setup that does not serve a thread."""


def put_on(before: Small, after: Small) -> Ints:
    """Gears put on, by place along the last axis; both may hold many setups."""
    if before.ndim == after.ndim == 1:
        return np.asarray(((before != after) & (after != EMPTY)).sum(), dtype=np.int64)
    count = np.zeros(np.broadcast_shapes(before.shape, after.shape)[:-1], dtype=np.int16)
    for place in range(after.shape[-1]):  # many times quicker than a sum over so short an axis
        count += (before[..., place] != after[..., place]) & (after[..., place] != EMPTY)
    return count.astype(np.int64)
