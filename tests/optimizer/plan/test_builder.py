"""Sets of gears put into words where something was left out: not all trains looked for, not all
threads looked at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import pytest
from worked_bench import BENCH, OFFERS, OTHER, WANTS, ratios, teeth, worth

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.plan import unsettled as unsettled_module
from gearchest.optimizer.plan.aims import Aim, first_of_all
from gearchest.optimizer.plan.best_set import LOOKED, BestSet, proven_totals
from gearchest.optimizer.plan.build import Builder
from gearchest.optimizer.plan.formulate import Terms, formulate
from gearchest.optimizer.plan.goal import Cover
from gearchest.optimizer.plan.result import Plan, Spare, Step
from gearchest.optimizer.plan.served import serve, share_chest
from gearchest.optimizer.plan.settling import Settling
from gearchest.optimizer.plan.unsettled import UNSETTLED, unsettled
from gearchest.optimizer.search.asking import Ask, SearchStoppedError
from gearchest.optimizer.search.finder import Finder, Settles
from gearchest.optimizer.search.result import Verdict, WantStep
from gearchest.optimizer.search.search import find_options, nothing_found

CANDIDATES = [(offer.gear, None) for offer in OFFERS]


def builder(missing: int, lathes: tuple[Lathe, ...] = (BENCH,)) -> Builder:
    """All trains that lack so many gears; -1: none was looked for."""
    shared = share_chest(lathes)
    tables = [
        nothing_found(lathe, WANTS, CANDIDATES)
        if missing < 0
        else find_options(lathe, WANTS, CANDIDATES, missing)
        for lathe in shared
    ]
    served = serve(shared, tables)
    terms = Terms(include=(OFFERS[3].gear,))  # on offer though no train lacks it alone
    return Builder(served, WANTS, formulate(WANTS, served.table, OFFERS, terms))


def chosen(made: Builder, *some: int) -> tuple[int, ...]:
    gears = teeth(made.problem.candidates)
    return tuple(gears.index(one) for one in some)


def best(made: Builder, *some: int) -> BestSet:
    """As if every set had been looked at."""
    gears = chosen(made, *some)
    equal, next_best = (chosen(made, 80),), chosen(made, 60)
    return BestSet(gears, proven_totals(made.problem, gears), LOOKED, "", equal, next_best)


class AskedBetween(Finder):
    """Looks at each thread to the end: whether to go on is asked between threads alone."""

    def settler(
        self, lathe: Lathe, sets: Sequence[Sequence[Gear]], first: tuple[str, ...], ask: Ask
    ) -> Settles:
        return super().settler(lathe, sets, first)


def after(threads: int) -> Ask:
    """Ends the work once so many threads were looked at."""
    looks = 0

    def ask() -> None:
        nonlocal looks
        looks += 1
        if looks > threads:
            raise SearchStoppedError

    return ask


def of_some_trains(*some: int) -> tuple[Plan, Step]:
    """A plan of three steps, the last of these gears, from trains that lack one at most."""
    made = builder(1)
    steps = [best(made), best(made, 30), best(made, *some)]
    plan = made.plan(steps, ("a note",), whole=False)
    return plan, plan.steps[2]


def test_what_the_gears_make_is_told_though_no_train_that_lacks_two_was_looked_for() -> None:
    """30 and 80 open 0.3 and 0.75 mm between them; the sets beside them were not looked at so."""
    plan, step = of_some_trains(30, 80)
    assert (step.covered, step.covered_weight, step.demerits) == (6, *worth((20, 40, 50, 30, 80)))
    assert step.covered_weight == 8
    assert (step.price, step.wanted_weight, step.bound_weight) == (8, 9, 9)
    assert not step.proven
    assert step.order == ()
    assert (step.equally_good, step.next_best, step.alternatives) == ((), None, ())
    assert [one.want for one in step.further] == ["0.7"]
    assert (plan.cut_short, plan.knee, plan.unreachable, plan.certain) == (True, None, (), False)
    assert plan.notes == ("a note",)


def test_a_bound_says_nothing_of_trains_that_were_not_looked_for() -> None:
    """The step without gears, and one of one gear, lack no such train; one of two may."""
    made = builder(1)
    steps = made.plan([best(made), best(made, 30), best(made, 30)], whole=False).steps
    assert [step.proven for step in steps] == [True, True, False]
    assert [step.bound_weight for step in steps] == [Fraction(3, 2), Fraction(13, 2), 9]
    missed = "trains that lack more than 1 gears were not all looked for"
    assert [step.stopped_by for step in steps] == ["", "", missed]
    assert teeth(gear for gear, _ in steps[1].order) == (30,)  # it covers what the options say


@pytest.mark.parametrize(("whole", "knee"), [(True, 1), (False, None)])
def test_where_gears_bring_little_is_told_of_all_trains_only(whole: bool, knee: int | None) -> None:
    """6.5 of weight with one gear and 8 with two; though no step could cover more."""
    made = builder(4)
    plan = made.plan([best(made), best(made, 30), best(made, 30, 80)], whole=whole)
    assert [step.bound_weight - step.covered_weight for step in plan.steps] == [0, 0, 0]
    assert plan.knee == knee


def test_nothing_was_looked_for_at_all() -> None:
    """Then what the gears owned do is found all the same, and nothing is proven."""
    made = builder(-1)
    (step,) = made.plan([best(made)], whole=False).steps
    assert step.stopped_by == "trains of the gears owned were not all looked at"
    assert (step.proven, step.bound_weight, step.covered_weight) == (False, 9, Fraction(3, 2))


@pytest.mark.parametrize(("missing", "said"), [(1, False), (2, False), (3, False), (4, True)])
def test_the_cheapest_set_is_proven_only_of_all_trains(missing: int, said: bool) -> None:
    """It may hold any number of gears, and a train over one stud lacks four at most."""
    made = builder(missing)
    goal = made.goal(Cover("all", frozenset(range(7))), None, best(made, 30))
    assert goal.step.proven == said
    assert (goal.step.most, goal.reached, goal.certain) == (1, False, True)
    assert goal.beyond == ("0.3", "0.75", "0.7")
    assert [state.verdict.covered for state in goal.states] == [True, True, True, False, False,
                                                               False, True]  # fmt: skip
    assert not made.goal(Cover("all"), None, best(made), certain=False).certain


def test_wants_beyond_reach_are_told_in_their_order() -> None:
    """Thirty-three that no gears of these cut, of which two are asked for."""
    wanted = [replace(WANTS[5], name=str(n), pitch=mm(100 + n)) for n in range(33)]
    table = find_options(BENCH, wanted, [], 0)
    problem = formulate(wanted, table, [], Terms())
    made = Builder(serve([BENCH], [table]), wanted, problem)
    none = BestSet((), proven_totals(problem, ()), LOOKED)
    assert made.goal(Cover("two", frozenset({32, 1})), None, none).beyond == ("1", "32")


@pytest.mark.parametrize("looked", [0, 2, 5, 7])
def test_threads_not_looked_at_are_told_by_the_trains_their_sets_would_use(looked: int) -> None:
    """A thread such a set covers has the same verdict; one it does not is not looked at."""
    made = replace(builder(4), finder=AskedBetween())
    found = [best(made), best(made, 30), best(made, 30, 80)]
    whole = made.plan(found)
    stopped = replace(made, ask=after(looked)).plan(found)
    for number, (told, due) in enumerate(zip(stopped.states, whole.states, strict=True)):
        for state, full in zip(told, due, strict=True):
            if number < looked:
                assert state == full
            elif full.verdict.covered:
                assert (state.verdict, state.settled, state.lathe) == (full.verdict, False, "")
                assert state.answer
                assert full.answer
                assert state.answer.error == full.answer.error
                assert state.answer.missing == state.answer.train.missing(owned_gears(BENCH))
            else:
                assert (state.verdict, state.answer) == (Verdict.NOT_LOOKED, None)
                assert not state.settled
    assert stopped.settled == (looked == 7)
    assert [step.covered for step in stopped.steps] == [2, 4, 6]
    assert all(step.proven and not step.stopped_by for step in stopped.steps)


def test_more_threads_than_there_is_time_for_are_not_looked_at(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of eight threads and sets that would be covered three are placed; a step that is told so
    covers no less than is shown, and what its proof says is open again."""
    made = replace(builder(4), finder=AskedBetween(), ask=after(0))
    found = [best(made), best(made, 30, 80)]
    monkeypatch.setattr(unsettled_module, "MOST_PLACED", 3)
    plan = made.plan(found)
    placed = [state for states in plan.states for state in states if state.answer]
    assert len({id(state) for state in placed}) == 3
    zero, one = plan.steps
    assert [step.covered for step in plan.steps] == [
        sum(states[n].verdict.covered for states in plan.states) for n in (0, 1)
    ]
    assert zero.proven
    assert (one.proven, one.stopped_by) == (False, UNSETTLED)
    assert one.covered < 6
    assert one.bound_weight == 8
    assert one.order == ()
    assert plan.knee is None or one.bound_weight == one.covered_weight


