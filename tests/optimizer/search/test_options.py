"""The options of a plan: every undominated one that an exhaustive search finds, and no other."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import numpy as np
import oracle
import pytest
from drawn import MAKING, STRENGTH, TEETH, lathes, loose, wants
from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Policy, Slot
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search.costs import PLANNED
from gearchest.optimizer.search.fronts import NO_COST, Fronts
from gearchest.optimizer.search.options import OptionTable
from gearchest.optimizer.search.search import find_options

Option = tuple[tuple[Gear, ...], *tuple[int, ...]]
"""Missing gears and costs, the first counting most."""

NARROW = st.sampled_from([Fraction(0), Fraction(1, 1000), Fraction(1, 100), Fraction(4, 100)])


def units(value: Fraction, per: int) -> int:
    """In units of 1/per, rounded; values half way between two are left aside, since there
    floats may go either way."""
    scaled = value * per
    assume(abs(scaled % 1 - Fraction(1, 2)) > Fraction(1, 10**4))
    return round(scaled)


def beats(one: Option, other: Option) -> bool:
    """Needs a sub-multiset of the other's missing gears and costs no more."""
    return not Counter(one[0]) - Counter(other[0]) and one[1:] <= other[1:]


def undominated(options: set[Option]) -> set[Option]:
    return {a for a in options if not any(b != a and beats(b, a) for b in options)}


def returned(table: OptionTable, number: int, order: tuple[str, ...]) -> list[Option]:
    found = table.wants[number]
    costs = {"demerits": found.demerits, "tooth load": found.load, "error": found.error}
    return [
        (
            tuple(table.candidates[i] for i in found.missing[row] if i >= 0),
            *(int(costs[name][row]) for name in order),
        )
        for row in range(len(found))
    ]


ORDERS = st.sampled_from([
    PLANNED, PLANNED, ("error", "demerits"), ("tooth load", "demerits", "error")
])  # fmt: skip


