"""A good chart found quickly: setups hung one by one where they cost least; then again and again
a few taken down and the threads that lost theirs served anew."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from functools import lru_cache

import numpy as np

from gearchest.optimizer.chart.order import best_order
from gearchest.optimizer.chart.question import ChartQuestion, put_on
from gearchest.optimizer.domain.arrays import Bools, Ints, Small

_CHANGE = 1 << 40
"""A gear put on, in demerits: more than all threads together can have."""

_NEAR = 150
"""Setups looked at in the place of one."""

Rank = tuple[int, int]
"""Gears put on, then demerits."""

_MOST_DOWN = 4
"""Setups taken down at once."""

_WORSE = 0.02
"""How often a chart that is worse is gone on from."""

_PART = 16
"""Gaps of which the least is kept, about."""

_KEPT = 512
"""Setups whose distances from all others are kept."""


def rank(question: ChartQuestion, order: Sequence[int]) -> Rank:
    """What counts of a chart, less being better."""
    return question.changes(order), question.cost(order)


def good_order(
    question: ChartQuestion, rounds: int, over: Callable[[], bool], begin: Sequence[int] = ()
) -> list[int]:
    """A good chart after so many rounds, or sooner where `over` says so, from one to begin with
    that need not serve all: the same on every machine unless `over` does."""
    search = _Search(question)
    best = at = search.bettered(search.served(list(begin)))
    best_rank = at_rank = rank(question, best)
    for _ in range(rounds):
        if over():
            break
        tried = search.served(search.thinned(at))
        tried_rank = rank(question, tried)
        if tried_rank < best_rank:
            tried = search.bettered(tried)
            best, best_rank = tried, tried_rank = tried, rank(question, tried)
        if tried_rank <= at_rank or search.chance.random() < _WORSE:
            at, at_rank = tried, tried_rank
    return best


class _Search:
    def __init__(self, question: ChartQuestion) -> None:
        self.question = question
        self.chance = random.Random(0)
        self.onto = lru_cache(_KEPT)(lambda setup: question.onto(setup).astype(np.int16))
        self.after = lru_cache(_KEPT)(lambda setup: question.after(setup).astype(np.int16))
        self.first, self.last = question.first.astype(np.int16), question.last.astype(np.int16)
        self.by_thread = np.ascontiguousarray(question.serves.T)

    def thinned(self, order: list[int]) -> list[int]:
        """Without a few setups: neighbours, or any."""
        count = self.chance.randint(min(1, len(order)), min(len(order), _MOST_DOWN))
        if self.chance.random() < 0.5:
            first = self.chance.randint(0, len(order) - count)
            return order[:first] + order[first + count :]
        gone = set(self.chance.sample(range(len(order)), count))
        return [setup for k, setup in enumerate(order) if k not in gone]

    def served(self, order: list[int]) -> list[int]:
        """With setups for every thread, less those that no thread needs."""
        question = self.question
        served: Bools = np.asarray(question.serves[order].any(axis=0))
        more = self.by_thread[~served].sum(axis=0)
        gaps = _Gaps(self._gaps(order))
        while not served.all():
            setup, gap = self._cheapest(gaps, more)
            order = [*order[:gap], setup, *order[gap:]]
            gaps.put(gap, self._gaps(order, gap, gap + 2))
            new = question.serves[setup] & ~served
            more -= self.by_thread[new].sum(axis=0)
            served |= new
        return self._without_spare(order)

    def bettered(self, order: list[int]) -> list[int]:
        """The order bettered, and then the setups in it, in turn while that helps."""
        while True:
            better = self._without_spare(self._chosen_anew(best_order(self.question, order)))
            if rank(self.question, better) >= rank(self.question, order):
                return order
            order = better

    def _cheapest(self, gaps: _Gaps, more: Ints) -> tuple[int, int]:
        """The setup that costs least for each of the threads it serves anew (`more`), more or less
        by chance, and the gap it goes into."""
        setups = np.flatnonzero(more)
        least = _least(gaps.least)
        chance = np.array([self.chance.random() for _ in range(len(setups))])
        cost = least[setups].astype(np.int64)
        at = int(setups[np.argmin((cost + 0.3) * (1 + 0.3 * chance) / more[setups])])
        return at, gaps.cheapest(at)

    def _gaps(self, order: list[int], first: int = 0, last: int | None = None) -> list[Small]:
        """For each gap, or for some of them, what every setup would cost more in it."""
        if not order:
            return [self.first + self.last]
        gaps = []
        for gap in range(len(order) + 1)[first:last]:
            before = self.after(order[gap - 1]) if gap else self.first
            if gap == len(order):
                gaps.append(before + self.last - self.last[order[-1]])
            else:
                gaps.append(before + self.onto(order[gap]) - before[order[gap]])
        return gaps

    def _without_spare(self, order: list[int]) -> list[int]:
        """Less every setup without which no thread goes unserved and nothing is lost."""
        question = self.question
        while True:
            count = question.serves[order].sum(axis=0)
            spare = [k for k, one in enumerate(order) if (count[question.serves[one]] > 1).all()]
            tries = [order[:k] + order[k + 1 :] for k in spare]
            better = min(tries, key=lambda tried: rank(question, tried), default=order)
            if better is order or rank(question, better) > rank(question, order):
                return order
            order = better

    def _chosen_anew(self, order: list[int]) -> list[int]:
        """For the threads that each setup suits best the setup that serves them in its place at
        the least cost: a shortest path along the order."""
        question = self.question
        of = question.demerits[order].argmin(axis=0)
        groups = [np.flatnonzero(of == k) for k in range(len(order))]
        order = [setup for setup, kinds in zip(order, groups, strict=True) if len(kinds)]
        groups = [kinds for kinds in groups if len(kinds)]
        layers = [self._near(order, k, kinds) for k, kinds in enumerate(groups)]
        cost = [
            question.demerits[np.ix_(setups, kinds)].sum(axis=1)
            for setups, kinds in zip(layers, groups, strict=True)
        ]
        least, came = question.first[layers[0]] * _CHANGE + cost[0], []
        for before, setups, own in zip(layers, layers[1:], cost[1:], strict=False):
            steps = put_on(question.gears[before][:, None, :], question.gears[setups][None, :, :])
            ways = least[:, None] + steps * _CHANGE
            came.append(ways.argmin(axis=0))
            least = ways.min(axis=0) + own
        at = int(np.argmin(least + question.last[layers[-1]] * _CHANGE))
        chosen = [int(layers[-1][at])]
        for setups, back in zip(reversed(layers[:-1]), reversed(came), strict=True):
            at = int(back[at])
            chosen.append(int(setups[at]))
        return list(dict.fromkeys(reversed(chosen)))

    def _near(self, order: list[int], at: int, kinds: Ints) -> Ints:
        """Setups that serve some threads, those that cost least in a place of the order."""
        setups = np.flatnonzero(self.by_thread[kinds].all(axis=0))
        if len(setups) <= _NEAR:
            return setups
        onto = self.after(order[at - 1]) if at else self.first
        off = self.onto(order[at + 1]) if at + 1 < len(order) else self.last
        cost = (onto + off)[setups]
        near = np.flatnonzero(cost <= np.partition(cost, _NEAR - 1)[_NEAR - 1])
        return setups[near[np.argsort(cost[near], kind="stable")[:_NEAR]]]


class _Gaps:
    """What every setup would cost more in each gap of an order, and the least of that by parts."""

    def __init__(self, gaps: Sequence[Small]) -> None:
        self._parts = [list(gaps[k : k + _PART]) for k in range(0, len(gaps), _PART)]
        self.least = [_least(part) for part in self._parts]

    def put(self, gap: int, gaps: Sequence[Small]) -> None:
        """Several in the place of one."""
        number = 0
        while gap >= len(self._parts[number]):
            gap -= len(self._parts[number])
            number += 1
        part = self._parts[number]
        part[gap : gap + 1] = gaps
        parts = [part[:_PART], part[_PART:]] if len(part) > 2 * _PART else [part]
        self._parts[number : number + 1] = parts
        self.least[number : number + 1] = [_least(one) for one in parts]

    def cheapest(self, setup: int) -> int:
        """The gap in which a setup costs least, of equals the first."""
        number = min(range(len(self.least)), key=lambda k: int(self.least[k][setup]))
        part = self._parts[number]
        within = min(range(len(part)), key=lambda k: int(part[k][setup]))
        return sum(map(len, self._parts[:number])) + within


def _least(several: Sequence[Small]) -> Small:
    least = several[0].copy()
    for other in several[1:]:
        np.minimum(least, other, out=least)
    return least
