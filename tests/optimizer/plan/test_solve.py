"""Plan steps against plain exhaustive search over every set of gears."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, Judgement, exhaustive, gear, instances, judge

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan import constraint
from gearchest.optimizer.plan.aims import OF_GEARS, Aim
from gearchest.optimizer.plan.best_set import CONSTRAINT, LOOKED
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.problem import COUNT, NUMBERS, WEIGHT
from gearchest.optimizer.plan.solve import solve
from gearchest.optimizer.plan.watch import Progress, Watch
from gearchest.optimizer.plan.worth import worth


@settings(max_examples=20, deadline=None)
@given(instances())
def test_constraint_solver_finds_the_best_set_of_every_size(instance: Instance) -> None:
    problem = instance.problem()
    for most in range(4):
        best = min(exhaustive(instance, most))
        found = constraint.best_set(problem, most, None, Watch())
        assert found is not None
        assert found.proven
        assert found.chosen == best.chosen
        value = worth(problem, found.chosen)
        assert problem.scales[WEIGHT].exact(value.weight) == best.weight
        for aim in instance.terms.aims:
            scale = problem.scales[aim if aim in OF_GEARS else WEIGHT]
            assert scale.exact(value.totals[aim]) == best.totals[aim]


@settings(max_examples=50, deadline=None)
@given(instances())
def test_looking_at_every_set_finds_the_best_its_equals_and_the_next(instance: Instance) -> None:
    problem = instance.problem()
    masks = Enumeration(problem)
    for most in range(5):
        ranked = sorted(exhaustive(instance, most))
        best = ranked[0]
        found = masks.step(most, Watch())
        assert found is not None
        assert found.proven
        assert found.chosen == best.chosen
        assert list(found.equally_good) == _equals(instance, ranked)[:5]
        less = [judged for judged in ranked if judged.weight < best.weight]
        assert (found.next_best is None) == (not less)
        if found.next_best is not None:
            next_best = judge(instance, found.next_best)
            assert next_best is not None
            assert next_best.key[:-1] == min(less).key[:-1]


def test_more_wants_than_a_word_has_bits() -> None:
    """Seventy wants, each lacking one or two of five gears."""
    pairs = [(a, b) for a in range(5) for b in range(a, 5)]
    options = [[(pairs[i % 15] if i % 4 else (i % 5,), 1, i % 3)] for i in range(70)]
    weights = [Fraction(1 + i * i % 13) for i in range(70)]
    instance = Instance(options, weights, [Offer(gear(c), Fraction(1)) for c in range(5)])
    for most in range(4):
        found = Enumeration(instance.problem()).step(most, Watch())
        assert found is not None
        assert found.chosen == min(exhaustive(instance, most)).chosen


@settings(max_examples=15, deadline=None)
@given(instances(), st.booleans())
def test_steps_are_the_best_by_whichever_prover(instance: Instance, look: bool) -> None:
    problem = instance.problem()
    with pytest.MonkeyPatch.context() as patch:
        if not look:
            patch.setattr(Enumeration, "reaches", lambda self, size: False)
        steps = solve(problem, 3, Watch())
    for most, found in enumerate(steps):
        assert found.proven
        ranked = sorted(exhaustive(instance, most))
        assert found.chosen == ranked[0].chosen
        if most:
            assert list(found.equally_good) == _equals(instance, ranked)[:5]
            assert found.proven_by == (LOOKED if look else CONSTRAINT)


def test_what_is_told_on_the_way_closes_in_on_what_is_found() -> None:
    instance = Instance(
        [[((a, b), a + b, 1)] for a in range(5) for b in range(a, 5)],
        [Fraction(1 + i % 3, 2) for i in range(15)],
        [Offer(gear(c), Fraction(1)) for c in range(5)],
    )
    told: list[Progress] = []
    watch = Watch(report=told.append)
    one = constraint.SolverLimits(workers=1)
    found = constraint.best_set(instance.problem(), 3, (2, 3, 4), watch, one)
    best = min(exhaustive(instance, 3))
    assert found is not None
    assert found.chosen == best.chosen == (0, 2, 4)
    assert {said.most for said in told} == {3}
    weights = [said for said in told if said.objective == WEIGHT]
    assert {said.best for said in weights} == {Fraction(7, 2)}  # what it began with
    assert min(said.bound or 0 for said in weights) >= best.weight == 4
    demerits = [said for said in told if said.objective == Aim.DEMERITS]
    assert {said.best for said in demerits} == {best.totals[Aim.DEMERITS]}
    assert max(said.bound or 0 for said in demerits) <= best.totals[Aim.DEMERITS]
    assert {said.best for said in told if said.objective == COUNT} == {3}
    assert (told[-1].objective, told[-1].best) == (NUMBERS, 0)  # an order has no size


@settings(max_examples=40, deadline=None)
@given(instances(), st.integers(0, 4), st.fractions(0, 6, max_denominator=2))
def test_another_offer_never_lowers_coverage(
    instance: Instance, candidate: int, price: Fraction
) -> None:
    richer = replace(instance, offers=[*instance.offers, Offer(gear(candidate), price)])
    assert _weights(richer) >= _weights(instance)


@settings(max_examples=40, deadline=None)
@given(instances(), st.integers(0, 4))
def test_another_owned_gear_never_lowers_coverage(instance: Instance, candidate: int) -> None:
    options = [
        [(_without(missing, candidate), load, error) for missing, load, error in wanted]
        for wanted in instance.options
    ]
    plain = replace(instance, terms=Terms(instance.terms.budget))
    assert _weights(replace(plain, options=options)) >= _weights(plain)


@settings(max_examples=40, deadline=None)
@given(instances(), st.integers(0, 6), st.integers(0, 6))
def test_a_looser_tolerance_never_lowers_coverage(instance: Instance, one: int, two: int) -> None:
    tight, loose = (
        replace(instance, options=[[o for o in w if o[2] <= most] for w in instance.options])
        for most in sorted((one, two))
    )
    assert _weights(loose) >= _weights(tight)


@settings(max_examples=40, deadline=None)
@given(instances())
def test_doubled_weights_change_nothing(instance: Instance) -> None:
    doubled = replace(instance, weights=[2 * weight for weight in instance.weights])
    assert _sets(doubled) == _sets(instance)


@settings(max_examples=40, deadline=None)
@given(instances())
def test_prices_that_cannot_matter_change_nothing(instance: Instance) -> None:
    """All prices doubled, and the budget with them."""
    dearer = [replace(offer, price=2 * offer.price) for offer in instance.offers]
    budget = instance.terms.budget
    terms = replace(instance.terms, budget=None if budget is None else 2 * budget)
    assert _sets(replace(instance, offers=dearer, terms=terms)) == _sets(instance)


def test_the_answer_is_the_same_for_any_number_of_workers() -> None:
    instance = Instance(
        [[((a, b), 1, 1)] for a in range(5) for b in range(a, 5)],
        [Fraction(1)] * 15,
        [Offer(gear(c), Fraction(1)) for c in range(5)],
    )
    problem = instance.problem()
    found = [
        constraint.best_set(problem, 3, None, Watch(), constraint.SolverLimits(workers))
        for workers in (1, 2, 4)
    ]
    assert {f.chosen for f in found if f} == {min(exhaustive(instance, 3)).chosen}


def test_the_time_limit_leaves_a_valid_set_and_a_bound() -> None:
    instance = Instance(
        [[((a, b), 1, 1)] for a in range(5) for b in range(a, 5)],
        [Fraction(1)] * 15,
        [Offer(gear(c), Fraction(1)) for c in range(5)],
    )
    problem = instance.problem()
    steps = solve(problem, 3, Watch(time_limit=0.0))
    for most, found in enumerate(steps[1:], start=1):
        assert not found.proven
        assert found.stopped_by == "time limit"
        assert problem.allowed(found.chosen, most)
        assert found.totals[0].bound >= min(exhaustive(instance, most)).weight


def _sets(instance: Instance) -> list[tuple[int, ...]]:
    return [found.chosen for found in solve(instance.problem(), 3, Watch())]


def _weights(instance: Instance) -> list[Fraction]:
    """Coverage of every step, list by list comparable only entry by entry."""
    problem = instance.problem()
    found = solve(problem, 3, Watch())
    return Steps(problem.scales[WEIGHT].exact(worth(problem, f.chosen).weight) for f in found)


class Steps(list[Fraction]):
    """Numbers compared entry by entry."""

    def __ge__(self, other: list[Fraction]) -> bool:
        return all(a >= b for a, b in zip(self, other, strict=True))


def _without(missing: tuple[int, ...], candidate: int) -> tuple[int, ...]:
    """What is still missing when one more copy of a gear is owned."""
    if candidate not in missing:
        return missing
    place = missing.index(candidate)
    return missing[:place] + missing[place + 1 :]


def _equals(instance: Instance, ranked: list[Judgement]) -> list[tuple[int, ...]]:
    """Sets of the best one's size and weight; gears and copies no option asks for left out."""
    best = ranked[0]
    asked = [len(prices) for prices in instance.problem().prices]
    return [
        other.chosen
        for other in ranked[1:]
        if other.weight == best.weight
        and len(other.chosen) == len(best.chosen)
        and all(count <= asked[g] for g, count in Counter(other.chosen).items())
    ]
