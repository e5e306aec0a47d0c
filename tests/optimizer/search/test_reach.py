"""`reach` against an exhaustive search in plain fractions with a numerical placement."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

import oracle
import pytest
from drawn import MAKING, STRENGTH, TEETH, lathes, loose, wants
from hypothesis import HealthCheck, assume, event, given, reject, settings
from hypothesis import strategies as st

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair, Place
from gearchest.optimizer.domain.lathe import Banjo, Drive, Lathe, Policy, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search.reach import Bench, reach
from gearchest.optimizer.search.result import Answer, Verdict

OFF_LIMIT = Fraction(5, 100)

SLOW = settings(
    max_examples=80,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
MEASURED_OR_NOT = st.sampled_from([True, True, False])


def want(pitch: Pitch, allowed: Fraction | int = 0, *, left: bool = False) -> Want:
    return Want("a thread", pitch, Allowance(Fraction(allowed)), left=left)


def chest(*gears: Gear | int) -> Chest:
    return Chest(loose(*gears))


def teeth(train: Train) -> tuple[int, ...]:
    return tuple(gear.teeth for gear in train.gears)


def listed(answers: tuple[Answer, ...]) -> set[tuple[int, ...]]:
    return {teeth(answer.train) for answer in answers}


@SLOW
@given(lathes(measured=MEASURED_OR_NOT), st.data())
def test_reach_equals_exhaustive_search(lathe: Lathe, data: st.DataObject) -> None:
    """Same set of fitting trains, same best error, same easiest, same verdict."""
    wanted = data.draw(wants(lathe))
    allowed = wanted.allowance.relative
    inside, near, undecided = [], [], set()
    for train in oracle.trains(lathe, left=wanted.left):
        error = abs(oracle.error(lathe, train, wanted.pitch))
        if error > max(allowed, OFF_LIMIT):
            continue
        fits = oracle.place(lathe, train).fits
        if fits is None:
            undecided.add(train)
        elif error <= allowed:
            inside.append((error, train, fits))
        elif fits:
            near.append((error, train))
    fitting = [(error, train) for error, train, fits in inside if fits]
    found = Bench(lathe).reach(wanted, most=None)
    event(f"{found.verdict}, measured {lathe.banjo is not None}")
    assume(not undecided)
    if fitting:
        assert {once(a.train) for a in found.trains} == {once(train) for _, train in fitting}
        assert len(found.trains) == len({once(train) for _, train in fitting})
        try:
            ranked = [oracle.choice(lathe, wanted, train) for _, train in fitting]
        except ValueError:
            reject()
        assert found.best == found.trains[0]
        assert oracle.choice(lathe, wanted, found.trains[0].train) == min(ranked)
        listed_ranks = [oracle.choice(lathe, wanted, a.train) for a in found.trains]
        assert listed_ranks == sorted(listed_ranks)
        assert found.verdict is found.best.verdict
        assert (found.verdict is Verdict.EXACT) == (found.best.error == 0)
        settled = Bench(lathe).settle(wanted)
        assert settled.answer == found.best
        exact = [train for error, train in fitting if error == 0]
        assert (settled.without_error is not None) == bool(exact and found.best.error)
        if settled.without_error:
            due = min(oracle.choice(lathe, wanted, train) for train in exact)
            assert oracle.choice(lathe, wanted, settled.without_error.train) == due
        assert found.easiest is not None
        assert found.easiest.train.tooth_load == min(oracle.tooth_load(t) for _, t in fitting)
        best = fitting
    else:
        best = near
        if inside:
            assert found.verdict is Verdict.DOES_NOT_FIT
            assert found.misfit is not None
            assert found.misfit.train in {train for _, train, _ in inside}
            assert found.misfit.fit.misfits
        else:
            assert found.verdict is (Verdict.OFF if near else Verdict.NO_TRAIN)
        nearest = sorted({once(train): error for error, train in near}.values())[:20]
        if near:
            assert [float(abs(a.error)) for a in found.trains] == pytest.approx(
                [float(error) for error in nearest], abs=1e-12
            )
        assert found.easiest is None
    if best:
        assert found.closest is not None
        least = min(error for error, _ in best)
        assert float(abs(found.closest.error)) == pytest.approx(float(least), abs=1e-12)
    else:
        assert found.closest is None
    if not fitting:
        check_order(found.trains)
    for answer in found.trains:
        check_answer(lathe, wanted, answer)


def once(train: Train) -> tuple[object, ...]:
    """A train, whichever way round the idlers of a stage hang."""
    idlers = tuple(tuple(sorted(g.order for g in stage)) for stage in train.idlers)
    return train.layout, train.drivers, train.driven, idlers, train.setting


def check_order(trains: tuple[Answer, ...]) -> None:
    """Smaller |error|, smaller tooth load, fewer gears, then the smaller numbers."""
    keys = [
        (
            round(float(abs(a.error)), 12),
            oracle.tooth_load(a.train),
            len(a.train.gears),
            tuple(g.teeth for g in a.train.drivers),
            tuple(g.teeth for g in a.train.driven),
            tuple(g.teeth for idlers in a.train.idlers for g in idlers),
        )
        for a in trains
    ]
    assert keys == sorted(keys)


def check_answer(lathe: Lathe, wanted: Want, answer: Answer) -> None:
    """What an answer says about its train, recomputed."""
    train = answer.train
    assert train.ratio == oracle.ratio(train)
    assert train.tooth_load == oracle.tooth_load(train)
    assert train.layout.meshes == oracle.meshes(train)
    assert train.spans == pytest.approx(oracle.spans(train), abs=1e-12)
    error = oracle.error(lathe, train, wanted.pitch)
    if lathe.leadscrew.pi == wanted.pitch.pi:
        assert answer.error == error
    else:
        assert answer.error == pytest.approx(float(error), abs=1e-14)
    assert answer.missing == oracle.missing(lathe, train)
    if answer.verdict.covered:
        assert answer.fit.fits is (Fits.YES if lathe.banjo else Fits.UNCHECKED)


@settings(SLOW, max_examples=40)
@given(lathes(most_gears=4, measured=MEASURED_OR_NOT), st.data())
def test_additions_are_every_set_of_least_size(lathe: Lathe, data: st.DataObject) -> None:
    kinds = data.draw(st.lists(TEETH, min_size=1, max_size=3, unique=True))
    copies = st.sampled_from([1, 2, None])
    candidates = tuple((MAKING.gear(z), data.draw(copies)) for z in kinds)
    wanted = data.draw(wants(lathe, extra=candidates))
    best: dict[tuple[Gear, ...], list[tuple[object, ...]]] = {}
    for train in oracle.trains(lathe, candidates, 2, left=wanted.left):
        error = abs(oracle.error(lathe, train, wanted.pitch))
        if error > wanted.allowance.relative:
            continue
        fits = oracle.place(lathe, train).fits
        assume(fits is not None)
        if fits:
            try:
                key = oracle.choice(lathe, wanted, train)
            except ValueError:
                reject()
            best.setdefault(oracle.missing(lathe, train), []).append(key)
    found = reach(lathe, wanted, candidates, most=None)
    assert found.verdict.covered == (() in best)
    least = min((len(lacks) for lacks in best), default=3)
    event(f"least {least}")
    if least == 0:
        assert found.additions == ()
        return
    if least <= 2:
        sets = {lacks for lacks in best if len(lacks) == least}
        assert {addition.gears for addition in found.additions} == sets
        assert len(found.additions) == len(sets)
        for addition in found.additions:
            assert addition.answer.train.missing(oracle.owned_gears(lathe)) == addition.gears
            assert addition.answer.verdict.covered
            ranked = oracle.choice(lathe, wanted, addition.answer.train)
            assert ranked == min(best[addition.gears])
    else:
        assert all(len(addition.gears) == 3 for addition in found.additions)


# ------------------------------------------------------------------ always so


@settings(SLOW, max_examples=50)
@given(lathes(most_gears=5, measured=MEASURED_OR_NOT), TEETH, st.data())
def test_one_more_gear_never_worsens_the_best(
    lathe: Lathe, extra: int, data: st.DataObject
) -> None:
    wanted = data.draw(wants(lathe))
    before = Bench(lathe).reach(wanted, most=None)
    after = Bench(lathe, (MAKING.gear(extra),)).reach(wanted, most=None)
    if before.closest:
        assert after.closest is not None
        assert abs(after.closest.error) <= abs(before.closest.error)
    if before.easiest:
        assert after.easiest is not None
        assert after.easiest.train.tooth_load <= before.easiest.train.tooth_load
        assert {once(a.train) for a in before.trains} <= {once(a.train) for a in after.trains}


@settings(SLOW, max_examples=50)
@given(lathes(most_gears=5, measured=MEASURED_OR_NOT), st.data())
def test_a_looser_tolerance_loses_no_train(lathe: Lathe, data: st.DataObject) -> None:
    wanted = data.draw(wants(lathe))
    tight = Bench(lathe).reach(wanted, most=None)
    looser = Allowance(wanted.allowance.relative + Fraction(1, 100))
    loose = Bench(lathe).reach(replace(wanted, allowance=looser), most=None)
    if tight.verdict.covered:
        assert {once(a.train) for a in tight.trains} <= {once(a.train) for a in loose.trains}


@settings(SLOW, max_examples=50)
@given(lathes(measured=st.just(False), special=False), st.data())
def test_drivers_for_driven_inverts_the_ratio(lathe: Lathe, data: st.DataObject) -> None:
    """Turned end for end a train keeps the shop rule and cuts the inverse ratio."""
    lathe = replace(lathe, fixed_first_driver=None, gearbox=(), first_driver_turns=(Fraction(1),))
    wanted = data.draw(wants(lathe, st.just(Fraction(0))))
    assume(not wanted.pitch.pi and not lathe.leadscrew.pi)
    inverse = replace(wanted, pitch=mm(lathe.leadscrew.rational**2 / wanted.pitch.lead.rational))
    there, back = (Bench(lathe).reach(w, most=None) for w in (wanted, inverse))
    if there.verdict is Verdict.EXACT:
        assert back.verdict is Verdict.EXACT
        assert {teeth(a.train)[::-1] for a in there.trains} == listed(back.trains)


# --------------------------------------------------------------- exact limits

SIMPLE = Lathe("simple", mm(2), MAKING, chest(40, 50))


@pytest.mark.parametrize(
    ("allowed", "verdict"),
    [
        (Fraction(1, 4), Verdict.IN_TOLERANCE),
        (Fraction(1, 4) - Fraction(1, 10**15), Verdict.NO_TRAIN),
    ],
)
def test_an_error_at_the_allowance_is_within(allowed: Fraction, verdict: Verdict) -> None:
    """50/40 x 2 mm is 2.5 mm: exactly 25 % over 2 mm; 40/50 gives 20 % under."""
    lathe = replace(SIMPLE, fixed_first_driver=MAKING.gear(50))
    assert Bench(lathe).reach(want(mm(2), allowed)).verdict is verdict


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("allowed", [Fraction(1, 1000), Fraction(1, 3000), Fraction(7, 9999)])
def test_the_allowance_is_inclusive_to_the_last_digit(sign: int, allowed: Fraction) -> None:
    """1/3000 and 7/9999 are no floats: only exact comparison can tell."""
    pitch = mm(Fraction(8, 5) / (1 + sign * allowed))
    bench = Bench(SIMPLE)
    assert bench.reach(want(pitch, allowed)).verdict is Verdict.IN_TOLERANCE
    assert bench.reach(want(pitch, allowed - Fraction(1, 10**18))).verdict is Verdict.OFF


def test_off_goes_as_far_as_five_per_cent() -> None:
    found = Bench(SIMPLE).reach(want(mm(Fraction(8, 5) / Fraction(105, 100))))
    assert found.closest is not None
    assert found.verdict is found.closest.verdict is Verdict.OFF  # the thread's and the train's
    past = Fraction(105, 100) + Fraction(1, 10**9)
    assert Bench(SIMPLE).reach(want(mm(Fraction(8, 5) / past))).verdict is Verdict.NO_TRAIN


def test_pi_cancels_where_screw_and_thread_both_have_it() -> None:
    lathe = replace(SIMPLE, leadscrew=Pitch(Fraction(1), pi=True))
    found = Bench(lathe).reach(want(Pitch(Fraction(4, 5), pi=True)))
    assert found.verdict is Verdict.EXACT
    assert found.closest is not None
    assert found.closest.error == 0


def test_a_pi_pitch_is_never_exact_on_a_rational_screw() -> None:
    """22/7 on a 2 mm screw for module 2/7 x ... : 402.499 ppm over pi, the textbook figure."""
    lathe = Lathe("pi", mm(7), MAKING, chest(55, 70), fixed_first_driver=MAKING.gear(55))
    pitch = Pitch(Fraction(7, 4), pi=True)  # 55/70 x 7 mm = 5.5 mm = 7/4 x 22/7
    assert Bench(lathe).reach(want(pitch, Fraction(4024, 10**7))).verdict is Verdict.OFF
    found = Bench(lathe).reach(want(pitch, Fraction(4025, 10**7)))
    assert found.verdict is Verdict.IN_TOLERANCE
    assert found.closest is not None
    assert float(found.closest.error) == pytest.approx(402.499e-6, abs=1e-9)


# -------------------------------------------------------------- verdict order

LEVEL = Banjo(axis_distance=45.0, slots=(Slot(10.0, 90.0),), gap=0.5)


def on_arm(axis: float, *gears: int) -> Lathe:
    return Lathe("arm", mm(2), MAKING, chest(*gears), banjo=replace(LEVEL, axis_distance=axis))


def test_exact_comes_before_in_tolerance() -> None:
    lathe = replace(SIMPLE, chest=chest(40, 41, 50))
    found = Bench(lathe).reach(want(mm("1.6"), Fraction(5, 100)))
    assert found.verdict is Verdict.EXACT
    assert [a.verdict for a in found.trains] == [Verdict.EXACT, Verdict.IN_TOLERANCE]


def test_does_not_fit_comes_before_off() -> None:
    """45 mm takes 40-50 in direct mesh. 39/50 x 2 = 1.56 mm is exact at 44.5 mm and no
    idler is at hand; 1.6 mm fits and is 2.6 % off."""
    lathe = on_arm(45.0, 39, 40, 50)
    lathe = replace(lathe, banjo=replace(LEVEL, slots=(Slot(10.0, 10.1),)))
    found = Bench(lathe).reach(want(mm("1.56")))
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert found.misfit is not None
    assert found.misfit.train.ratio == Fraction(39, 50)
    assert found.closest is not None
    assert teeth(found.closest.train) == (40, 50)
    assert found.closest.verdict is Verdict.OFF
    assert Bench(lathe).reach(want(mm("1.56"), Fraction(3, 100))).verdict is Verdict.IN_TOLERANCE


def test_no_train_when_nothing_comes_within_five_per_cent() -> None:
    found = Bench(on_arm(45.0, 40, 50)).reach(want(mm(7)))
    assert (found.verdict, found.closest, found.trains) == (Verdict.NO_TRAIN, None, ())


def test_ties_go_to_fewer_gears_and_smaller_numbers() -> None:
    """20/40 and 30/60 at no error, nothing known of their teeth: equals but for the numbers;
    the compound trains come after both."""
    lathe = Lathe("ties", mm(2), MAKING, chest(20, 30, 40, 60))
    found = Bench(lathe).reach(want(mm(1)), most=None)
    assert [teeth(a.train) for a in found.trains][:2] == [(20, 40), (30, 60)]
    assert all(len(a.train.gears) > 2 for a in found.trains[2:])
    assert found.easiest is not None
    assert teeth(found.easiest.train) == (30, 60)  # 2000/60 N, not 2000/40


def test_of_equals_the_one_nearest_to_the_usual_train() -> None:
    """30/60 hangs on the lathe: it stays; so does the 30 where the 60 is not needed."""
    usual = Train(LAYOUTS[0], (MAKING.gear(30),), (MAKING.gear(60),), ((),))
    lathe = Lathe("ties", mm(2), MAKING, chest(20, 30, 40, 60, 45), usual_train=usual)
    found = Bench(lathe).reach(want(mm(1)))
    assert found.best is not None
    assert teeth(found.best.train) == (30, 60)
    found = Bench(lathe).reach(want(mm(Fraction(4, 3))))
    assert found.best is not None
    assert teeth(found.best.train) == (30, 45)  # not 40/60: each keeps one gear, smaller numbers


def test_a_gearbox_is_not_overdriven_without_need() -> None:
    """1:1 by 40/40 and box 1, or 4:1 into box 1/4: the same pitch and number of gears."""
    boxes = (("A", Fraction(1, 4)), ("B", Fraction(1)))
    lathe = Lathe("box", mm(2), MAKING, chest(20, 40, 40, 80), gearbox=boxes)
    found = Bench(lathe).reach(want(mm(2)))
    assert found.best is not None
    assert (teeth(found.best.train), found.best.train.setting.gearbox) == ((40, 40), "B")
    both = [teeth(a.train) for a in found.trains if len(a.train.gears) == 2]
    assert both == [(40, 40), (80, 20)]


def test_an_exact_train_is_taken_before_one_a_little_lighter() -> None:
    """80/(45)/20 on a 2 mm screw cuts 8 mm exactly; driven from the screw's end."""
    arm = Banjo(90.0, (Slot(5.0, 120.0),), gap=0.5)
    lathe = Lathe("coarse", mm(2), MAKING, chest(20, 20, 30, 35, 40, 45, 50, 55, 60, 65, 80),
                  banjo=arm, strength=STRENGTH)  # fmt: skip
    found = Bench(lathe).reach(want(mm(8), Fraction(1, 100)))
    assert found.best is not None
    assert found.verdict is Verdict.EXACT
    assert found.best.merit.demerits == 0
    assert found.best.merit.driven_from is Drive.SCREW
    assert found.easiest is not None
    assert found.easiest.train.tooth_load <= found.best.train.tooth_load


