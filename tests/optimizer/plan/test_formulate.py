"""Wants, options, offers and terms brought into whole numbers, figure by figure."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, gear, instances

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan import formulate as formulate_module
from gearchest.optimizer.plan.aims import USUAL, Aim, first_of_all
from gearchest.optimizer.plan.best_set import BestSet, Total, Traded, proven_totals
from gearchest.optimizer.plan.demand import Demand, SolverLimits
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.goal import Cover
from gearchest.optimizer.plan.planner import Question
from gearchest.optimizer.plan.problem import COUNT, NUMBERS, WEIGHT, Problem
from gearchest.optimizer.plan.result import Goal, Spare
from gearchest.optimizer.plan.worth import held_rows, rank, worth

HALF = Fraction(1, 2)

OFFERS = [
    Offer(gear(0), Fraction(5), "cut", None, "b"),
    Offer(gear(0), Fraction(5), "buy", 1),
    Offer(gear(0), Fraction(5), "cut", 2, "a"),
    Offer(gear(0), Fraction(3), "cut", 1),
    Offer(gear(1), HALF * 3, "buy", 2),
    Offer(gear(2), Fraction(0), "buy", 0),
    Offer(gear(2), Fraction(4), "buy"),
    Offer(gear(9), Fraction(1), "buy"),  # no train lacks it
]

INSTANCE = Instance(
    [
        [((0, 0, 0), 4, 2), ((1,), 4, 1), ((0, 1), 2, 2), ((), 9, 7)],
        [((2, 2), 1, 1), ((1, 2), 1, 1)],
        [],
        [((0, 0, 0, 0), 0, 0), ((1, 1, 1), 0, 0)],
    ],
    [Fraction(3, 2), Fraction(3), Fraction(9, 2), Fraction(6)],
    OFFERS,
    candidates=4,
)


def problem(**terms: object) -> Problem:
    return replace(INSTANCE, terms=Terms(**terms)).problem()  # type: ignore[arg-type]


def test_options_stand_by_want_and_best_first() -> None:
    """By demerits and error, then the fewest gears, then the smaller numbers; each with its place
    among those of its want. The fourth want's second is left out: of gear 1 there are but two."""
    made = problem().options
    assert made.want.tolist() == [0, 0, 0, 0, 1, 1, 3]
    assert made.missing.tolist() == [
        [0, 1, -1, -1], [1, -1, -1, -1], [0, 0, 0, -1], [-1, -1, -1, -1],
        [1, 2, -1, -1], [2, 2, -1, -1], [0, 0, 0, 0],
    ]  # fmt: skip
    assert made.repeat.tolist() == [
        [1, 1, 0, 0], [1, 0, 0, 0], [1, 2, 3, 0], [0, 0, 0, 0],
        [1, 1, 0, 0], [1, 2, 0, 0], [1, 2, 3, 4],
    ]  # fmt: skip
    assert made.index.tolist() == [2, 1, 0, 3, 1, 0, 0]
    assert made.size.tolist() == [2, 1, 3, 0, 2, 2, 4]
    assert made.cost(Aim.DEMERITS).tolist() == [2, 4, 4, 9, 1, 1, 0]
    assert made.cost(Aim.ERROR).tolist() == [2, 1, 2, 7, 1, 1, 0]
    costs = [(2, 2), (4, 1), (4, 2), (9, 7), (1, 1), (1, 1), (0, 0)]
    assert made.cost(Aim.LOAD).tolist() == [(5 * d + 3 * e) % 7 for d, e in costs]
    some = made.rows(made.want == 1)
    assert (some.index.tolist(), some.size.tolist()) == ([1, 0], [2, 2])


def test_the_first_aim_orders_options_first() -> None:
    made = problem(aims=(Aim.ERROR, Aim.MONEY, Aim.DEMERITS)).options
    assert made.index.tolist() == [1, 2, 0, 3, 1, 0, 0]


def test_copies_are_the_cheapest_of_all_sources_as_many_as_a_train_lacks() -> None:
    """At one price what is bought comes before what is cut; of gear 0 four, of 1
    one, of 2 two and none of the source that has none, of 3 none on offer."""
    made = problem()
    copies = [[(float(o.price), o.how, o.note) for o in had] for had in made.offers]
    assert copies == [
        [(3, "cut", ""), (5, "buy", ""), (5, "cut", "a"), (5, "cut", "a")],
        [(1.5, "buy", "")],
        [(4, "buy", "")] * 2,
        [],
    ]
    assert made.prices == ((6, 10, 10, 10), (3,), (8, 8), ())
    assert made.candidates == tuple(gear(c) for c in range(4))
    assert made.gears((0, 0, 2)) == (gear(0), gear(0), gear(2))
    assert made.taken((0, 0, 2)) == (OFFERS[3], OFFERS[1], OFFERS[6])


def test_units() -> None:
    """Weights of 3/2, prices of a half; demerits and errors by weight."""
    made = problem()
    assert made.weights.tolist() == [1, 2, 3, 4]
    assert {name: scale.unit for name, scale in made.scales.items()} == {
        WEIGHT: Fraction(3, 2), COUNT: 1, NUMBERS: 1, Aim.MONEY: HALF,
        Aim.DEMERITS: Fraction(3, 2), Aim.ERROR: Fraction(3, 2 * 10**9),
        Aim.LOAD: Fraction(3, 2000),
    }  # fmt: skip
    assert (made.budget, made.include, made.aims) == (None, (), USUAL)


def test_a_budget_is_rounded_down_and_left_out_where_it_buys_everything() -> None:
    every = 6 + 10 * 3 + 3 + 8 * 2
    assert problem(budget=Fraction(every, 2)).budget is None
    assert problem(budget=Fraction(every - 1, 2)).budget == every - 1
    assert problem(budget=Fraction(17, 5)).budget == 6
    assert problem(budget=Fraction(0)).budget == 0


