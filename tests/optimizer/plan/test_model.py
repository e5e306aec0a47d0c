"""Every constraint of the model binds: with it the answer is one thing, without it another."""

from __future__ import annotations

from fractions import Fraction

import pytest
from plan_instances import Instance, gear
from stopping import StopsAt

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan import model
from gearchest.optimizer.plan.aims import USUAL, Aim, first_of_all
from gearchest.optimizer.plan.constraint import best_set, cheapest_set
from gearchest.optimizer.plan.demand import Demand
from gearchest.optimizer.plan.formulate import ImpossibleError, Terms
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.model import GearModel
from gearchest.optimizer.plan.problem import COUNT, WEIGHT, Scale
from gearchest.optimizer.plan.solve import solve
from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.plan.worth import worth

ONE = Fraction(1)


def offers(*prices: int, copies: int | None = None) -> list[Offer]:
    return [Offer(gear(c), Fraction(price), copies=copies) for c, price in enumerate(prices)]


def best(instance: Instance, most: int) -> tuple[int, ...]:
    """The constraint solver's answer, which looking at every set confirms."""
    problem = instance.problem()
    found = best_set(problem, most, None, Watch())
    looked = Enumeration(problem).step(most, Watch())
    assert found is not None
    assert looked is not None
    assert looked.chosen == found.chosen
    return found.chosen


SINGLES = [[((0,), 1, 0)], [((1,), 1, 0)], [((2,), 1, 0)]]
WEIGHTS = [Fraction(3), Fraction(2), Fraction(1)]


def test_the_number_of_gears_is_limited() -> None:
    instance = Instance(SINGLES, WEIGHTS, offers(1, 1, 1), candidates=3)
    assert best(instance, 1) == (0,)
    assert best(instance, 2) == (0, 1)


def test_the_budget_is_kept() -> None:
    instance = Instance(SINGLES, WEIGHTS, offers(3, 1, 1), Terms(Fraction(2)), candidates=3)
    assert best(instance, 2) == (1, 2)
    problem = instance.problem()
    assert problem.allowed((1, 2), 2)  # to the last coin
    assert not problem.allowed((0,), 2)


def test_gears_to_include_are_in() -> None:
    terms = Terms(include=(gear(2),))
    instance = Instance(SINGLES, WEIGHTS, offers(1, 1, 1), terms, candidates=3)
    assert best(instance, 1) == (2,)
    assert best(instance, 2) == (0, 2)


def test_a_step_with_less_room_holds_as_many_of_the_included_as_it_can() -> None:
    terms = Terms(include=(gear(1), gear(2)))
    instance = Instance(SINGLES, WEIGHTS, offers(1, 1, 1), terms, candidates=3)
    assert best(instance, 1) == (1,)
    assert best(instance, 3) == (0, 1, 2)


def test_gears_to_keep_out_are_out() -> None:
    terms = Terms(keep_out=frozenset({gear(0)}))
    instance = Instance(SINGLES, WEIGHTS, offers(1, 1, 1), terms, candidates=3)
    assert best(instance, 2) == (1, 2)


def test_copies_are_limited() -> None:
    options = [[((0, 0), 1, 0)], [((1,), 1, 0)]]
    weights = [Fraction(5), ONE]
    assert best(Instance(options, weights, offers(1, 1), candidates=2), 2) == (0, 0)
    assert best(Instance(options, weights, offers(1, 1, copies=1), candidates=2), 2) == (1,)


def test_a_second_copy_comes_from_the_dearer_source() -> None:
    had = [Offer(gear(0), Fraction(5), "buy"), Offer(gear(0), Fraction(1), "cut", copies=1)]
    problem = Instance([[((0, 0), 1, 0)]], [ONE], had, candidates=1).problem()
    assert [offer.how for offer in problem.taken((0, 0))] == ["cut", "buy"]
    assert problem.scales[Aim.MONEY].exact(worth(problem, (0, 0)).totals[Aim.MONEY]) == 6