def test_a_soft_idler_that_is_overloaded_is_not_taken_for_a_sound_one() -> None:
    """Both idlers tie in newtons; nylon teeth bent both ways carry more than they bear."""
    arm = Banjo(75.0, (Slot(5.0, 120.0),), gap=0.5)
    nylon = replace(MAKING.gear(20), material="nylon")
    lathe = Lathe("mixed", mm(2), MAKING, chest(40, 80, nylon, 24), banjo=arm, strength=STRENGTH,
                  policy=Policy(screw_torque=2.0))  # fmt: skip
    found = Bench(lathe).reach(want(mm(1)), most=None)
    first, second = found.trains[:2]
    assert teeth(first.train) == (40, 24, 80)
    assert teeth(second.train) == (40, 20, 80)
    assert not first.merit.overloaded
    assert second.merit.overloaded
    assert first.train.tooth_load == second.train.tooth_load


def test_ties_go_by_all_numbers_before_kinds() -> None:
    """Two kinds of 16s, one of which never stands alone on a stud: the numbers are compared
    as far as the idler before either kind is preferred."""
    kept = replace(MAKING.gear(16), places=frozenset(Place) - {Place.IDLER})
    arm = replace(LEVEL, axis_distance=50.0)
    lathe = Lathe("twins", mm(2), MAKING, chest(16, kept, 30, 31, 32), banjo=arm)
    found = Bench(lathe).reach(want(mm(1)), most=None)
    assert [teeth(a.train) for a in found.trains] == [(16, 30, 32)] * 2 + [(16, 31, 32)] * 2
    assert [a.train.drivers[0] == kept for a in found.trains] == [False, True] * 2


