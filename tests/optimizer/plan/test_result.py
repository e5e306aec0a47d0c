"""What is read off a plan, on plans put together by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import report_samples as samples

from gearchest.optimizer.domain.lathe import Drive
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.aims import USUAL
from gearchest.optimizer.plan.result import Advice, Alternative, Grounds, Plan, Step
from gearchest.optimizer.search.merit import Merit
from gearchest.optimizer.search.result import Answer, Verdict, WantStep

LATHE = samples.mini_lathe()
TRAIN = samples.answer(LATHE, samples.train("direct", 40, 80))

NO_TRAIN = WantStep(Verdict.NO_TRAIN, None)


def answer(error: Fraction = Fraction(0), share: float | None = 0.5) -> Answer:
    merit = Merit(Drive.SPINDLE, share, float(error), 0)
    verdict = Verdict.IN_TOLERANCE if error else Verdict.EXACT
    return replace(TRAIN, error=error, verdict=verdict, merit=merit)


EXACT = WantStep(Verdict.EXACT, answer())
OFF_A_LITTLE = WantStep(Verdict.IN_TOLERANCE, answer(Fraction(-1, 1000)))


def want(name: str) -> Want:
    return Want(name, mm(1), Allowance(Fraction(1, 100)))


def step(most: int, covered: int, bound: int | None = None, wanted: int = 3) -> Step:
    return Step(
        most=most,
        gears=(),
        price=Fraction(most),
        covered=covered,
        covered_weight=Fraction(covered),
        demerits=Fraction(0),
        wanted=wanted,
        wanted_weight=Fraction(wanted),
        proven=True,
        bound_weight=Fraction(covered if bound is None else bound),
        proven_by="by hand",
    )


def plan(*states: tuple[WantStep, ...], steps: tuple[Step, ...] | None = None) -> Plan:
    """Threads a, b, ... with their states by step."""
    names = [want(name) for name in "abcdef"[: len(states)]]
    told = steps or tuple(step(most, 0) for most in range(len(states[0])))
    return Plan(LATHE, tuple(names), told, states)


def of_steps(*covered: int, advised: int = 0) -> Plan:
    steps = tuple(step(most, count) for most, count in enumerate(covered))
    advice = Advice(advised, Grounds.NO_MORE)
    return replace(plan((NO_TRAIN,) * len(covered), steps=steps), advice=advice)


def test_a_plan_of_which_nothing_more_is_said() -> None:
    """Gears were looked for, with prices that are somebody's, to the end; no step is advised."""
    told = of_steps(1)
    assert (told.sought, told.priced, told.cut_short) == (True, True, False)
    bare = Plan(LATHE, (), (step(0, 0),), ())
    assert bare.advice == Advice(0, Grounds.NOT_LOOKED)
    assert (bare.advice.worth, bare.advice.next, bare.advice.next_worth) == (None, None, None)
    assert (bare.aims, bare.knee, bare.goal, bare.spare) == (USUAL, None, None, None)
    assert (bare.also, bare.sparing, bare.notes, bare.unreachable) == (None, None, (), ())


def test_certain_only_where_all_steps_meet_their_bounds_and_all_trains_were_looked_for() -> None:
    steps = step(0, 1), step(1, 2)
    assert plan((EXACT,) * 2, steps=steps).certain
    assert not replace(plan((EXACT,) * 2, steps=steps), cut_short=True).certain
    open_steps = step(0, 1), step(1, 2, bound=3)
    assert not plan((EXACT,) * 2, steps=open_steps).certain
    assert not plan((EXACT,) * 2, steps=open_steps[::-1]).certain


def test_settled_where_every_thread_is_at_every_step() -> None:
    open_state = replace(EXACT, settled=False)
    assert plan((EXACT, EXACT), (EXACT, EXACT)).settled
    assert not plan((EXACT, EXACT), (EXACT, open_state)).settled
    assert not plan((open_state, EXACT), (EXACT, EXACT)).settled