def test_a_want_needs_all_gears_of_one_option() -> None:
    options = [[((0, 1), 1, 0), ((2, 3), 1, 0)], [((0,), 1, 0)]]
    instance = Instance(options, [Fraction(2), ONE], offers(1, 1, 1, 1), candidates=4)
    assert best(instance, 1) == (0,)
    assert best(instance, 2) == (0, 1)


def test_only_one_option_of_a_want_counts_and_it_is_the_best() -> None:
    options = [[((), 9, 0), ((0,), 2, 5), ((1,), 3, 1)]]
    instance = Instance(options, [ONE], offers(1, 1), candidates=2)
    assert best(instance, 1) == (0,)
    problem = instance.problem()
    assert worth(problem, (0, 1)).totals[Aim.DEMERITS] == 2
    assert worth(problem, (0, 1)).totals[Aim.ERROR] == 5


def test_a_gear_that_brings_nothing_is_not_bought_even_for_nothing() -> None:
    instance = Instance([[((0,), 1, 1), ((1,), 1, 1)]], [ONE], offers(0, 0), candidates=2)
    assert best(instance, 2) == (0,)


@pytest.mark.parametrize(
    ("first", "chosen"), [(Aim.DEMERITS, (0,)), (Aim.MONEY, (1,)), (Aim.ERROR, (2,))]
)
def test_the_first_aim_decides(first: Aim, chosen: tuple[int, ...]) -> None:
    options = [[((0,), 1, 9), ((1,), 2, 8), ((2,), 3, 7)]]
    terms = Terms(aims=first_of_all(first))
    instance = Instance(options, [ONE], offers(3, 1, 2), terms, candidates=3)
    assert best(instance, 1) == chosen


def test_excluded_sets_are_left_out() -> None:
    problem = Instance(SINGLES, WEIGHTS, offers(1, 1, 1), candidates=3).problem()
    found = best_set(problem, 1, None, Watch(), demand=Demand(excluded=((0,),)))
    assert found is not None
    assert found.chosen == (1,)


def test_the_cheapest_set_may_take_more_gears() -> None:
    options = [[((0,), 1, 0), ((1, 2), 1, 0)]]
    problem = Instance(options, [ONE], offers(9, 1, 1), candidates=3).problem()
    found = cheapest_set(problem, None, Watch(), demand=Demand(wants=frozenset({0})))
    assert found is not None
    assert found.chosen == (1, 2)
    assert found.proven


@pytest.mark.parametrize("start", [None, (0,), (2,)])
def test_of_the_cheapest_the_one_that_covers_most_and_then_the_best_by_the_aims(
    start: tuple[int, ...] | None,
) -> None:
    """Gears 0 to 2 cover the want asked for at one price: 0 covers no more; 1 and 2 another, 2 at
    fewer demerits. 3 is better still and dearer."""
    options = [
        [((0,), 1, 0), ((1,), 5, 0), ((2,), 2, 9), ((3,), 0, 0)],
        [((1,), 1, 0), ((2,), 1, 0), ((3,), 0, 0)],
    ]
    problem = Instance(options, [ONE, ONE], offers(2, 2, 2, 3), candidates=4).problem()
    found = cheapest_set(problem, start, Watch(), demand=Demand(wants=frozenset({0})))
    assert found is not None
    assert found.chosen == (2,)
    assert found.proven
    assert [(one.objective, one.value) for one in found.totals[:5]] == [
        (Aim.MONEY, 2), (WEIGHT, 2), (Aim.DEMERITS, 3), (Aim.ERROR, 9), (COUNT, 1),
    ]  # fmt: skip


def test_the_cheapest_set_for_a_share_of_the_weight() -> None:
    problem = Instance(SINGLES, WEIGHTS, offers(9, 2, 1), candidates=3).problem()
    found = cheapest_set(problem, None, Watch(), demand=Demand(weight=3))
    assert found is not None
    assert found.chosen == (1, 2)


def test_no_set_within_the_budget_covers_all() -> None:
    terms = Terms(budget=Fraction(2))
    problem = Instance(SINGLES, WEIGHTS, offers(9, 2, 1), terms, candidates=3).problem()
    assert cheapest_set(problem, None, Watch(), demand=Demand(weight=6)) is None