def test_ties_in_all_gears_go_to_the_slower_first_driver_and_then_by_the_boxs_name() -> None:
    """20/40 cuts 1 mm with the first driver at 1 into a box of 1, and at 1/2 into one of 2."""
    lathe = Lathe("levers", mm(2), MAKING, chest(20, 40),
                  first_driver_turns=(Fraction(1), Fraction(1, 2)),
                  gearbox=(("C", Fraction(2)), ("B", Fraction(1)), ("A", Fraction(1))))  # fmt: skip
    found = Bench(lathe).reach(want(mm(1)), most=None)
    assert [teeth(a.train) for a in found.trains] == [(20, 40)] * 3
    settings = [(a.train.setting.first_driver_turns, a.train.setting.gearbox) for a in found.trains]
    assert settings == [(Fraction(1, 2), "C"), (1, "A"), (1, "B")]


def test_an_idler_bridges_the_first_stage_where_all_else_is_equal() -> None:
    arm = Banjo(80.0, (Slot(5.0, 150.0),), gap=0.5, studs=2)
    lathe = Lathe("bridged", mm(2), MAKING, chest(20, 40, 24, 36, 30), banjo=arm,
                  right_hand_meshes=1)  # fmt: skip
    found = Bench(lathe).reach(want(mm(Fraction(2, 3))), most=None)
    layouts: dict[object, list[tuple[int, ...]]] = defaultdict(list)
    for train in (a.train for a in found.trains if len(a.train.gears) == 5):
        layouts[train.drivers, train.driven].append(train.layout.idlers)
    assert [(1, 0), (0, 1)] in layouts.values()


