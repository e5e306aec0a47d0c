"""A want on a lathe, with gears added and without, against every train there is."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import combinations

import oracle
import pytest
from drawn import MAKING, STRENGTH, loose

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fit, Fits
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Policy, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import Pitch, magnitude, mm
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search import cells
from gearchest.optimizer.search.answers import answer, choice_key, nearest_to_fitting
from gearchest.optimizer.search.reach import Bench, additions, reach
from gearchest.optimizer.search.result import Answer, Verdict, WantStep
from gearchest.optimizer.search.settle import Settler

LATHE = Lathe(
    "bench", mm(2), MAKING, Chest(loose(20, 30, 45, 60)),
    banjo=Banjo(56.0, (Slot(5.0, 41.0),), largest_tip_diameter=70.0),
    policy=Policy(screw_torque=9.0), strength=STRENGTH,
)  # fmt: skip
RICH = replace(LATHE, chest=Chest(loose(20, 25, 30, 36, 45, 60)))
HUNG = next(train for train in oracle.trains(LATHE) if train.layout.idlers == (0, 0))
SETS = [[], [36], [36, 50], [50, 50], [50], [72], [20], [36]]
WANTS = [
    Want("exact or near", mm("1.5"), Allowance(Fraction(1, 10))),
    Want("exact", mm(3), Allowance(Fraction(0))),
    Want("near", mm("2.31"), Allowance(Fraction(1, 20))),
    Want("does not fit", Pitch(Fraction(16, 3)), Allowance(Fraction(1, 500))),
    Want("off", mm("2.3"), Allowance(Fraction(1, 10**4))),
    Want("one to one", mm(2), Allowance(Fraction(1, 1000))),
    Want("no train", mm(40), Allowance(Fraction(1, 100))),
    Want("only under a higher cover", Pitch(Fraction(2 * 72, 20)), Allowance(Fraction(1, 100))),
]


def added(lathe: Lathe, gears: list[Gear]) -> Lathe:
    every = [gear for gear, count in lathe.chest.loose for _ in range(count)]
    return replace(lathe, chest=Chest(loose(*every, *gears)))


def nearness(one: Answer) -> tuple[object, ...]:
    """What counts of trains that are not set up: the error, the load in mN, how many gears, and
    then the smaller numbers."""
    train = one.train
    groups = train.drivers, train.driven, sum(train.idlers, ())
    return (
        magnitude(one.error), round(train.tooth_load * 1000), len(train.gears),
        *(tuple(gear.teeth for gear in group) for group in groups), LAYOUTS.index(train.layout),
    )  # fmt: skip


def once(answers: list[Answer]) -> list[Answer]:
    """Of those that only hang the idlers of a stage the other way round the first."""
    found = {}
    for one in answers:
        train = one.train
        idlers = tuple(tuple(sorted(gear.order for gear in some)) for some in train.idlers)
        found.setdefault((train.drivers, train.driven, idlers), one)
    return list(found.values())


@cache
def placed(banjo: Banjo | None, train: Train) -> Fit:
    return fit(replace(LATHE, banjo=banjo), train)


def answers(lathe: Lathe, gears: list[Gear], want: Want) -> list[Answer]:
    """Of all trains up to a twentieth off, or as far as is allowed."""
    owned, whole = owned_gears(lathe), added(replace(lathe, usual_train=None), gears)
    widest = max(want.allowance.relative, Fraction(1, 20))
    return [
        answer(lathe, want, train, owned, placed(lathe.banjo, train))
        for train in oracle.trains(whole, left=want.left)
        if abs(oracle.error(lathe, train, want.pitch)) <= widest
    ]


def due(lathe: Lathe, gears: list[Gear], want: Want) -> WantStep:
    every = answers(lathe, gears, want)
    within = [one for one in every if magnitude(one.error) <= want.allowance.relative]
    fitting = [one for one in within if one.fit.fits is not Fits.NO]
    if fitting:
        best = min(fitting, key=lambda one: choice_key(lathe, one))
        exact = [one for one in fitting if one.error == 0] if best.error else []
        first = min(exact, key=lambda one: choice_key(lathe, one), default=None)
        return WantStep(best.verdict, best, without_error=first)
    misses = once(sorted((one for one in within if one.fit.fits is Fits.NO), key=nearness))
    shown = nearest_to_fitting(misses[:50])
    if shown is None:
        near = [one for one in every if one.fit.fits is not Fits.NO
                and magnitude(one.error) <= Fraction(1, 20)]  # fmt: skip
        shown = min(near, key=nearness, default=None)
    return WantStep(shown.verdict if shown else Verdict.NO_TRAIN, shown)


@pytest.mark.parametrize(("many", "hung"), [(8, None), (100_000, HUNG)])
def test_what_each_set_of_gears_comes_to(
    monkeypatch: pytest.MonkeyPatch, many: int, hung: Train | None
) -> None:
    """Sets that hold each other and sets that do not, one of them twice, in turn and each alone."""
    monkeypatch.setattr(cells, "_MANY", many)
    lathe = replace(LATHE, usual_train=hung)
    sets = [[MAKING.gear(z) for z in some] for some in SETS]
    settler, verdicts = Settler(lathe, sets), set()
    for want in WANTS:
        found = settler.settle(want)
        expected = {tuple(gears): due(lathe, gears, want) for gears in sets}
        assert found == [expected[tuple(gears)] for gears in sets]
        assert Bench(lathe, sets[2]).settle(want) == found[2]
        verdicts |= {step.verdict for step in found}
        if found[0].verdict.covered:
            beyond = settler.settle(want, beyond=True)
            assert all(step.answer is None or not step.verdict.covered for step in beyond)
    assert len(verdicts) == 5


def test_a_gear_that_comes_may_be_an_idler_in_either_stage() -> None:
    """Over two studs: what could not stand with the gears owned does with one more between them."""
    arm = Banjo(78.0, (Slot(5.0, 90.0), Slot(5.0, 70.0, 60.0)), studs=2)
    lathe = replace(LATHE, chest=Chest(loose(20, 33, 45, 60)), banjo=arm, right_hand_meshes=1)
    sets = [[MAKING.gear(z) for z in some] for some in ([], [24], [24, 36])]
    idled = set()
    for pitch in (Fraction(10, 11), Fraction(22, 5), Fraction(6, 5)):
        want = Want("x", Pitch(pitch), Allowance(Fraction(1, 1000)))
        found = Settler(lathe, sets).settle(want)
        assert found == [due(lathe, gears, want) for gears in sets]
        idled |= {step.answer.train.layout.idlers for step in found if step.answer}
    assert idled >= {(1, 0), (0, 1)}


def test_what_is_told_of_a_want() -> None:
    """All trains within the allowance, the first to set up first; the nearest and the easiest of
    them; no more than asked for."""
    for want in WANTS[:3]:
        want = replace(want, allowance=Allowance(Fraction(1, 8)))
        every = [one for one in answers(RICH, [], want) if one.verdict.covered]
        assert len(every) > 3
        ordered = tuple(once(sorted(every, key=lambda one: choice_key(RICH, one))))
        found = Bench(RICH).reach(want, most=None)
        assert found.trains == ordered
        assert (found.verdict, found.best) == (ordered[0].verdict, ordered[0])
        assert found.closest == min(every, key=nearness)
        easiest = min(one.train.tooth_load for one in every)
        assert found.easiest is not None
        assert found.easiest.train.tooth_load == easiest
        assert (found.additions, found.misfit, found.cures) == ((), None, ())
        assert reach(RICH, want, most=1).trains == ordered[:1]
        assert Bench(RICH).reach(want).trains == reach(RICH, want).trains == ordered[:20]


def test_more_trains_than_are_listed_unless_asked_for() -> None:
    want = Want("any", mm(2), Allowance(Fraction(9, 10)))
    every = Bench(RICH).reach(want, most=None).trains
    assert len(every) > 25
    assert reach(RICH, want).trains == every[:20]
    assert reach(RICH, want, most=23).trains == every[:23]


def test_the_nearest_others_are_told_where_none_is_within() -> None:
    """As many as asked for, nearest first, up to a twentieth off."""
    want = WANTS[4]
    near = once(sorted((one for one in answers(RICH, [], want) if one.verdict is Verdict.OFF
                        and one.fit.fits is not Fits.NO), key=nearness))  # fmt: skip
    assert len(near) > 2
    for most in (1, 2, None):
        found = reach(RICH, want, most=most)
        assert found.trains == tuple(near[:most])
        assert (found.verdict, found.best, found.easiest) == (Verdict.OFF, None, None)
        assert found.closest == near[0]


def test_a_gear_under_too_low_a_cover_computes_and_does_not_fit() -> None:
    """A 72 of module 1 is 74 mm over its tips."""
    found = Bench(LATHE, [MAKING.gear(72)]).reach(WANTS[-1])
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert found.misfit is not None
    assert MAKING.gear(72) in found.misfit.train.gears
    assert found.trains == (found.misfit,)
    assert "a tip diameter 4 mm larger" in " ".join(found.cures)


BARE = replace(LATHE, banjo=None, chest=Chest(loose(20)))


def test_the_fewest_gears_that_bring_a_want_up_to_three() -> None:
    """20/30 x 50/70 makes 20/21 mm on 2 mm; a chest of nothing would need four. Every set of the
    least size that does it is told, each with its train, and no larger one."""
    want = Want("x", Pitch(Fraction(20, 21)), Allowance(Fraction(0)))
    offered = [(MAKING.gear(z), 1) for z in (30, 50, 70, 64)]
    (three,) = additions(BARE, want, offered)
    assert three.gears == tuple(MAKING.gear(z) for z in (30, 50, 70))
    assert three.answer.error == 0
    assert three.answer.missing == three.gears
    assert reach(BARE, want, offered).additions == (three,)
    assert additions(replace(BARE, chest=Chest(())), want, [*offered, (MAKING.gear(20), 1)]) == ()


def test_all_sets_of_the_least_size_best_first() -> None:
    lathe = replace(BARE, chest=Chest(loose(20, 30)))
    want = Want("x", mm("1.13"), Allowance(Fraction(1, 20)))
    teeth = (33, 35, 36, 53, 64)
    offered = [(MAKING.gear(z), None) for z in teeth]
    found = additions(lathe, want, offered)
    ones = [one for one in teeth if due(lathe, [MAKING.gear(one)], want).verdict.covered]
    assert len(ones) > 1
    assert {one.gears for one in found} == {(MAKING.gear(z),) for z in ones}
    keys = [choice_key(lathe, one.answer) for one in found]
    assert keys == sorted(keys)
    for one in found:
        assert one.answer == due(lathe, list(one.gears), want).answer
    assert additions(lathe, want, offered, most=1) == found[:1]
    pairs = [pair for pair in combinations(teeth, 2) if not set(pair) & set(ones)]
    assert all(len(one.gears) == 1 for one in found)
    assert pairs or len(ones) > 3
