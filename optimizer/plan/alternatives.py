"""The sets that no other of their size beats: another set of as many gears one may rather buy.

The best set covers most. One that covers a thread less but cuts ten others without error, or
costs half, is the one many would buy; they can only choose it if they see it. So of all sets
of a size those are told that no other beats in covered weight, demerits and price; those that do
no more, and cost no less, than the fewer gears of a step before are marked: nobody buys a gear
that does nothing.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.best_set import BestSet, Traded
from gearchest.optimizer.plan.masks import Bits, Enumeration
from gearchest.optimizer.plan.multisets import LARGEST_SIZE
from gearchest.optimizer.plan.problem import Chosen
from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.plan.worth import worth
from gearchest.optimizer.search.merit import NOT_COVERED

TOLD = 8
"""Sets told for a step, at most."""

MOST_JUDGED = 400_000
"""Sets of one size whose demerits are added up: a few seconds."""

_BATCH = 8192
"""Sets judged at a time."""


def with_alternatives(
    every: Enumeration, steps: Sequence[BestSet], watch: Watch
) -> tuple[BestSet, ...]:
    """Steps, each with the sets of its size that no other beats, its own weight, demerits and
    price left out.

    All sets are looked at where there are few enough; else, or where the watch stops, those
    that were, and those that have one gear changed: then `alternatives_proven` is False. Sets
    hold only gears that some train lacks, no more of each than one can use.
    """
    fronts: dict[int, Ints] = {}
    told = []
    for found in steps:
        size = len(found.chosen)
        fewer = [costs for gears, costs in fronts.items() if gears < size]
        if 0 < size <= LARGEST_SIZE:
            found, costs = _of_step(every, found, np.concatenate(fewer or [_NONE]), watch)
        else:
            costs = np.array([_costs_of(every, found.chosen)], dtype=np.int64)
            found = replace(found, alternatives_proven=size == 0)
        fronts[size] = np.concatenate([fronts.get(size, _NONE), costs])
        told.append(found)
    return tuple(told)


_NONE: Ints = np.zeros((0, 3), dtype=np.int64)
"""Costs of no sets: weight left uncovered, demerits, money."""


def _of_step(every: Enumeration, found: BestSet, fewer: Ints, watch: Watch) -> tuple[BestSet, Ints]:
    """One step, and the costs of all sets on its front; `fewer`: what fewer gears cost."""
    size = len(found.chosen)
    front = _Front(every)
    front.judge(_known(every, found))
    try:
        proven = every.reaches(size) and front.look(size, watch)
    except StoppedError:
        proven = False
    told = front.told(found.chosen, fewer)
    return replace(found, alternatives=told, alternatives_proven=proven), front.costs


def _known(every: Enumeration, found: BestSet) -> Small:
    """The step's set, those known to come near it, and all that have one gear changed."""
    problem, size = every.problem, len(found.chosen)
    near: set[Chosen] = {found.chosen, *found.equally_good}
    if found.next_best is not None and len(found.next_best) == size:
        near.add(found.next_best)
    for i in range(size):
        rest = found.chosen[:i] + found.chosen[i + 1 :]
        near |= {tuple(sorted((*rest, c))) for c in every.active.tolist()}
    kept = sorted(chosen for chosen in near if problem.allowed(chosen, size))
    place = {c: i for i, c in enumerate(every.active.tolist())}
    rows = [[place[c] for c in chosen] for chosen in kept]
    return np.array(rows, dtype=np.int16).reshape(len(rows), size)


