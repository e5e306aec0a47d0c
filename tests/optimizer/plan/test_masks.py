"""What is known of every set of gears, size by size, against each set judged by itself."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import combinations_with_replacement

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, gear, instances

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan import masks
from gearchest.optimizer.plan.explain import covered
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.multisets import LARGEST_SIZE
from gearchest.optimizer.plan.problem import WEIGHT
from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.plan.worth import worth

ONE = Fraction(1)


@settings(max_examples=25, deadline=None)
@given(instances(), st.integers(0, 3), st.booleans())
def test_every_set_of_a_size_is_there_with_what_it_covers_and_costs(
    instance: Instance, size: int, in_blocks: bool
) -> None:
    problem = instance.problem()
    every = Enumeration(problem)
    blocks = list(every.blocks(size)) if in_blocks and size else [every.kept(size)]
    active = every.active.tolist()
    assert active == [c for c, prices in enumerate(problem.prices) if prices]
    told = [
        (tuple(active[c] for c in row), cover, money, inside, allowed)
        for block in blocks
        for row, cover, money, inside, allowed in zip(
            block.sets.tolist(), block.cover, block.money.tolist(), block.inside.tolist(),
            block.allowed.tolist(), strict=True,
        )
    ]  # fmt: skip
    sets = sorted(combinations_with_replacement(active, size), key=lambda one: one[::-1])
    assert [chosen for chosen, *_ in told] == sets
    bare = covered(problem, ())
    some = set(problem.options.want.tolist())
    assert every.open.tolist() == sorted(some - bare)
    weights = np.concatenate([every.weight(block.cover) for block in blocks]) if sets else []
    for (chosen, cover, money, inside, allowed), weight in zip(told, weights, strict=True):
        bits = sum(int(word) << 64 * n for n, word in enumerate(cover))
        have = [want for n, want in enumerate(every.open.tolist()) if bits >> n & 1]
        counts = Counter(chosen)
        had = all(count <= len(problem.prices[c]) for c, count in counts.items())
        assert inside == problem.included(chosen)
        assert weight == problem.weights[have].sum()
        if had:
            assert money == problem.price(chosen)
            assert sorted(covered(problem, chosen) - bare) == have
        assert allowed == (had and (problem.budget is None or money <= problem.budget))


def instance(candidates: int = 3, **terms: object) -> Instance:
    return Instance(
        [[((c,), 0, 0)] for c in range(candidates)],
        [Fraction(candidates - c) for c in range(candidates)],
        [Offer(gear(c), ONE, copies=1) for c in range(candidates)],
        Terms(**terms),  # type: ignore[arg-type]
        candidates,
    )


def test_the_sets_that_cover_most_and_second_most() -> None:
    """Of two of three gears: 3 + 2 and 3 + 1 of 6; of one with the last in it the last alone."""
    found = Enumeration(instance().problem()).survey(2, Watch())
    assert found
    assert (found.best, found.second) == (((0, 1),), ((0, 2),))
    found = Enumeration(instance(include=(gear(2),)).problem()).survey(1, Watch())
    assert found
    assert (found.best, found.second) == (((2,),), ())
    found = Enumeration(instance(include=(gear(2),)).problem()).survey(2, Watch())
    assert found
    assert (found.best, found.second) == (((0, 2),), ((1, 2),))
    found = Enumeration(instance(budget=Fraction(0)).problem()).survey(1, Watch())
    assert found
    assert (found.best, found.second) == ((), ())


def test_the_best_step_and_those_beside_it() -> None:
    """The included gear may stand alone where there is room for one; equals cover as much with as
    many gears."""
    step = Enumeration(instance(include=(gear(2),)).problem()).step(2, Watch())
    assert step
    assert (step.chosen, step.next_best, step.equally_good) == ((0, 2), (1, 2), ())
    alike = replace(instance(), weights=[ONE] * 3)
    step = Enumeration(alike.problem()).step(2, Watch())
    assert step
    assert (step.chosen, step.equally_good, step.next_best) == ((0, 1), ((0, 2), (1, 2)), (0,))
    none = Enumeration(instance(include=(gear(0),)).problem())
    assert none.step(0, Watch())


def test_a_watch_that_is_over_leaves_nothing_surveyed() -> None:
    watch = Watch()
    watch.stop()
    every = Enumeration(instance().problem())
    assert every.survey(1, watch) is None
    assert every.step(1, watch) is None
    assert every.survey(1, Watch())  # nothing is left of it
    known = every.survey(1, watch)
    assert known == every.survey(1, Watch())
    stopped = Enumeration(instance().problem(), watch)
    with pytest.raises(StoppedError):
        stopped.kept(1)
    assert stopped.survey(2, Watch()) is None


@pytest.mark.parametrize(
    ("size", "kept", "shown", "reached"),
    [(0, 1, 1, True), (1, 1, 4, True), (1, 1, 3, False), (3, 10, 20, True), (3, 9, 20, False),
     (3, 10, 19, False), (LARGEST_SIZE, 10**9, 10**9, True),
     (LARGEST_SIZE + 1, 10**9, 10**9, False)],
)  # fmt: skip
def test_how_many_sets_are_looked_at(
    size: int, kept: int, shown: int, reached: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of four gears there are 1, 4, 10 and 20 sets of none, one, two and three: those of a size are
    looked at, those of one gear fewer are kept."""
    monkeypatch.setattr(masks, "MOST_KEPT", kept)
    monkeypatch.setattr(masks, "MOST_SHOWN", shown)
    assert Enumeration(instance(4).problem()).reaches(size) == reached


@pytest.mark.parametrize("wants", [63, 64, 65, 129])
def test_wants_in_words_of_bits(wants: int) -> None:
    """Each gear opens every third want, and pairs of the first two every fifth beside."""
    options = [
        [((n % 3,), 0, 0)] if n % 5 else [((0, 1), 0, 0), ((n % 3,), 0, 0)] for n in range(wants)
    ]
    weights = [Fraction(1 + n % 7) for n in range(wants)]
    some = Instance(options, weights, instance().offers, candidates=3)
    every = Enumeration(some.problem())
    assert every.words == -(-wants // 64)
    assert every.kept(1).cover.shape == (3, every.words)
    problem = some.problem()
    for size in range(4):
        level = every.kept(size)
        for row, weight in zip(level.sets.tolist(), every.weight(level.cover), strict=True):
            if len(set(row)) == size:
                assert weight == worth(problem, tuple(row)).weight
                by_hand = sum(
                    weights[n] for n in range(wants)
                    if n % 3 in row or (n % 5 == 0 and {0, 1} <= set(row))
                )  # fmt: skip
                assert problem.scales[WEIGHT].exact(int(weight)) == by_hand