def test_an_error_too_small_for_floats_is_still_an_error() -> None:
    """Position B is off by 3 in 10^17; its numbers are too large for whole numbers of 64 bits."""
    boxes = (("A", Fraction(1)), ("B", Fraction(10**17 + 3, 10**17)))
    lathe = Lathe("fine", mm(2), MAKING, chest(20, 40), gearbox=boxes)
    strict = Bench(lathe).reach(want(mm(1)), most=None)
    assert [(a.train.setting.gearbox, a.verdict) for a in strict.trains] == [("A", Verdict.EXACT)]
    found = Bench(lathe).reach(want(mm(1), Fraction(1, 10**6)), most=None)
    verdicts = {a.train.setting.gearbox: (a.verdict, a.error) for a in found.trains}
    assert verdicts == {
        "A": (Verdict.EXACT, 0), "B": (Verdict.IN_TOLERANCE, Fraction(3, 10**17)),
    }  # fmt: skip


def test_twenty_trains_are_listed_unless_more_are_asked_for() -> None:
    """Of thirty gears, each with its double: thirty ways to cut 1 mm by two gears alone."""
    lathe = Lathe("much", mm(2), MAKING, chest(*range(20, 50), *range(40, 100, 2)))
    wanted = want(mm(1))
    every = Bench(lathe).reach(wanted, most=None).trains
    assert len(every) >= 30
    assert Bench(lathe).reach(wanted).trains == every[:20]
    assert reach(lathe, wanted).trains == every[:20]
    off = want(mm(Fraction(1001, 1000)))
    assert len(Bench(lathe).reach(off).trains) == 20
    one = Lathe("few", mm(2), MAKING, chest(20))
    offered = [(MAKING.gear(z), 1) for z in range(40, 80)]
    within = want(mm("0.5"), Fraction(1, 4))  # 20 on anything from 64 to 79, and more
    assert len(reach(one, wanted, offered).additions) == 1
    assert 1 < len(reach(one, within, offered).additions) <= 20