@settings(
    max_examples=70,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(lathes(most_gears=4, measured=st.sampled_from([True, True, True, False])), st.data())
def test_options_equal_exhaustive_search(lathe: Lathe, data: st.DataObject) -> None:
    kinds = data.draw(st.lists(TEETH, min_size=1, max_size=3, unique=True))
    candidates = [(MAKING.gear(z), data.draw(st.sampled_from([1, 2, None]))) for z in kinds]
    most = data.draw(st.sampled_from([0, 1, 2, 2]))
    asked = [
        data.draw(wants(lathe, NARROW, candidates)) for _ in range(data.draw(st.integers(1, 2)))
    ]
    order = data.draw(ORDERS)
    table = find_options(lathe, asked, candidates, most, order=order)
    assert table.most_missing == most
    for number, want in enumerate(asked):
        every: set[Option] = set()
        for train in oracle.trains(lathe, candidates, most, left=want.left):
            error = abs(oracle.error(lathe, train, want.pitch))
            if error > want.allowance.relative:
                continue
            fits = oracle.place(lathe, train).fits
            assume(fits is not None)
            if fits:
                share = oracle.tooth_share(lathe, train)
                assume(share is None or abs(20 * share - round(20 * share)) > 1e-6)
                of_allowance = error / want.allowance.relative if error else Fraction(0)
                costs = {
                    "demerits": oracle.demerits(share, of_allowance),
                    "tooth load": units(oracle.tooth_load(train), 1000),
                    "error": units(error, 10**9),
                }
                every.add((oracle.missing(lathe, train), *(costs[name] for name in order)))
        found = returned(table, number, order)
        event(f"options {min(len(found), 3)}, lacking {max((len(o[0]) for o in found), default=0)}")
        assert len(found) == len(set(found))
        assert set(found) == undominated(every)
        for row, option in enumerate(found):
            train = table.wants[number].train(row)
            assert oracle.missing(lathe, train) == option[0]
            assert oracle.place(lathe, train).fits
            assert oracle.meshes(train) == train.layout.meshes
            assert lathe.meshes_allowed(oracle.meshes(train), left=want.left)
            options = table.wants[number]
            load = options.load[row] / 1000
            assert float(oracle.tooth_load(train)) == pytest.approx(load, abs=6e-4)
            error = abs(oracle.error(lathe, train, want.pitch))
            assert error <= want.allowance.relative
            assert float(error) == pytest.approx(options.error[row] / 1e9, abs=6e-10)


BENCH = Lathe("bench", mm(2), MAKING, Chest(loose(20, 40)))


def option_sets(want: Want, *candidates: tuple[int, int | None], most: int = 2) -> set[object]:
    table = find_options(BENCH, [want], [(MAKING.gear(z), n) for z, n in candidates], most)
    return {tuple(g.teeth for g in option[0]) for option in returned(table, 0, PLANNED)}


def exactly(pitch: Fraction | int) -> Want:
    return Want("a thread", mm(pitch), Allowance(Fraction(0)))


def test_an_option_owned_beats_what_costs_a_gear_and_is_no_better() -> None:
    """20/40 is owned and exact; a 60 and a 30 would only load the teeth less, which is no aim
    where nothing is hard on them."""
    assert option_sets(exactly(1)) == {()}
    assert option_sets(exactly(1), (10, None)) == {()}
    assert option_sets(exactly(1), (30, 1), (60, 1)) == {()}


def test_an_overloaded_train_is_beaten_by_sound_gears_that_have_to_be_bought() -> None:
    """20/40 in nylon at 20 N m is far beyond what it bears."""
    nylon = replace(BENCH.making, material="nylon")
    soft = replace(BENCH, chest=Chest(loose(*(nylon.gear(z) for z in (20, 40)))),
                   strength=STRENGTH, policy=Policy(screw_torque=4.0))  # fmt: skip
    candidates = [(MAKING.gear(z), 1) for z in (30, 60)]
    table = find_options(soft, [exactly(1)], candidates, 2)
    found = {tuple(g.teeth for g in o[0]): o[1] for o in returned(table, 0, PLANNED)}
    assert set(found) == {(), (30, 60)}
    assert found[()] > 1000 > found[30, 60]


def test_as_many_copies_as_can_be_had() -> None:
    """1:1 from two 60s, when there are two."""
    assert (60, 60) in option_sets(exactly(2), (60, 2))
    assert (60, 60) in option_sets(exactly(2), (60, None))
    assert (60, 60) not in option_sets(exactly(2), (60, 1))


def test_no_more_missing_gears_than_asked_for() -> None:
    assert option_sets(exactly(2), (60, None), most=1) == set()
    assert option_sets(exactly(2), (40, None), (60, None), most=1) == {(40,)}


@pytest.mark.parametrize("most", [-1, 7])
def test_numbers_of_missing_gears_out_of_range(most: int) -> None:
    with pytest.raises(ValueError, match="most_missing"):
        find_options(BENCH, [exactly(1)], [], most)


def test_pitches_done_are_counted_and_wants_of_one_pitch_once() -> None:
    told: list[tuple[int, int]] = []
    wanted = [exactly(1), exactly(2), exactly(1), exactly(Fraction(3, 2))]
    find_options(BENCH, wanted, [], 0, progress=lambda done, of: told.append((done, of)))
    assert told == [(1, 3), (2, 3), (3, 3)]


def test_each_want_is_judged_by_its_own_allowance() -> None:
    """Two wants of one pitch: 20/41 is 2.4 % short."""
    gear = MAKING.gear(41)
    strict = exactly(1)
    lenient = Want("lenient", mm(1), Allowance(Fraction(3, 100)))
    table = find_options(
        Lathe("bench", mm(2), MAKING, Chest(loose(20, gear))),
        [strict, lenient],
        [(MAKING.gear(40), 1)],
        1,
    )
    assert {o[0] for o in returned(table, 0, PLANNED)} == {(MAKING.gear(40),)}
    assert {o[0] for o in returned(table, 1, PLANNED)} == {(), (MAKING.gear(40),)}


@pytest.mark.parametrize("idlers", [(30,), (16, 18)])
def test_an_idler_may_be_what_is_missing(idlers: tuple[int, ...]) -> None:
    """40 and 50 in direct mesh stand 45 mm apart, the axes 65 mm: only idlers bridge them."""
    arm = Banjo(65.0, (Slot(5.0, 120.0),), studs=len(idlers), gap=0.5)
    lathe = Lathe("bridged", mm(2), MAKING, Chest(loose(40, 50)), banjo=arm)
    want = exactly(Fraction(8, 5))
    table = find_options(lathe, [want], [(MAKING.gear(z), 1) for z in idlers], 2)
    assert {tuple(g.teeth for g in lacks) for lacks, *_ in returned(table, 0, PLANNED)} == {idlers}


def test_wants_of_one_pitch_share_its_combinations_and_no_option() -> None:
    """Asked together, whatever order their allowances stand in, each comes to what it comes to
    alone: with levers that are told apart by ratio, and where pi makes every train inexact."""
    lathe = Lathe(
        "boxed", mm(3), MAKING, Chest(loose(30, 36, 40, 60)), strength=STRENGTH,
        banjo=Banjo(75.0137, (Slot(15.0137, 90.0137),)),
        gearbox=(("A", Fraction(1)), ("B", Fraction(2, 3)), ("C", Fraction(5, 4))),
    )  # fmt: skip
    allowances = [Fraction(1, 500), Fraction(0), Fraction(1, 50), Fraction(1, 1000)]
    offered = [(MAKING.gear(z), 1) for z in (25, 32, 45, 50)]
    for pitch in (mm(2), replace(mm(1), pi=True)):
        each = [Want(f"{a}", pitch, Allowance(a)) for a in allowances]
        together = find_options(lathe, each, offered, 2)
        for place, wanted in enumerate(each):
            alone = find_options(lathe, [wanted], offered, 2)
            assert returned(together, place, PLANNED) == returned(alone, 0, PLANNED)
    assert len({len(options) for options in together.wants}) > 1


def test_lacks_are_told_apart_however_many_gears_are_on_offer() -> None:
    """Of 30,000 gears the last four, and all but the last: their numbers are one apart, beyond
    what a float tells."""
    fronts = Fronts(30_000, 4, 1)
    lacks = np.array([[29_996, 29_997, 29_998, last] for last in (29_998, 29_999)], dtype=np.int16)
    keys = fronts.pack(lacks)
    assert (keys[1] - keys[0], keys[0] > 2**53) == (1, True)
    fronts.add(keys[:1], np.array([[7]]))
    assert fronts.limit(lacks, np.zeros((2, 1), dtype=np.int64)).tolist() == [[7], [NO_COST]]
