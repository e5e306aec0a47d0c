"""What is said about a set of gears, against trying every order and every set."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations_with_replacement, permutations

from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, exhaustive, gear, instances, judge

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.plan import explain

ONE = Fraction(1)


def _instance() -> Instance:
    options = [
        [((0,), 1, 0)],
        [((0, 1), 1, 0)],
        [((1,), 1, 0), ((2,), 1, 0)],
        [((1, 2, 3), 1, 0), ((4, 4), 2, 0)],
        [((), 1, 0)],
        [],
    ]
    had = [Offer(gear(c), ONE) for c in range(5)]
    return Instance(options, [ONE] * 6, had)


NAMES = [f"want {i}" for i in range(6)]


def test_what_each_gear_unlocks() -> None:
    first, second, third = explain.added_gears(_instance().problem(), (0, 1, 2), NAMES)
    assert first.unlocks == ("want 0", "want 1")
    assert first.alone == ("want 0",)
    assert first.together == (("want 1", (gear(1),)),)
    assert first.lost_weight == 2
    assert second.unlocks == ("want 1",)
    assert second.alone == ("want 2",)
    assert third.unlocks == ()
    assert third.alone == ("want 2",)


def test_wants_are_told_in_their_order() -> None:
    """Forty of them, of which gear 0 opens every eighth, and every ninth with gear 1."""
    options = [
        [((0,), 1, 0)] if n % 8 == 0 else [((0, 1), 1, 0)] if n % 9 == 0 else [] for n in range(40)
    ]
    had = [Offer(gear(c), ONE) for c in range(2)]
    names = [f"want {n}" for n in range(40)]
    problem = Instance(options, [ONE] * 40, had, candidates=2).problem()
    first, second = explain.added_gears(problem, (0, 1), names)
    alone = [n for n in range(40) if n % 8 == 0]
    both = [n for n in range(40) if n % 9 == 0 and n % 8]
    assert first.alone == tuple(names[n] for n in alone)
    assert first.unlocks == tuple(names[n] for n in sorted(alone + both))
    assert first.together == tuple((names[n], (gear(1),)) for n in both)
    assert second.unlocks == tuple(names[n] for n in both)
    assert second.alone == ()
    assert [one.want for one in explain.further(problem, (0,), names)] == [
        names[n] for n in range(40) if n not in alone
    ]


def test_fewest_further_gears() -> None:
    found = {f.want: f.gears for f in explain.further(_instance().problem(), (1, 2), NAMES)}
    assert found == {
        "want 0": (gear(0),),
        "want 1": (gear(0),),
        "want 3": (gear(3),),
        "want 5": (),
    }


def test_a_gear_needed_twice_counts_what_is_there() -> None:
    found = {f.want: f.gears for f in explain.further(_instance().problem(), (4,), NAMES)}
    assert found["want 3"] == (gear(4),)


def test_dropped_gears() -> None:
    problem = _instance().problem()
    assert explain.dropped(problem, (1, 2), [(), (0,), (2, 2)]) == (gear(0), gear(2))


def test_the_knee_is_where_the_curve_bends() -> None:
    assert explain.knee([Fraction(w) for w in (10, 50, 55, 58, 60)]) == 1
    assert explain.knee([Fraction(w) for w in (10, 20, 30)]) is None
    assert explain.knee([Fraction(w) for w in (10, 20)]) is None
    assert explain.knee([Fraction(w) for w in (10, 50, 55)]) == 1
    # However little it bends, and where every step weighs less than one.
    assert explain.knee([Fraction(w, 9) for w in (0, 4, 6, 8)]) == 1
    assert explain.knee([Fraction(0), Fraction(1, 3), Fraction(1, 3), Fraction(1)]) is None
    assert explain.knee([Fraction(w) for w in (10, 11, 55)]) is None


@settings(max_examples=60, deadline=None)
@given(instances(), st.data())
def test_the_order_has_the_most_weight_over_all_purchases(
    instance: Instance, data: st.DataObject
) -> None:
    sets = [j.chosen for j in exhaustive(instance, 3) if len(j.chosen) == 3]
    if not sets:
        return
    chosen = data.draw(st.sampled_from(sets))
    limits = [len(prices) for prices in instance.problem().prices]
    if any(chosen.count(c) > limits[c] for c in chosen):
        return

    def weights(order: tuple[int, ...]) -> list[Fraction]:
        judged = [judge(instance, tuple(sorted(order[: i + 1]))) for i in range(len(order))]
        return [j.weight for j in judged if j]

    best = max((sum(weights(order)), weights(order)) for order in permutations(chosen))
    told = [weight for _, weight in explain.best_order(instance.problem(), chosen)]
    assert (sum(told), told) == best


@settings(max_examples=40, deadline=None)
@given(instances())
def test_further_gears_are_fewest(instance: Instance) -> None:
    problem = instance.problem()
    names = [want.name for want in instance.wants]
    limits = [len(prices) for prices in problem.prices]
    for entry in explain.further(problem, (), names):
        want = names.index(entry.want)
        sizes = [
            len(chosen)
            for size in range(4)
            for chosen in combinations_with_replacement(range(instance.candidates), size)
            if all(chosen.count(c) <= limits[c] for c in chosen)
            and want in explain.covered(problem, chosen)
        ]
        assert len(entry.gears) == min(sizes, default=0)
