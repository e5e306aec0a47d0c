"""Which step is advised, against the gears a careful buyer would stop at."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gearchest.optimizer.plan.advice import LITTLE, WELL, advise
from gearchest.optimizer.plan.result import Grounds, Step


def step(most: int, covered: int, demerits: int, price: int, wanted: int = 50) -> Step:
    """A step of wants of one weight each; `demerits` of those covered."""
    return Step(
        most=most,
        gears=(),
        price=Fraction(price),
        covered=covered,
        covered_weight=Fraction(covered),
        demerits=Fraction(demerits + 200 * (wanted - covered)),
        wanted=wanted,
        wanted_weight=Fraction(wanted),
        proven=True,
        bound_weight=Fraction(covered),
        proven_by="",
    )


BOUGHT = [step(0, 31, 0, 0), step(1, 40, 0, 19), step(2, 48, 0, 38), step(3, 49, 0, 57)]


def test_the_smallest_step_after_which_gears_bring_little_for_their_price() -> None:
    advice = advise(BOUGHT)
    assert (advice.step, advice.grounds, advice.next) == (2, Grounds.LITTLE_MORE, 3)
    # the best buy, the first gear, takes 19 for 9 threads; four times that for one is little
    assert advice.worth == Fraction(19, 9) / LITTLE
    assert advice.next_worth == 19  # the third gear costs 19 and brings one thread


@pytest.mark.parametrize(("worth", "bought"), [(2, 0), (Fraction(22, 10), 1), (3, 2), (20, 3)])
def test_what_one_weight_is_worth_decides(worth: Fraction, bought: int) -> None:
    assert advise(BOUGHT, Fraction(worth)).step == bought


def test_of_the_steps_beyond_the_one_that_is_worth_its_price_first_is_told() -> None:
    """From the first gear on the second costs 19 for 8 threads, the others 38 for 9."""
    advice = advise(BOUGHT, Fraction(22, 10))
    assert (advice.step, advice.next, advice.next_worth) == (1, 2, Fraction(19, 8))
    last = advise(BOUGHT, Fraction(20))
    assert (last.step, last.grounds, last.next, last.next_worth) == (3, Grounds.NO_MORE, None, None)


def test_nothing_where_all_is_covered_well() -> None:
    assert WELL == 4
    good = [step(0, 50, 300, 0), step(1, 50, 300 - 50 * WELL + 1, 1)]
    assert advise(good).grounds is Grounds.ALL_WELL
    assert advise(good).step == 0
    poor = [good[0], step(1, 50, 300 - 50 * WELL, 1)]
    assert advise(poor).step == 1


def test_nothing_where_nothing_helps_or_all_is_too_dear() -> None:
    assert advise([step(0, 31, 0, 0)]).grounds is Grounds.NOTHING_HELPS
    assert advise([step(0, 31, 0, 0)], sought=False).grounds is Grounds.NOT_LOOKED
    assert advise(BOUGHT, Fraction(1)).grounds is Grounds.TOO_DEAR


def test_what_is_free_is_taken() -> None:
    free = [replace(one, price=Fraction(0)) for one in BOUGHT]
    assert advise(free).step == 3


steps = st.lists(
    st.tuples(st.integers(0, 10), st.integers(0, 2000), st.integers(0, 40)), min_size=1, max_size=5
)


@given(steps, st.integers(1, 40))
@example([(1, 0, 0), (7, 0, 1), (5, 802, 0), (0, 1123, 40)], 1)  # a smaller step gains more
@example([(1, 0, 0), (7, 0, 1), (5, 801, 0), (0, 1200, 1)], 1)
def test_no_step_brings_more_beyond_its_price_than_the_advised(
    drawn: list[tuple[int, int, int]], worth: int
) -> None:
    covered = sorted(count for count, _, _ in drawn)
    plan = [step(0, 0, 0, 0, 10)]
    for most, (count, (_, demerits, price)) in enumerate(zip(covered, drawn, strict=True), 1):
        plan.append(step(most, count, demerits, price, 10))

    def left(one: Step, worth: Fraction = Fraction(worth)) -> Fraction:
        return max(Fraction(0), plan[0].demerits - one.demerits) * worth / 200 - one.price

    advice = advise(plan, Fraction(worth))
    bought = plan[advice.step]
    further = [one for one in plan[advice.step + 1 :] if one.covered]
    if advice.next is not None:
        asked = advice.next_worth
        assert asked is not None
        assert asked >= worth
        assert all(left(one, asked) <= left(bought, asked) for one in further)
        more = asked + Fraction(1, 1000)
        assert left(plan[advice.next], more) > left(bought, more)
        assert advice.next > advice.step
    else:
        much = Fraction(10**6)
        assert all(left(one, much) <= left(bought, much) for one in further)
    assert all(left(one) <= left(bought) for one in plan if one.covered)
    assert all(left(one) < left(bought) for one in plan[: bought.most])