@pytest.mark.parametrize("order", [(BENCH, OTHER), (OTHER, BENCH)])
def test_of_two_lathes_the_one_whose_train_it_is_is_named(order: tuple[Lathe, Lathe]) -> None:
    made = builder(2, order)
    sets = [(), chosen(made, 30)]
    rows = unsettled(made.served, WANTS, made.problem, [0, 2, 5], sets)
    assert [[state.verdict for state in row] for row in rows] == [
        [Verdict.EXACT, Verdict.EXACT],
        [Verdict.NOT_LOOKED, Verdict.EXACT],
        [Verdict.NOT_LOOKED, Verdict.NOT_LOOKED],
    ]
    for number, row in zip([0, 2, 5], rows, strict=True):
        for state in row:
            if state.answer:
                screw = {"bench": 2, "other": 4}[state.lathe]
                assert screw * state.answer.train.ratio == WANTS[number].pitch.rational
            else:
                assert state.lathe == ""


def test_spare_gears_are_told_with_what_is_lost_by_them() -> None:
    """Without the 20 no 1 mm is cut exactly any more, nor at all; with an open thread nothing is
    told."""
    made = replace(builder(2), finder=AskedBetween())
    twenty = next(gear for gear, _ in BENCH.chest.loose if gear.teeth == 20)
    spare = Spare((twenty,), proven=True)
    told = made.spare(spare)
    assert told == replace(spare, inexact=("1",))
    forty = next(gear for gear, _ in BENCH.chest.loose if gear.teeth == 50)
    assert made.spare(Spare((forty,), proven=False)) == Spare((forty,), proven=False)
    assert replace(made, ask=after(3)).spare(spare) is None
    assert replace(made, ask=after(10)).spare(spare) is None
    assert replace(made, ask=after(14)).spare(spare) is not None