@pytest.mark.parametrize(
    ("terms", "said"),
    [
        (Terms(Fraction(2), include=(gear(0),)), "more than the budget"),
        (Terms(include=(gear(9),)), "not on offer"),
        (Terms(include=(gear(0),), keep_out=frozenset({gear(0)})), "can be had 0 times"),
        (Terms(aims=(Aim.MONEY, Aim.MONEY, Aim.ERROR)), "stands once"),
        (Terms(aims=(Aim.MONEY, Aim.ERROR)), "none of .* is left out"),
        (Terms(aims=(*USUAL, Aim.ERROR)), "stands once"),
    ],
)
def test_contradictory_terms_are_refused(terms: Terms, said: str) -> None:
    with pytest.raises(ImpossibleError, match=said):
        Instance(SINGLES, WEIGHTS, offers(3, 1, 1), terms, candidates=3).problem()


def test_numbers_too_far_apart_are_refused() -> None:
    weights = [Fraction(10**15), Fraction(1, 10**15), ONE]
    with pytest.raises(OverflowError, match="rounder numbers"):
        Instance(SINGLES, weights, offers(1, 1, 1), candidates=3).problem()


@pytest.mark.parametrize(("heavy", "refused"), [(10**16, False), (10**17, True), (10**18, True)])
def test_weights_too_far_apart_are_refused_or_added_up_exactly(heavy: int, refused: bool) -> None:
    """What is not covered counts 200 demerits a weight; 64 bits hold a little over 9 x 10^18."""
    options = [[((c,), 0, 0)] for c in range(3)]
    weights = [Fraction(heavy), Fraction(heavy - 1), ONE]
    instance = Instance(options, weights, offers(9, 1, 1), candidates=3)
    if refused:
        with pytest.raises(OverflowError, match="rounder numbers"):
            instance.problem()
        return
    _, step = solve(instance.problem(), 1, Watch())
    assert step.chosen == (0,)
    (other,) = step.alternatives
    assert (other.chosen, other.weight, other.demerits) == ((1,), heavy - 1, 200 * (heavy + 1))


def test_an_endless_budget_is_no_budget() -> None:
    terms = Terms(Fraction(10**40))
    assert Instance(SINGLES, WEIGHTS, offers(1, 1, 1), terms, candidates=3).problem().budget is None


def test_values_of_nothing_are_counted_in_ones() -> None:
    assert Scale.of([]).unit == Scale.of([Fraction(0)]).unit == 1
    assert Scale.of([Fraction(3, 4), Fraction(0), Fraction(9, 2)]).unit == Fraction(3, 4)
    assert Scale(Fraction(3, 4)).whole(Fraction(8, 4)) == 2
    assert Scale(Fraction(3, 4)).exact(2) == Fraction(3, 2)


def test_the_watch_is_looked_at_all_along_where_a_model_is_made(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Ten missing-sets of each of two wants, at two between looks: half of the sets are still to
    come at the fifth; each want is a look; and whichever look it is, making the model ends."""
    monkeypatch.setattr(model, "_AT_ONCE", 2)
    options = [
        [((c, d), 1, 0) for c in range(w, 5 + w) for d in range(c + 1, 5 + w)] for w in (0, 5)
    ]
    instance = Instance(options, [ONE, ONE], offers(*[1] * 10), candidates=10)
    problem = instance.problem()
    all_along = StopsAt(10**6)
    whole = GearModel(problem, 4, trains=True, watch=all_along)
    assert all_along.looks >= len(whole.holds) / 2 + 2 * len(instance.weights) == 10 + 4
    for look in range(1, all_along.looks + 1):
        with pytest.raises(StoppedError):
            GearModel(problem, 4, trains=True, watch=StopsAt(look))


def test_a_set_need_not_have_any_gears() -> None:
    """Nothing on offer brings anything: the best set is none at all, of one gear or three."""
    instance = Instance([[((), 1, 0), ((0, 1), 1, 0)]], [ONE], offers(1, 1), candidates=2)
    assert best(instance, 1) == best(instance, 3) == ()
