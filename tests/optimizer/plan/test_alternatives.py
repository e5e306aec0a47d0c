"""Alternatives to a step's set against every set of its size, judged one by one in fractions."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, Judgement, exhaustive, gear, instances, judge

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan import alternatives
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.problem import WEIGHT
from gearchest.optimizer.plan.solve import solve
from gearchest.optimizer.plan.watch import Watch

Triple = tuple[Fraction, Fraction, Fraction]  # weight, demerits, price


def triple(instance: Instance, judged: Judgement) -> Triple:
    uncovered = sum(instance.weights) - judged.weight
    demerits = judged.totals[Aim.DEMERITS] + 200 * uncovered
    return judged.weight, demerits, judged.totals[Aim.MONEY]


def beats(one: Triple, other: Triple) -> bool:
    return one != other and one[0] >= other[0] and one[1] <= other[1] and one[2] <= other[2]


def as_good(one: Triple, other: Triple) -> bool:
    return one[0] >= other[0] and one[1] <= other[1] and one[2] <= other[2]


def smaller(instance: Instance, sizes: list[int], size: int) -> list[Triple]:
    """What the sets of the steps' smaller sizes cost."""
    asked = [len(prices) for prices in instance.problem().prices]
    return [
        triple(instance, judged)
        for most, gears in enumerate(sizes)
        if gears < size
        for judged in exhaustive(instance, most)
        if len(judged.chosen) == gears
        and all(count <= asked[c] for c, count in Counter(judged.chosen).items())
    ]


def front(instance: Instance, most: int, size: int) -> list[Triple]:
    """What no set of a size beats, most weight first; gears that no train lacks left out."""
    asked = [len(prices) for prices in instance.problem().prices]
    seen = {
        triple(instance, judged)
        for judged in exhaustive(instance, most)
        if len(judged.chosen) == size
        and all(count <= asked[c] for c, count in Counter(judged.chosen).items())
    }
    kept = [one for one in seen if not any(beats(other, one) for other in seen)]
    return sorted(kept, key=lambda one: (-one[0], one[1], one[2]))


def heavier(instance: Instance) -> Instance:
    """Demerits that weigh against covered threads, as they do on a lathe."""
    options = [[(m, 40 * d, e) for m, d, e in wanted] for wanted in instance.options]
    return Instance(options, instance.weights, instance.offers, instance.terms, instance.candidates)


@settings(max_examples=40, deadline=None)
@given(instances().map(heavier), st.booleans())
def test_alternatives_are_exactly_the_front(instance: Instance, look: bool) -> None:
    problem = instance.problem()
    with pytest.MonkeyPatch.context() as patch:
        if not look:
            patch.setattr(Enumeration, "reaches", lambda self, size: False)
        steps = solve(problem, 3, Watch())
    for most, found in enumerate(steps):
        judged = {j.chosen: triple(instance, j) for j in exhaustive(instance, most)}
        told = [judged[other.chosen] for other in found.alternatives]
        exact = problem.scales[WEIGHT].exact
        for other, one in zip(found.alternatives, told, strict=True):
            money = problem.scales[Aim.MONEY].exact(other.money)
            assert (exact(other.weight), exact(other.demerits), money) == one
        size = len(found.chosen)
        fewer = smaller(instance, [len(step.chosen) for step in steps[:most]], size)
        every = [one for one in front(instance, most, size) if one != judged[found.chosen]]
        if look:
            idle = [any(as_good(small, one) for small in fewer) for one in told]
            assert [other.idle for other in found.alternatives] == idle
        if look or not most:
            assert found.alternatives_proven
            assert told == every[: alternatives.TOLD]
        else:
            assert found.alternatives_proven == (size == 0)
            assert not any(beats(one, other) for one in told for other in told)


def test_no_more_sets_are_judged_than_is_quick() -> None:
    """Prices that differ from one set to the next leave every set on the front."""
    candidates = 12
    instance = Instance(
        [[((c,), 0, 0)] for c in range(candidates)],
        [Fraction(2**c) for c in range(candidates)],
        [Offer(gear(c), Fraction(2**c)) for c in range(candidates)],
        candidates=candidates,
    )
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(alternatives, "MOST_JUDGED", 50)
        found = solve(instance.problem(), 3, Watch())[3]
    assert found.proven
    assert len(found.alternatives) == alternatives.TOLD == 8
    assert not found.alternatives_proven


def test_a_watch_that_is_over_leaves_those_known() -> None:
    """Dearer gears are better ones: each sum of numbers is one triple, two of them too far off."""
    instance = Instance(
        [[((c,), 40 * (4 - c), 1)] for c in range(5)],
        [Fraction(1)] * 5,
        [Offer(gear(c), Fraction(c + 1)) for c in range(5)],
    )
    every = Enumeration(instance.problem())
    found = every.step(2, Watch())
    assert found is not None
    (told,) = alternatives.with_alternatives(every, [found], Watch(time_limit=0.0))
    assert not told.alternatives_proven
    assert [other.chosen for other in told.alternatives] == [(2, 4), (1, 4), (0, 4), (0, 3)]


def test_a_gear_that_does_nothing_is_not_offered() -> None:
    """The cheapest gear saves no demerits; the next some, the dearest all."""
    instance = Instance(
        [[((), 12, 2), ((0,), 12, 1), ((1,), 6, 1), ((2,), 0, 0)]],
        [Fraction(1)],
        [Offer(gear(c), Fraction(price)) for c, price in enumerate((18, 22, 68))],
        candidates=3,
    )
    _, one, *_ = solve(instance.problem(), 2, Watch())
    assert one.chosen == (2,)
    assert [(other.chosen, other.idle) for other in one.alternatives] == [
        ((1,), False),
        ((0,), True),
    ]


@settings(max_examples=25, deadline=None)
@given(instances().map(heavier), st.integers(0, 2))
def test_no_set_is_judged_better_than_it_was_held_to_be_at_best(
    instance: Instance, size: int
) -> None:
    """At best each want that a set covers is cut with the fewest demerits any train has for it that
    lacks no more gears than the set has: that is what sets are passed over by."""
    problem = instance.problem()
    every = Enumeration(problem)
    floors = alternatives._Floors(every, size)
    level = every.kept(size)
    copies = [len(prices) for prices in problem.prices]
    had = [
        [o for o in options if all(o[0].count(c) <= copies[c] for c in o[0])]
        for options in instance.options
    ]
    told = floors.of(level.cover, level.money).tolist()
    for row, floor in zip(level.sets[level.allowed], np.array(told)[level.allowed], strict=True):
        chosen = tuple(every.active[row].tolist())
        judged = judge(instance, chosen)
        assert judged is not None
        covered, demerits, money = triple(instance, judged)
        uncovered, fewest, price = (
            problem.scales[of].exact(int(units))
            for of, units in zip((WEIGHT, Aim.DEMERITS, Aim.MONEY), floor, strict=True)
        )
        assert (sum(instance.weights) - uncovered, price) == (covered, money)
        held = [any(not Counter(o[0]) - Counter(chosen) for o in options) for options in had]
        best = sum(
            weight * (min(o[1] for o in options if len(o[0]) <= size) if some else 200)
            for weight, options, some in zip(instance.weights, had, held, strict=True)
        )
        assert fewest <= best <= demerits
        if not any(o[0] == () for options in had for o in options):
            assert fewest == best
