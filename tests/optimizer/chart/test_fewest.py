"""The fewest sets that hold everything, against every choice of them and against the solver."""

from __future__ import annotations

from functools import reduce
from itertools import combinations
from operator import or_

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.chart import bound
from gearchest.optimizer.chart.fewest import fewest_sets
from gearchest.optimizer.chart.question import EMPTY, AlikeThreads, ChartQuestion
from gearchest.optimizer.plan.watch import Watch


@st.composite
def covers(draw: st.DrawFn) -> list[int]:
    """Sets of up to nine things, as bits, which have all nine between them."""
    sets = draw(st.lists(st.integers(0, 511), max_size=9))
    return [*sets, 511 & ~reduce(or_, sets, 0)]


def by_trying(sets: list[int], every: int) -> int:
    return next(
        count
        for count in range(len(sets) + 1)
        if any(reduce(or_, some, 0) & every == every for some in combinations(sets, count))
    )


@settings(max_examples=300, deadline=None)
@given(covers(), st.integers(0, 511))
def test_as_few_as_by_trying_every_choice(sets: list[int], every: int) -> None:
    assert fewest_sets(sets, every) == by_trying(sets, every)


def test_many_sets_are_given_up_and_never_guessed() -> None:
    """All pairs of twelve things: six take all twelve, and that is seen at once; with one thing
    more seven do, which is not."""
    pairs = [1 << a | 1 << b for a, b in combinations(range(13), 2)]
    assert fewest_sets([pair for pair in pairs if pair < 1 << 12], (1 << 12) - 1) == 6
    assert fewest_sets(pairs, (1 << 13) - 1, most_looks=20) is None


def test_the_solver_counts_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the search gives up the solver is asked: forty setups, fifteen threads."""
    chance = np.random.default_rng(5)
    gears = chance.integers(0, 4, (40, 3), dtype=np.int16)
    threads = tuple(
        AlikeThreads(np.sort(chance.choice(40, 5, replace=False)), np.zeros(5, dtype=np.int64))
        for _ in range(15)
    )
    question = ChartQuestion(gears, np.full(3, EMPTY, dtype=np.int16), False, threads)
    counted = bound.by_setups(question, Watch())
    assert counted > 3
    monkeypatch.setattr(bound, "fewest_sets", lambda sets, every: None)
    assert bound.by_setups(question, Watch()) == counted