def test_a_hand_that_no_layout_cuts_is_not_cut() -> None:
    """One mesh cuts right-hand threads and no idler goes between: a left-hand one takes two."""
    arm = Banjo(30.0, (Slot(5.0, 6.0),), gap=0.5)
    lathe = Lathe("one hand", mm(2), MAKING, chest(20, 40), banjo=arm, right_hand_meshes=1)
    assert Bench(lathe).settle(want(mm(1))).verdict is Verdict.EXACT
    left = Bench(lathe).settle(want(mm(1), left=True))
    assert not left.verdict.covered


# ------------------------------------------------------------ what sits where


def test_two_gears_of_a_count_are_needed_for_a_train_of_two() -> None:
    """40/80 x 20/40 needs two 40s, by the shop rule 40 + 80 >= 35 and 20 + 40 < 95: so 20/40
    first."""
    pitch = want(mm(Fraction(1, 2)))
    once = Lathe("one", mm(2), MAKING, chest(20, 40, 80))
    found = Bench(once).reach(pitch, most=None)
    assert listed(found.trains) == {(20, 80)}
    twice = replace(once, chest=chest(20, 40, 40, 80))
    assert (40, 40) not in listed(Bench(twice).reach(pitch, most=None).trains)
    assert Bench(once).reach(want(mm(2)), most=None).verdict is Verdict.NO_TRAIN
    assert listed(Bench(twice).reach(want(mm(2)), most=None).trains) >= {(40, 40)}