def test_what_must_be_in_can_be_had_as_often_as_it_is_asked_for() -> None:
    """Gear 3 not at all; of gear 1, which trains lack once or twice, two, and of gear 2 five: one
    source has any number."""
    made = problem(include=(gear(2),) * 5 + (gear(0),))
    assert made.include == (0, 2, 2, 2, 2, 2)
    assert len(made.prices[2]) == 5
    assert made.included((0, 0, 2, 2)) == 3
    assert made.included((1,)) == 0
    assert made.allowed((0, 2), 2)
    assert not made.allowed((0, 1), 2)
    assert not made.allowed((0, 2), 1)
    assert not made.allowed((0, 2), 3)  # a third could be in as well
    assert made.allowed((0, 2, 2, 2, 2, 2), 9)
    with pytest.raises(formulate_module.ImpossibleError, match="3 times but can be had 2 times"):
        problem(include=(gear(1),) * 3)


def test_what_must_be_in_may_cost_the_whole_budget_and_no_more() -> None:
    terms = {"include": (gear(0), gear(1))}
    assert problem(budget=Fraction(9, 2), **terms).budget == 9
    said = "cost 4.5, more than the budget of 4.4"
    with pytest.raises(formulate_module.ImpossibleError, match=said):
        problem(budget=Fraction(22, 5), **terms)


def test_what_stays_out_is_not_there() -> None:
    made = problem(keep_out=frozenset({gear(0)}))
    assert made.prices[0] == ()
    assert made.options.index.tolist() == [1, 3, 1, 0]
    assert not made.allowed((0,), 1)


def test_what_sets_cost_and_are_worth() -> None:
    made = problem()
    assert [made.price(chosen) for chosen in ((), (0,), (0, 0), (0, 0, 1, 2))] == [0, 6, 16, 27]
    assert made.cost(Aim.MONEY, (1, 2, 2)) == 3 + 16
    assert held_rows(made, (0, 1)).tolist() == [0, 1, 3]
    value = worth(made, (0, 1))
    assert (value.weight, value.used.tolist()) == (1, [0])
    value = worth(made, (1, 2))
    assert (value.weight, value.used.tolist()) == (3, [1, 4])
    totals = {Aim.DEMERITS: 4 + 2 * 1, Aim.ERROR: 1 + 2 * 1, Aim.LOAD: 23 % 7 + 2 * (8 % 7),
              Aim.MONEY: 11}  # fmt: skip
    assert value.totals == totals
    assert rank(made, (1, 2), value) == (-3, 6, 11, 3, 2, (1, 2))
    assert proven_totals(made, (1, 2)) == tuple(
        Total(name, total, total, True)
        for name, total in [(WEIGHT, 3), (Aim.DEMERITS, 6), (Aim.MONEY, 11), (Aim.ERROR, 3),
                            (COUNT, 2)]
    )  # fmt: skip


def test_no_wants_and_no_options_are_a_question_too() -> None:
    made = Instance([], [], OFFERS, candidates=2).problem()
    assert made.options.missing.shape == (0, 0)
    assert made.weights.tolist() == []
    assert made.prices == ((), ())
    empty = Instance([[], []], [HALF, HALF], OFFERS, candidates=2).problem()
    assert empty.options.want.tolist() == []
    assert empty.weights.tolist() == [1, 1]


@settings(max_examples=25, deadline=None)
@given(instances(), st.integers(0, 3))
def test_terms_are_kept_where_they_are(instance: Instance, most: int) -> None:
    """By adding up prices and counting gears."""
    made = instance.problem()
    chosen = (*made.include, 0, 1, 1)[:most]
    chosen = tuple(sorted(chosen))
    had = all(chosen.count(c) <= len(made.prices[c]) for c in chosen)
    price = (
        sum(made.prices[c][k] for c in set(chosen) for k in range(chosen.count(c))) if had else 0
    )
    kept = sum(min(chosen.count(c), made.include.count(c)) for c in set(chosen))
    enough = kept >= min(most, len(made.include))
    within = made.budget is None or price <= made.budget
    assert made.allowed(chosen, most) == (had and within and enough)
    assert not made.allowed(chosen, len(chosen) - 1)


def test_what_is_taken_where_nothing_is_said() -> None:
    assert Question() == Question(
        most=None, terms=Terms(None, (), frozenset(), USUAL), missing=None, cover=None, spare=False,
        priced=True, worth=None, beyond=True, past=True,
    )  # fmt: skip
    assert SolverLimits() == SolverLimits(2, None)
    assert Demand() == Demand(0, frozenset(), None, (), 0, 0)
    assert Cover("all") == Cover("all", frozenset(), Fraction(0))
    assert first_of_all() == USUAL == (Aim.DEMERITS, Aim.MONEY, Aim.ERROR)
    best = BestSet((), (), "by hand")
    assert (best.stopped_by, best.equally_good, best.next_best) == ("", (), None)
    assert (best.alternatives, best.alternatives_proven, best.proven) == ((), False, True)
    assert not Traded((), 0, 0, 0).idle
    assert Spare((), True) == Spare((), True, (), ())
    assert (Goal("all", True, None, ()).beyond, Goal("all", True, None, ()).certain) == ((), True)  # type: ignore[arg-type]


def test_a_set_is_proven_where_every_total_is_and_nothing_stopped_it() -> None:
    sure, open_total = Total(WEIGHT, 1, 1, True), Total(WEIGHT, 1, 2, False)
    assert BestSet((), (sure, sure), "").proven
    assert not BestSet((), (sure, open_total), "").proven
    assert not BestSet((), (sure,), "", "time limit").proven