def test_the_step_to_buy_is_the_one_advised_or_the_last() -> None:
    assert of_steps(1, 2, 3).bought == 2
    assert of_steps(1, 2, 3, advised=1).bought == 1
    assert of_steps(1).bought == 0


def test_enough_is_where_no_step_covers_more_and_what_is_advised() -> None:
    assert of_steps(1, 3, 3, 3).enough == 1
    assert of_steps(1, 3, 3, 3, advised=2).enough == 2
    assert of_steps(1, 2, 3, advised=1).enough == 2
    assert of_steps(2, 2).enough == 0


def test_all_covered_where_one_step_does() -> None:
    assert of_steps(1, 3).all_covered
    assert of_steps(3, 2).all_covered
    assert not of_steps(1, 2).all_covered


def test_the_largest_error_is_that_of_what_is_covered() -> None:
    further = replace(OFF_A_LITTLE, answer=answer(Fraction(1, 900)))
    off = WantStep(Verdict.OFF, answer(Fraction(1, 30)))
    told = plan((OFF_A_LITTLE, EXACT), (EXACT, further), (off, off), (NO_TRAIN, OFF_A_LITTLE))
    assert told.largest_error(0) == Fraction(1, 1000)
    assert told.largest_error(1) == Fraction(1, 900)
    assert plan((off,), (NO_TRAIN,)).largest_error(0) is None
    assert plan((EXACT,)).largest_error(0) == 0


def test_teeth_overloaded_where_the_train_is_set_up() -> None:
    heavy = replace(EXACT, answer=answer(share=1.01))
    full = replace(EXACT, answer=answer(share=1.0))
    unknown = replace(EXACT, answer=answer(share=None))
    beyond = WantStep(Verdict.OFF, answer(Fraction(1, 30), 2.0))
    told = plan((heavy, EXACT), (full, heavy), (unknown,) * 2, (beyond,) * 2, (heavy, heavy))
    assert told.overloads(0) == ("a", "e")
    assert told.overloads(1) == ("b", "e")


def test_exactness_is_lost_against_the_lathe_as_it_is_or_the_step_before() -> None:
    """a: the lathe had it; b: the step before had it; c: an earlier step had it, nobody misses it;
    d: gained; e: kept; f: not covered any more."""
    told = plan(
        (EXACT, OFF_A_LITTLE, OFF_A_LITTLE, OFF_A_LITTLE),
        (OFF_A_LITTLE, OFF_A_LITTLE, EXACT, OFF_A_LITTLE),
        (OFF_A_LITTLE, EXACT, OFF_A_LITTLE, OFF_A_LITTLE),
        (OFF_A_LITTLE, OFF_A_LITTLE, OFF_A_LITTLE, EXACT),
        (EXACT, EXACT, EXACT, EXACT),
        (EXACT, NO_TRAIN, NO_TRAIN, NO_TRAIN),
    )
    assert told.loses_exactness(0) == ()
    assert told.loses_exactness(1) == ("a", "f")
    assert told.loses_exactness(2) == ("a", "c", "f")
    assert told.loses_exactness(3) == ("a", "b", "f")


def test_exactness_is_traded_where_an_exact_train_is_there_still() -> None:
    kinder = replace(OFF_A_LITTLE, without_error=answer())
    told = plan((EXACT, kinder), (EXACT, OFF_A_LITTLE), (kinder, kinder), (EXACT, EXACT))
    assert told.loses_exactness(1) == ("a", "b")
    assert told.trades_exactness(1) == ("a",)
    assert told.trades_exactness(0) == ()


def test_alternatives_somebody_may_rather_buy() -> None:
    none = Fraction(0)
    one = Alternative((), none, none, none, proven=True)
    idle = replace(one, idle=True)
    assert (one.idle, one.largest_error) == (False, None)
    assert replace(step(1, 1), alternatives=(idle, one, idle)).others == (one,)