@pytest.mark.parametrize("place", list(Place))
def test_a_gear_sits_only_where_it_may(place: Place) -> None:
    """A 60 for one place alone, on an arm that would take it anywhere."""
    arm = Banjo(axis_distance=60.0, slots=(Slot(5.0, 120.0),), gap=0.0)
    only = replace(MAKING.gear(60), places=frozenset({place}))
    lathe = Lathe("only", mm(2), MAKING, chest(20, 30, 40, 45, only), banjo=arm)
    used = set()
    for train in oracle.trains(lathe):
        if only in train.gears:
            found = Bench(lathe).reach(want(mm(2 * oracle.ratio(train))), most=None)
            for answer in found.trains:
                used |= {seat.place for seat, gear in answer.train.seated if gear == only}
    assert used == {place}


def test_a_pinned_pair_goes_as_a_pair_either_way_round() -> None:
    one, other = (replace(MAKING.gear(z), unit="120/127") for z in (120, 127))
    lathe = Lathe(
        "pinned",
        tpi(8),
        MAKING,
        Chest(loose(40, 60, 80, 100), (PinnedPair(one, other),)),
    )
    trains = [
        answer.train
        for train in oracle.trains(lathe)
        for answer in Bench(lathe).reach(want(mm(oracle.ratio(train) * Fraction(127, 40)))).trains
    ]
    pinned = [train for train in trains if {one, other} & set(train.gears)]
    assert pinned
    assert {(t.driven[0], t.drivers[1]) for t in pinned} == {(one, other), (other, one)}


