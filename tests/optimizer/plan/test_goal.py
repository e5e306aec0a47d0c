"""The cheapest cover against every set there is, whichever way it was come by."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, exhaustive, gear, instances

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.best_set import CONSTRAINT, BestSet, Total
from gearchest.optimizer.plan.demand import SolverLimits
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.goal import Cover, cheapest_cover
from gearchest.optimizer.plan.problem import WEIGHT
from gearchest.optimizer.plan.solve import solve
from gearchest.optimizer.plan.start import greedy
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import worth


@settings(max_examples=25, deadline=None)
@given(instances(candidates=4), st.booleans())
def test_what_is_known_is_not_searched_for_and_is_the_cheapest(
    instance: Instance, alike: bool
) -> None:
    """Of gears at one price a step proves the cheapest cover."""
    offers = [replace(o, price=Fraction(1)) if alike else o for o in instance.offers]
    terms = Terms(aims=instance.terms.aims)
    problem = replace(instance, offers=offers, terms=terms).problem()
    every = sum(map(len, problem.prices))
    wanted = frozenset(range(len(instance.weights)))
    steps = solve(problem, 2, Watch())
    reached = cheapest_cover(problem, Cover("all", wanted), steps, Watch(), SolverLimits(1))
    assert reached is not None
    found = reached.found
    reachable = set(problem.options.want.tolist())
    covered = set(problem.options.want[worth(problem, found.chosen).used].tolist())
    assert covered == reachable
    cheapest = min(
        judged.totals[Aim.MONEY]
        for judged in exhaustive(replace(instance, offers=offers, terms=terms), min(every, 6))
        if judged.weight == sum(instance.weights[want] for want in reachable)
    )
    assert problem.scales[Aim.MONEY].exact(problem.price(found.chosen)) == cheapest
    if alike and worth(problem, steps[-1].chosen).weight == worth(problem, found.chosen).weight:
        assert found in steps


@settings(max_examples=25, deadline=None)
@given(instances(candidates=4), st.fractions(Fraction(1, 7), 1, max_denominator=7))
def test_a_share_of_the_weight_is_covered_as_cheaply_as_can_be(
    instance: Instance, share: Fraction
) -> None:
    """Nothing less than the share, though weights do not come out even; all that can be where the
    share is more."""
    instance = replace(instance, terms=Terms(aims=instance.terms.aims))
    problem = instance.problem()
    every = sum(map(len, problem.prices))
    cover = Cover("a share", frozenset(), share)
    reached = cheapest_cover(problem, cover, (), Watch(), SolverLimits(1))
    assert reached is not None
    sets = list(exhaustive(instance, min(every, 6)))
    asked = min(share * sum(instance.weights), max(judged.weight for judged in sets))
    enough = [judged for judged in sets if judged.weight >= asked]
    price = problem.scales[Aim.MONEY].exact(problem.price(reached.found.chosen))
    assert price == min(judged.totals[Aim.MONEY] for judged in enough)
    assert reached.found.chosen in {judged.chosen for judged in enough}


def test_what_covers_most_is_not_taken_for_the_cheapest_that_covers_enough() -> None:
    """The best single gear covers 3 of 6 for 9; a third of the weight, 2, is had for 1."""
    instance = Instance(
        [[((c,), 0, 0)] for c in range(3)],
        [Fraction(3), Fraction(2), Fraction(1)],
        [Offer(gear(c), Fraction(price)) for c, price in enumerate((9, 1, 1))],
        candidates=3,
    )
    problem = instance.problem()
    steps = solve(problem, 2, Watch())
    assert steps[1].chosen == (0,)
    cover = Cover("a third", share=Fraction(1, 3))
    reached = cheapest_cover(problem, cover, steps, Watch(), SolverLimits(1))
    assert reached is not None
    assert reached.found.chosen == (1,)


def test_a_dear_gear_that_does_it_alone_is_cheaper_than_two() -> None:
    """One of 9 or two of 6 each: the least price of one gear proves nothing here."""
    instance = Instance(
        [[((0,), 0, 0), ((1, 2), 0, 0)], [((0,), 0, 0), ((1, 2), 0, 0)]],
        [Fraction(3), Fraction(2)],
        [Offer(gear(c), Fraction(price)) for c, price in enumerate((9, 6, 6))],
        candidates=3,
    )
    problem = instance.problem()
    for most in (1, 2):
        steps = solve(problem, most, Watch())
        for cover in (Cover("all", frozenset({0, 1})), Cover("all of it", share=Fraction(1))):
            reached = cheapest_cover(problem, cover, steps, Watch(), SolverLimits(1))
            assert reached is not None
            assert reached.found.chosen == (0,)
            assert reached.found.proven


def test_a_step_that_may_reach_what_is_needed_does_not_prove_that_more_gears_are() -> None:
    """One gear was found to cover 2 and may cover 3 of 6, which is asked for: gear 0 alone does."""
    instance = Instance(
        [[((c,), 0, 0)] for c in range(3)],
        [Fraction(3), Fraction(2), Fraction(1)],
        [Offer(gear(c), Fraction(price)) for c, price in enumerate((5, 2, 4))],
        candidates=3,
    )
    problem = instance.problem()
    nothing = solve(problem, 0, Watch())[0]
    one = BestSet((1,), (Total(WEIGHT, 2, 3, False),), CONSTRAINT, "time limit")
    cover = Cover("half", share=Fraction(1, 2))
    reached = cheapest_cover(problem, cover, (nothing, one), Watch(), SolverLimits(1))
    assert reached is not None
    assert reached.found.chosen == (0,)


def test_gears_are_added_where_a_want_lacks_them_and_no_others() -> None:
    """Want 0 lacks gear 1, want 1 two of gear 2, want 2 nothing."""
    instance = Instance(
        [[((1,), 0, 0)], [((2, 2), 0, 0)], [((), 0, 0)]],
        [Fraction(1), Fraction(5), Fraction(9)],
        [Offer(gear(c), Fraction(1), "buy") for c in range(3)],
        candidates=3,
    )
    problem = instance.problem()
    assert greedy(problem, (), 1) == (1,)
    assert greedy(problem, (), 2) in {(1,), (2, 2)}
    assert greedy(problem, (), 3) == (1, 2, 2)
    assert greedy(problem, (), 5) == (1, 2, 2)


def test_a_step_is_the_cheapest_cover_where_fewer_gears_do_less_and_all_cost_the_same() -> None:
    """Gears of 1 each, for wants of 3, 2 and 1: what is asked for is met first by the first step,
    the second, or the third, which has all the gears there are."""
    instance = Instance(
        [[((c,), 0, 0)] for c in range(3)],
        [Fraction(3), Fraction(2), Fraction(1)],
        [Offer(gear(c), Fraction(1), copies=1) for c in range(3)],
        candidates=3,
    )
    problem = instance.problem()
    steps = solve(problem, 3, Watch())
    for most, cover in [
        (0, Cover("nothing")),
        (1, Cover("half", share=Fraction(1, 2))),
        (1, Cover("the first", frozenset({0}))),
        (2, Cover("two", frozenset({0, 1}))),
        (2, Cover("two and most", frozenset({0}), Fraction(2, 3))),
        (3, Cover("all", frozenset({0, 1, 2}))),
    ]:
        reached = cheapest_cover(problem, cover, steps, Watch(), SolverLimits(1))
        assert reached is not None
        assert reached.found is steps[most], cover.asked
        assert (reached.reached, reached.beyond) == (True, frozenset())
        # and where they are not known already they are looked at
        again = cheapest_cover(problem, cover, steps[:1], Watch(), SolverLimits(1))
        assert again is not None
        assert (again.found.chosen, again.found.proven_by) == (
            steps[most].chosen, steps[most].proven_by,
        )  # fmt: skip


def test_what_no_gears_cover_is_beyond_reach() -> None:
    """A want without options, and a share of the weight that it would take."""
    instance = Instance(
        [[((0,), 0, 0)], []], [Fraction(3), Fraction(2)], [Offer(gear(0), Fraction(1))],
        candidates=1,
    )  # fmt: skip
    problem = instance.problem()
    steps = solve(problem, 1, Watch())
    for cover, beyond, reached in [
        (Cover("both", frozenset({0, 1})), {1}, False),
        (Cover("the first", frozenset({0})), set(), True),
        (Cover("three fifths", share=Fraction(3, 5)), set(), True),
        (Cover("more", share=Fraction(61, 100)), set(), False),
    ]:
        found = cheapest_cover(problem, cover, steps, Watch(), SolverLimits(1))
        assert found is not None
        assert (found.beyond, found.reached, found.found.chosen) == (beyond, reached, (0,))


def test_two_gears_that_cost_less_than_one_are_the_cheapest_though_a_step_does_it() -> None:
    """The step of one gear covers it at the least price of one gear there is but for a free one."""
    instance = Instance(
        [[((0,), 0, 0), ((1, 2), 0, 0)]], [Fraction(1)],
        [Offer(gear(c), Fraction(price)) for c, price in enumerate((2, 0, 1))], candidates=3,
    )  # fmt: skip
    problem = instance.problem()
    steps = solve(problem, 1, Watch())
    assert steps[1].chosen == (0,)
    reached = cheapest_cover(problem, Cover("it", frozenset({0})), steps, Watch(), SolverLimits(1))
    assert reached is not None
    assert reached.found.chosen == (1, 2)


def test_a_second_copy_is_added_where_the_first_is_there_already() -> None:
    """Gear 0 covers the first want; two of it and gear 1 the second: with the one in hand two are
    lacking, for which there is room."""
    instance = Instance(
        [[((0,), 0, 0)], [((0, 0, 1), 0, 0)]], [Fraction(1)] * 2,
        [Offer(gear(c), Fraction(1)) for c in range(2)], candidates=2,
    )  # fmt: skip
    assert greedy(instance.problem(), (), 3) == (0, 0, 1)
    assert greedy(instance.problem(), (0,), 3) == (0, 0, 1)
    assert greedy(instance.problem(), (), 2) == (0,)