class _Front:
    """Sets of one size that nothing seen so far beats. Costs stand in columns, least best:
    weight left uncovered, demerits, money. Sets are in positions of the active candidates."""

    def __init__(self, every: Enumeration) -> None:
        self.every = every
        self.weight = int(every.problem.weights.sum())
        self.costs = _NONE
        self.aims: Ints = np.zeros((0, len(every.problem.aims)), dtype=np.int64)
        self.sets: Small | None = None

    def look(self, size: int, watch: Watch) -> bool:
        """Look at every set of a size; False where it was cut short."""
        every, left = self.every, MOST_JUDGED
        need = min(size, len(every.problem.include))
        floors = _Floors(every, size)
        for block in every.sized(size):
            floor = floors.of(block.cover, block.money)
            keep = block.allowed & (block.inside >= need)
            keep[keep] = ~self._beaten(floor[keep])
            rows = np.flatnonzero(keep)
            rows = rows[np.lexsort(floor[rows].T[::-1])]
            for start in range(0, len(rows), _BATCH):
                if watch.over:
                    return False
                part = rows[start : start + _BATCH]
                part = part[~self._beaten(floor[part])]
                left -= len(part)
                if left < 0:
                    return False
                self.judge(block.sets[part])
        return not watch.over

    def judge(self, sets: Small) -> None:
        """Take in some sets."""
        if not len(sets):
            return
        covered, aims = self.every.judge.totals(sets)
        order = list(self.every.problem.aims)
        uncovered = self.weight - covered
        demerits = aims[:, order.index(Aim.DEMERITS)] + NOT_COVERED * uncovered
        costs = np.stack([uncovered, demerits, aims[:, order.index(Aim.MONEY)]], axis=1)
        if self.sets is not None:
            sets = np.concatenate([self.sets, sets])
        self.costs = np.concatenate([self.costs, costs])
        self.aims = np.concatenate([self.aims, aims])
        # of each triple the set that is best by the aims, then by its numbers
        order_of = np.lexsort((*sets.T[::-1], *self.aims.T[::-1], *self.costs.T[::-1]))
        costs = self.costs[order_of]
        first = np.ones(len(costs), dtype=np.bool_)
        first[1:] = (costs[1:] != costs[:-1]).any(axis=1)
        rows = order_of[first]
        self.costs, self.aims, self.sets = self.costs[rows], self.aims[rows], sets[rows]
        front = _unbeaten(self.costs)
        self.costs, self.aims, self.sets = self.costs[front], self.aims[front], self.sets[front]

    def _beaten(self, floor: Ints) -> Bools:
        """Which sets are beaten even if they cost no more than `floor`."""
        beaten = np.zeros(len(floor), dtype=np.bool_)
        weight, demerits, money = np.ascontiguousarray(floor.T)
        for one in self.costs.tolist():
            less = (weight >= one[0]) & (demerits >= one[1]) & (money >= one[2])
            beaten |= less & ((weight != one[0]) | (demerits != one[1]) | (money != one[2]))
        return beaten

    def told(self, own: Chosen, fewer: Ints) -> tuple[Traded, ...]:
        """The sets to tell, most weight first; `fewer`: what sets of fewer gears cost."""
        assert self.sets is not None
        chosen = [tuple(row) for row in self.every.active[self.sets].tolist()]
        mine = _costs_of(self.every, own)
        no_more: Bools = np.all(fewer[None] <= self.costs[:, None], axis=2)
        idle: list[bool] = np.any(no_more, axis=1).tolist()
        traded = [
            Traded(one, self.weight - uncovered, demerits, money, nothing)
            for one, (uncovered, demerits, money), nothing in zip(
                chosen, self.costs.tolist(), idle, strict=True
            )
            if (uncovered, demerits, money) != mine
        ]
        return tuple(traded[:TOLD])


def _costs_of(every: Enumeration, chosen: Chosen) -> tuple[int, int, int]:
    value = worth(every.problem, chosen)
    uncovered = int(every.problem.weights.sum()) - value.weight
    demerits = value.totals[Aim.DEMERITS] + NOT_COVERED * uncovered
    return uncovered, demerits, value.totals[Aim.MONEY]


def _unbeaten(costs: Ints) -> list[int]:
    """Rows that none before them costs no more than in any of three columns; rows differ and
    ascend, so that whatever beats one stands before it."""
    rows: list[int] = []
    second: list[int] = []  # ascending, and below each the least of the third so far, descending
    third: list[int] = []
    for row, (_, one, other) in enumerate(costs.tolist()):
        at = bisect_right(second, one)
        if at and third[at - 1] <= other:
            continue
        rows.append(row)
        first = last = bisect_left(second, one)
        while last < len(third) and third[last] >= other:
            last += 1
        second[first:last], third[first:last] = [one], [other]
    return rows


class _Floors:
    """What no set of a size comes below: each want it covers at the fewest demerits that any
    train has for it."""

    def __init__(self, every: Enumeration, size: int) -> None:
        problem, options = every.problem, every.problem.options
        within = options.size <= size
        fewest = np.full(len(problem.weights), NOT_COVERED, dtype=np.int64)
        seen = np.unique(options.want[within])
        fewest[seen] = np.iinfo(np.int64).max
        np.minimum.at(fewest, options.want[within], options.cost(Aim.DEMERITS)[within])
        saved = (problem.weights * (NOT_COVERED - fewest))[every.open]
        closed = np.setdiff1d(np.arange(len(fewest)), every.open)
        self._every = every
        covered = np.unique(options.want[options.size == 0])
        self._uncovered = int(problem.weights.sum() - problem.weights[covered].sum())
        self._demerits = int((problem.weights * fewest)[closed].sum())
        self._demerits += NOT_COVERED * int(problem.weights[every.open].sum())
        self._saved = every.by_patterns(saved)

    def of(self, cover: Bits, money: Ints) -> Ints:
        """Weight left uncovered, least demerits and money of some sets."""
        weight = self._every.weight(cover)
        demerits = self._demerits - self._every.add_up(self._saved, cover)
        return np.stack([self._uncovered - weight, demerits, money], axis=1)