def test_a_fixed_first_driver_is_the_first_of_every_train() -> None:
    lathe = Lathe("fixed", mm(2), MAKING, chest(20, 40, 50), fixed_first_driver=MAKING.gear(40))
    assert listed(Bench(lathe).reach(want(mm("1.6"))).trains) == {(40, 50)}
    # The one 40 there is sits on the first shaft: 50/40 can't be had.
    assert Bench(lathe).reach(want(mm("2.5"))).verdict is Verdict.NO_TRAIN
    # One that the list of owned gears does not hold is there all the same.
    other = replace(lathe, fixed_first_driver=MAKING.gear(30))
    assert listed(Bench(other).reach(want(mm("1.2"))).trains) == {(30, 50)}


def test_the_hand_decides_the_layouts_where_nothing_reverses() -> None:
    """A direct mesh turns the hand over once; with an idler or a compound pair twice."""
    lathe = Lathe(
        "no lever",
        mm(2),
        MAKING,
        chest(40, 30, 50),
        right_hand_meshes=0,
        banjo=replace(LEVEL, axis_distance=60.0),
    )
    right = Bench(lathe).reach(want(mm("1.6")), most=None)
    assert listed(right.trains) == {(40, 30, 50)}
    assert Bench(lathe).reach(want(mm("1.6"), left=True)).verdict is Verdict.DOES_NOT_FIT
    close = replace(lathe, banjo=LEVEL)
    left = Bench(close).reach(want(mm("1.6"), left=True), most=None)
    assert listed(left.trains) == {(40, 50)}
    swapped = replace(close, right_hand_meshes=1)
    assert listed(Bench(swapped).reach(want(mm("1.6")), most=None).trains) == {(40, 50)}


def test_gears_of_another_pressure_angle_do_not_mesh() -> None:
    old = replace(MAKING.gear(50), pressure_angle=Fraction(29, 2))
    lathe = Lathe("mixed", mm(2), MAKING, chest(40, old))
    assert Bench(lathe).reach(want(mm("1.6"))).verdict is Verdict.NO_TRAIN


def test_a_multiple_start_thread_is_geared_for_its_lead() -> None:
    lathe = replace(SIMPLE, leadscrew=mm(6))
    found = Bench(lathe).reach(want(Pitch(Fraction(8, 5), starts=3)))
    assert found.verdict is Verdict.EXACT
    assert listed(found.trains) == {(40, 50)}