def test_states_of_some_threads_only() -> None:
    made = builder(4)
    every = made.states(chosen(made, 30))
    assert len(every) == 7
    assert made.states(chosen(made, 30), [6, 2]) == (every[6], every[2])


def test_what_no_set_covers_stands_as_with_all_offers_at_hand() -> None:
    """0.7 mm: with 30, two of 60, three of 80 and 48 to hang the nearest of all trains."""
    made = builder(4)
    ((name, state),) = made.unreachable()
    assert (name, state.verdict) == ("0.7", Verdict.OFF)
    assert state.answer
    error = abs(state.answer.error)
    owned = [20, 40, 50, 30, 48, 48, 60, 60, 80, 80]
    near = min(abs(2 * ratio / Fraction(7, 10) - 1) for ratio in ratios(tuple(owned)))
    assert error == near
    aims = first_of_all(Aim.LOAD)
    problem = formulate(WANTS, made.served.table, OFFERS, Terms(aims=aims))
    assert replace(made, problem=problem).plan([best(made)]).aims == aims


def test_of_two_lathes_of_which_none_does_it_the_nearer_to_it_is_told() -> None:
    """One whose train does not fit before one whose train is off, whatever their demerits; a train
    that is off before none; one that cuts it before all; of equals the first lathe."""
    made = builder(0, (BENCH, OTHER))
    known = next(state.answer for state in made.states(()) if state.answer)

    def step(verdict: Verdict, demerits: int) -> WantStep:
        merit = replace(known.merit, demerits=demerits)
        return WantStep(verdict, replace(known, verdict=verdict, merit=merit))

    cut, heavy = step(Verdict.IN_TOLERANCE, 100), step(Verdict.EXACT, 2000)
    misfit, off = step(Verdict.DOES_NOT_FIT, 1500), step(Verdict.OFF, 121)
    none = WantStep(Verdict.NO_TRAIN, None)
    better = Settling(made.served, WANTS, made.problem, made.finder, made.ask, 1)._better
    order = [cut, heavy, misfit, off, none]
    for before, after in combinations(order, 2):
        assert better([before, after]) == replace(before, lathe="bench")
        assert better([after, before]) == replace(before, lathe="other")
    for same in order:
        assert better([same, same]).lathe == "bench"
