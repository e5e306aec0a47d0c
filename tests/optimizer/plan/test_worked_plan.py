"""A plan small enough to be worked out by hand, every figure of it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from drawn import STRENGTH
from worked_bench import BENCH, OFFERS, OTHER, WANTS, teeth, worth

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.lathe import Policy
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.advice import advise
from gearchest.optimizer.plan.goal import Cover
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Grounds, Plan, Step
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.result import Verdict

ALL = frozenset(range(len(WANTS)))


@cache
def plan() -> Plan:
    question = Question(most=3, cover=Cover("all of it", ALL), spare=True)
    return make_plan([BENCH], WANTS, OFFERS, question, Watch(), making_tables())


@cache
def of_both() -> Plan:
    cover = Cover("five of them", frozenset(range(5)))
    question = Question(most=2, missing=2, cover=cover, spare=True)
    return make_plan([BENCH, OTHER], WANTS, OFFERS, question, Watch(), making_tables())


OWNED, BOTH = (20, 40, 50), (20, 25, 40, 50, 50)


def steps_and_sets() -> list[tuple[Step, tuple[int, ...], tuple[int, ...]]]:
    return [
        *((step, OWNED, (2,)) for step in plan().steps),
        *((step, BOTH, (2, 4)) for step in of_both().steps),
    ]


def test_every_set_a_plan_tells_of_covers_what_it_is_said_to() -> None:
    """The steps' own, those that do as well, the next best, the alternatives, and the sets on the
    way to a step, one gear at a time."""
    for step, owned, screws in steps_and_sets():
        own = teeth(added.offer.gear for added in step.gears)
        weight, demerits = worth((*owned, *own), screws)
        assert (step.covered_weight, step.bound_weight, step.demerits) == (weight, weight, demerits)
        for equal in step.equally_good:
            assert worth((*owned, *teeth(equal)), screws)[0] == weight
            assert len(equal) == len(own)
        if step.next_best:
            less, _ = worth((*owned, *teeth(step.next_best.gears)), screws)
            assert (step.next_best.covered_weight, step.next_best.loses) == (less, weight - less)
        for other in step.alternatives:
            told = other.covered_weight, other.demerits
            assert told == worth((*owned, *teeth(other.gears)), screws)
        for count, (_, after) in enumerate(step.order, 1):
            some = teeth(gear for gear, _ in step.order[:count])
            assert worth((*owned, *some), screws)[0] == after
        for added in step.gears:
            rest = list(own)
            rest.remove(added.offer.gear.teeth)
            assert added.lost_weight == weight - worth((*owned, *rest), screws)[0]
        for one in step.further:
            if one.gears:
                assert worth((*owned, *own, *teeth(one.gears)), screws)[0] > weight


def test_the_lathe_as_it_is() -> None:
    """20/40 cuts 1 mm, 20/50 comes within 1 in 79 of 0.79 mm: 0.63 of what is allowed, 49 demerits
    at half the weight, beside 200 for each of 7.5 weight not covered."""
    step = plan().steps[0]
    assert (step.most, step.gears, step.price) == (0, (), 0)
    assert (step.covered, step.covered_weight) == (2, Fraction(3, 2))
    assert (step.wanted, step.wanted_weight) == (7, 9)
    assert step.demerits == 200 * Fraction(15, 2) + Fraction(49, 2)
    assert (step.proven, step.proven_by, step.stopped_by) == (True, "nothing to choose", "")
    assert {one.want: teeth(one.gears) for one in step.further} == {
        "0.6": (30,), "1.2": (30,), "0.3": (30, 80), "0.75": (30, 80), "0.7": (),
    }  # fmt: skip
    assert (step.order, step.equally_good, step.next_best) == ((), (), None)
    assert (step.dropped, step.alternatives) == ((), ())


def test_a_step_of_two_gears() -> None:
    """30/50 cuts 1.2 mm and, with 20/40, 0.6; 80 brings 0.75 and 0.3 and nothing without the 30."""
    step = plan().steps[2]
    thirty, eighty = step.gears
    assert (thirty.offer, eighty.offer) == (OFFERS[0], OFFERS[3])
    assert thirty.unlocks == ("0.6", "1.2", "0.3", "0.75")
    assert thirty.alone == ("0.6", "1.2")
    assert thirty.together == (("0.3", (eighty.offer.gear,)), ("0.75", (eighty.offer.gear,)))
    assert thirty.lost_weight == 2 + 3 + 1 + Fraction(1, 2)
    assert eighty.unlocks == ("0.3", "0.75")
    assert eighty.alone == ()
    assert eighty.together == (("0.3", (thirty.offer.gear,)), ("0.75", (thirty.offer.gear,)))
    assert eighty.lost_weight == Fraction(3, 2)
    assert (step.price, step.covered, step.covered_weight) == (5 + 3, 6, 8)
    assert [(teeth([gear]), weight) for gear, weight in step.order] == [
        ((30,), Fraction(13, 2)), ((80,), 8),
    ]  # fmt: skip
    assert step.next_best
    assert teeth(step.next_best.gears) == (60, 80)
    assert [teeth(one.gears) for one in step.further] == [()]
    assert {one.objective: (one.value, one.bound, one.proven) for one in step.judged} == {
        "covered weight": (8, 8, True),
        "demerits": (Fraction(49, 2), Fraction(49, 2), True),
        "money": (8, 8, True),
        "error": pytest.approx((float(Fraction(1, 158)),) * 2 + (True,)),  # counted in 1e-9
        "number of gears": (2, 2, True),
    }


def test_one_gear_more_for_a_nearer_train() -> None:
    """30/48 x 50/80 comes nearer to 0.79 mm, 36 demerits; 48 80 80 covers as much and costs less,
    without it; and so does 30 with a second 80, which brings nothing."""
    step = plan().steps[3]
    assert teeth(added.offer.gear for added in step.gears) == (30, 48, 80)
    assert step.demerits == 200 + 18
    assert [added.lost_weight for added in step.gears] == [Fraction(3, 2), 0, Fraction(3, 2)]
    assert [teeth([gear]) for gear, _ in step.order] == [(30,), (80,), (48,)]
    assert [teeth(equal) for equal in step.equally_good] == [
        (48, 80, 80), (30, 80, 80), (30, 60, 80),
    ]  # fmt: skip
    (other,) = step.alternatives
    assert (teeth(other.gears), other.price, other.idle) == ((48, 80, 80), 7, False)
    assert other.proven
    assert other.largest_error == Fraction(1, 79)
    assert step.dropped == ()


def test_a_gear_that_brings_nothing_is_marked_and_a_cheap_pair_is_not() -> None:
    one, two = plan().steps[1:3]
    assert [(teeth(other.gears), other.idle) for other in one.alternatives] == [((48,), True)]
    assert one.others == ()
    assert [(teeth(other.gears), other.idle) for other in two.alternatives] == [((48, 80), False)]
    assert two.others == two.alternatives
    assert two.others[0].price == 1 + 3


def test_what_each_thread_is_cut_with_at_each_step() -> None:
    trains = [
        [teeth(state.answer.train.gears) if state.answer else () for state in states]
        for states in plan().states
    ]
    assert trains[0] == [(20, 40)] * 4
    assert trains[1] == [(), *[(20, 40, 30, 50)] * 3]
    assert trains[2] == [(), *[(30, 50)] * 3]
    assert trains[3] == [(), (), *[(20, 50, 30, 80)] * 2]
    assert trains[4] == [(), (), *[(30, 80)] * 2]
    assert trains[6] == [*[(20, 50)] * 3, (30, 48, 50, 80)]
    verdicts = {want.name: states[3].verdict for want, states in zip(WANTS, plan().states,
                                                                     strict=True)}  # fmt: skip
    assert verdicts.pop("0.7") is Verdict.OFF
    assert verdicts.pop("0.79") is Verdict.IN_TOLERANCE
    assert set(verdicts.values()) == {Verdict.EXACT}
    assert all(state.lathe == "" for states in plan().states for state in states)
    ((name, state),) = plan().unreachable
    assert (name, state.verdict) == ("0.7", Verdict.OFF)


def test_what_the_whole_plan_says() -> None:
    """The best buy is the 30: 5 for 5 weight, so a weight is taken to be worth 4; the 48 costs 1
    and saves 6.5 demerits, worth buying where a weight, 200 of them, is worth 30.8."""
    told = plan()
    assert (told.lathe, told.also, told.wants) == (BENCH, None, tuple(WANTS))
    assert (told.knee, told.cut_short, told.certain, told.settled) == (1, False, True, True)
    assert told.sought
    assert told.priced
    advice = told.advice
    assert (advice.step, advice.grounds, advice.worth) == (2, Grounds.LITTLE_MORE, 4)
    assert (advice.next, advice.next_worth) == (3, 200 / Fraction(13, 2))
    assert (told.bought, told.enough, told.all_covered) == (2, 2, False)
    assert told.largest_error(0) == Fraction(1, 79)
    assert told.largest_error(3) == abs(2 * Fraction(30 * 50, 48 * 80) - Fraction(79, 100)) / (
        Fraction(79, 100)
    )
    assert told.notes == ()
    assert told.spare
    assert (told.spare.together, told.spare.each, told.spare.proven) == ((), (), True)


def test_the_cheapest_that_covers_all_that_can_be() -> None:
    """48 and two of 80 for 7 do what 30 and 80 do for 8; nothing here cuts 0.7 mm."""
    goal = plan().goal
    assert goal
    assert (goal.asked, goal.reached, goal.certain, goal.beyond) == (
        "all of it", False, True, ("0.7",),
    )  # fmt: skip
    assert teeth(added.offer.gear for added in goal.step.gears) == (48, 80, 80)
    assert (goal.step.most, goal.step.price, goal.step.covered) == (3, 7, 6)
    assert goal.step.proven
    assert goal.step.dropped == ()
    assert [state.verdict.covered for state in goal.states] == [True] * 5 + [False, True]


def test_half_of_the_weight_for_the_least_money() -> None:
    """Of 7.5 half takes 48 and 80, for 4; the 30, which does it alone, costs 5."""
    question = Question(most=1, cover=Cover("half", share=Fraction(1, 2)))
    goal = make_plan([BENCH], WANTS[:5], OFFERS, question, Watch(), making_tables()).goal
    assert goal
    assert (goal.reached, goal.beyond, goal.step.price) == (True, (), 1 + 3)
    assert teeth(added.offer.gear for added in goal.step.gears) == (48, 80)
    assert goal.step.covered_weight == 6


def test_two_lathes_with_one_chest() -> None:
    """With 25 and 50 the other brings, and its screw of 4 mm, the 30 cuts 0.75 mm as well; of what
    both can do the first lathe named does it."""
    told = of_both()
    assert (told.lathe.name, told.also and told.also.name) == ("bench", "other")
    assert [step.price for step in told.steps] == [0, 5, 8]
    assert [step.covered for step in told.steps] == [2, 5, 6]
    assert told.steps[1].gears[0].unlocks == ("0.6", "1.2", "0.75")
    assert {state.lathe for states in told.states for state in states} == {"bench"}
    assert told.advice == advise(told.steps)
    assert (told.advice.step, told.advice.grounds) == (2, Grounds.NO_MORE)
    assert told.goal
    assert (told.goal.reached, told.goal.beyond) == (True, ())
    assert teeth(added.offer.gear for added in told.goal.step.gears) == (30, 80)
    assert told.spare
    assert teeth(told.spare.together) == (40, 50)
    assert teeth(told.spare.each) == (20, 25, 40, 50)
    assert worth([20, 25, 50], (2, 4))[0] == worth(BOTH, (2, 4))[0]


def test_of_two_lathes_the_one_with_the_simpler_train_and_of_equals_the_first() -> None:
    """8 mm is 50/25 on a screw of 4 mm and four gears on 2 mm, 10 mm likewise; 0.8 mm is 20/50 on
    2 mm and four gears on 4 mm; 2 mm is two gears on either."""
    wanted = [Want(pitch, mm(pitch), Allowance(Fraction(0))) for pitch in ("8", "10", "0.8", "2")]
    made = [
        make_plan(lathes, wanted, [], Question(most=0), Watch(), making_tables())
        for lathes in ([BENCH, OTHER], [OTHER, BENCH])
    ]
    hung = []
    for told in made:
        hung.append([])
        for want, (state,) in zip(wanted, told.states, strict=True):
            assert state.answer
            screw = 2 if state.lathe == "bench" else 4
            assert screw * state.answer.train.ratio == want.pitch.rational
            hung[-1].append((state.lathe, len(state.answer.train.gears)))
    assert hung[0] == [("other", 2), ("other", 2), ("bench", 2), ("bench", 2)]
    assert hung[1] == [("other", 2), ("other", 2), ("bench", 2), ("other", 2)]


def test_of_two_lathes_with_the_same_train_the_one_that_is_kinder_to_its_teeth() -> None:
    """Teeth loaded to less than half of what they bear bring no demerits, and are told apart all
    the same; of equals the first lathe does it."""
    hard, kind = (
        replace(BENCH, name=name, strength=STRENGTH, policy=Policy(screw_torque=torque))
        for name, torque in (("hard", 1.0), ("kind", 0.9))
    )
    wanted = WANTS[:1]
    for lathes, name in (((hard, kind), "kind"), ((kind, hard), "kind")):
        told = make_plan(lathes, wanted, [], Question(most=0), Watch(), making_tables())
        ((state,),) = told.states
        assert state.answer
        assert state.answer.merit.demerits == 0
        assert state.lathe == name
    alike = replace(kind, name="alike")
    told = make_plan([alike, kind], wanted, [], Question(most=0), Watch(), making_tables())
    assert told.states[0][0].lathe == "alike"
