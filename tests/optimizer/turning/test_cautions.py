"""Which cautions a sheet carries: each on a job that calls for it, and not just short of that."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.catalogs.materials import screw_materials
from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Bed, GearMaking, Lathe, Nose
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Travel, Use, Want
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.turning.pressing import Load
from gearchest.optimizer.turning.screw_force import NutMaterial, ScrewMaterial
from gearchest.optimizer.turning.setup import Setup, Wishes, setup
from gearchest.optimizer.turning.strut import Ends

MAKING = GearMaking(Fraction(4, 5))
LATHE = Lathe(
    "bench", mm(2), MAKING, Chest(tuple((MAKING.gear(z), 1) for z in (20, 30, 40, 60, 65)))
)
STEEL = ScrewMaterial("steel", False, 250.0, 140.0, 3.0, 0.15, "", modulus=200_000.0)
"""Frictions of 0.1 to 0.2 to be reckoned with."""


def job(size: str, *, inside: bool = False, starts: int = 1, **wishes: object) -> Setup:
    """A thread by its size, whatever gears come nearest."""
    thread = find_size(size)
    pitch = replace(thread.pitch, starts=starts)
    want = Want(size, pitch, Allowance(Fraction(1, 2)), thread=thread, inside=inside)
    return setup(LATHE, want, reach(LATHE, want), Wishes(**wishes))  # type: ignore[arg-type]


def said(found: Setup, topic: str) -> str:
    """What a sheet says of this; "" where it has no such caution."""
    return " / ".join(caution.text for caution in found.cautions if caution.topic == topic)


def test_a_bore_that_no_bar_passes_is_tapped() -> None:
    """M4: 3.24 mm of bore, less the depth and room."""
    assert "tap" in said(job("M4", inside=True), "Small bore")
    assert not said(job("M20", inside=True), "Small bore")


def test_a_bar_stands_out_four_times_its_thickness_and_no_farther() -> None:
    """M20: a bar of 14.55 mm, which may stand out 58.2 mm; the run-out counts."""
    within = job("M20", inside=True, length=53.0, run_out=5.0)
    beyond = job("M20", inside=True, length=68.0, run_out=5.0)
    assert not said(within, "Long bar")
    assert "stands out 5 times" in said(beyond, "Long bar")
    assert said(within, "Inside")
    assert not said(job("M20", length=68.0, run_out=5.0), "Inside")


def test_a_bar_that_stands_out_just_as_far_as_it_may_is_not_told() -> None:
    """Thread and run-out together; where no length is asked nothing is said of one."""
    bar = job("M20", inside=True).shaping.boring
    assert bar is not None
    assert bar.overhang is not None
    assert not said(job("M20", inside=True, length=bar.overhang, run_out=0.0), "Long bar")
    assert said(job("M20", inside=True, length=bar.overhang, run_out=0.1), "Long bar")
    assert not said(job("M20", inside=True, run_out=bar.overhang + 9), "Long bar")


def wooden(pitch: str, **more: object) -> Setup:
    want = Want("w", mm(pitch), Allowance(Fraction(1, 2)), use=Use.WOOD, mating=True, **more)  # type: ignore[arg-type]
    return setup(LATHE, want, reach(LATHE, want), Wishes())


def test_a_wooden_mate_is_asked_for_its_play_and_told_what_the_train_uses_up() -> None:
    """60 mm in the middle of whose thread there are 2 % of play, 1.2 mm; 4 mm are cut without
    error. 9.1 mm come out 0.1 mm short or so: over the length of the nut, and half as much over
    half of it, a radius less for each tangent of half the flanks' angle."""
    exact = said(wooden("4", diameter=Fraction(60)), "Must match")
    assert exact.startswith("its mate should have 1.2 mm of play on the diameter: rock the old one")
    off = wooden("9.1", diameter=Fraction(60))
    assert off.answer is not None
    error = abs(float(off.answer.error))
    assert error > 1e-3
    for engaged, length in ((None, 60.0), (Fraction(30), 30.0)):
        text = said(wooden("9.1", diameter=Fraction(60), engaged=engaged), "Must match")
        lost = error * length / math.tan(math.radians(45))
        assert f"this train uses up {lost:.2g} mm of it over {length:.3g} mm" in text
    fine = wooden("3.1", diameter=Fraction(60))
    assert fine.answer is not None
    lost = abs(float(fine.answer.error)) * 60 / (2 * math.tan(math.radians(30)))
    assert lost


def test_without_a_diameter_no_play_is_told() -> None:
    assert not said(wooden("4"), "Must match")
    assert not said(job("M10"), "Must match")


def test_a_pitch_that_is_nearly_a_multiple_is_a_trap_that_is_told() -> None:
    """4 mm on a screw of 2 mm drops in every 4 mm; 63/31 turns miss by 0.065 mm: two leads of
    4.0645 mm would."""
    making = MAKING
    machine = replace(
        LATHE, chest=Chest(tuple((making.gear(z), 1) for z in (63, 31))), bed=Bed(200.0)
    )
    want = Want("4 mm", mm(4), Allowance(Fraction(1, 10)))
    text = said(setup(machine, want, reach(machine, want), Wishes()), "Nearly a multiple")
    assert text == (
        "a true 4 mm would drop in every 4 mm; this train misses by 0.065 mm each time: do as told "
        "at the half-nuts."
    )


def test_a_tip_rounder_than_the_root_fouls_the_crest() -> None:
    """M10: the basic root, H/4 wide below 5/8 H, takes a radius of up to H/4 = 0.325 mm."""
    assert said(job("M10", tip=Tip(radius=0.4)), "Blunt tip")
    assert not said(job("M10", tip=Tip(radius=0.3)), "Blunt tip")


def test_a_lead_error_beyond_the_tolerance_is_told_with_the_length_it_leaves() -> None:
    """2.5 mm is far off with these gears, 1.5 mm is cut without error."""
    off = job("M20", inside=True)
    assert off.answer is not None
    target = off.shaping.gauging.target if off.shaping.gauging else None
    assert target is not None
    assert target.pitch_diameter is None
    assert f"over {target.engaged:.3g} mm" in said(off, "Will not go together")
    assert f"over {target.longest:.2g} mm at most" in said(off, "Will not go together")
    assert off.answer.error != 0
    assert not said(job("M10"), "Will not go together")
    assert job("M10").answer.error == 0  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("load", "free", "says"),
    [
        (10_000.0, 780.0, "too near"),  # Euler: 9193 N buckle 15.5 mm of core
        (3_100.0, 780.0, "too near"),  # 2.97 times over, 3 asked for
        (3_000.0, 780.0, "slenderer than 200"),  # 3.06 times
        (3_000.0, 770.0, ""),  # slenderness 198.7
    ],
)
def test_a_screw_pressed_endwise_buckles(load: float, free: float, says: str) -> None:
    pressed = Load(axial=load, free=free, ends=Ends.PINNED)
    text = said(job("Tr20x4", load=pressed, material=STEEL), "Buckles")
    assert says in text
    assert bool(says) == bool(text)


@pytest.mark.parametrize(
    ("starts", "back", "perhaps"),
    [(1, False, False), (2, False, True), (4, True, False)],
)
def test_a_steep_screw_runs_back(starts: int, back: bool, perhaps: bool) -> None:
    """Tr20x4, 18 mm in the middle: a lead of 4 mm holds from a friction of 0.068 on, 8 mm from
    0.137, 16 mm from 0.273."""
    found = job("Tr20x4", starts=starts, load=Load(axial=100.0), material=STEEL)
    assert bool(said(found, "Runs back")) == back
    assert bool(said(found, "May run back")) == perhaps


def test_a_pipe_thread_that_tapers_is_told_as_tapered_alone() -> None:
    taper, parallel = job("1/2 NPT"), job("G 1/2")
    assert "1:16 on the diameter" in said(taper, "Taper")
    assert not said(taper, "Pipe thread")
    assert "sealing face" in said(parallel, "Pipe thread")
    assert not said(parallel, "Taper")
    assert not said(job("M10"), "Pipe thread")


@pytest.mark.parametrize(("length", "slender"), [(81.5, False), (81.7, True)])
def test_ten_times_its_core_is_slender(length: float, slender: bool) -> None:
    """M10: 8.160 mm of core (ISO 724, root radius H/6)."""
    assert bool(said(job("M10", length=length), "Slender")) == slender
    assert not said(job("M10", inside=True, length=length), "Slender")


@pytest.mark.parametrize("inside", [False, True])
def test_wood_is_chosen_by_what_is_cut_in_it(inside: bool) -> None:
    """A screw's threads lie along the grain's fibres, a nut's across."""
    want = Want("w", mm(6), Allowance(Fraction(1)), use=Use.WOOD, diameter=Fraction(40),
                inside=inside)  # fmt: skip
    text = said(setup(LATHE, want, reach(LATHE, want), Wishes()), "Wood")
    assert ("the hole square to the grain" in text) == inside
    assert ("along the axis" in text) != inside


@pytest.mark.parametrize(
    ("inside", "left", "words"),
    [(False, True, "groove at the headstock's end"), (True, True, "the bottom of the bore"),
     (False, False, "")],
)  # fmt: skip
def test_a_left_hand_thread_begins_where_a_right_hand_one_ends(
    inside: bool, left: bool, words: str
) -> None:
    thread = find_size("M20")
    want = Want("w", thread.pitch, Allowance(Fraction(1)), thread=thread, inside=inside, left=left)
    text = said(setup(LATHE, want, reach(LATHE, want), Wishes()), "Left hand")
    assert words in text
    assert bool(text) == left


@pytest.mark.parametrize(
    ("nose", "words"),
    [(None, "a chuck that is screwed on can come off"), (Nose.SCREWED, "the screwed-on chuck can"),
     (Nose.FIXED, "")],
)  # fmt: skip
def test_a_chuck_that_is_screwed_on_comes_off_in_reverse(nose: Nose | None, words: str) -> None:
    """Where the half-nuts stay closed: 1.75 mm on a screw of 2 mm, no dial, no travel known."""
    lathe = replace(LATHE, spindle_nose=nose)
    thread = find_size("M12")
    want = Want("M12", thread.pitch, Allowance(Fraction(1, 2)), thread=thread)
    text = said(setup(lathe, want, reach(lathe, want), Wishes()), "Reversing")
    assert words in text
    assert bool(text) == (nose is not Nose.FIXED)


def train_of(
    teeth: tuple[int, ...], wanted: Want, machine: Lathe = LATHE, **wishes: object
) -> Setup:
    """A job on a lathe that has these gears alone."""
    chest = Chest(tuple((MAKING.gear(z), 1) for z in teeth))
    machine = replace(machine, chest=chest)
    return setup(machine, wanted, reach(machine, wanted), Wishes(**wishes))  # type: ignore[arg-type]


def test_what_no_train_can_be_is_told_by_why() -> None:
    """41/20 for 2: 2.5 % off. A leadscrew that errs more than is allowed leaves less than nothing;
    one that leaves nothing leaves the train without error."""
    for relative, words in (
        (Fraction(1, 10), ""), (Fraction(1, 100), "the nearest that fits"),
        (Fraction(0), "the nearest that fits"), (Fraction(-1, 100), "the leadscrew alone errs"),
    ):  # fmt: skip
        text = said(train_of((20, 41), Want("w", mm(4), Allowance(relative))), "Off")
        assert words in text
        assert bool(words) == bool(text)


def test_what_the_slowest_speed_is_too_fast_for_is_said() -> None:
    """At 1 mm a turn 60 rpm run on 1 mm in a second of stopping; 10 m/min on 20 mm are 159 rpm."""
    steel = screw_materials()["mild steel"]
    for rpm, run_out, words in (
        (300, 3.0, "carriage runs on further"), (170, 3.0, "burns the edge"), (150, 3.0, ""),
        (150, 2.0, "carriage runs on further"),
    ):  # fmt: skip
        machine = replace(LATHE, lowest_rpm=rpm)
        wanted = Want("w", mm(1), Allowance(Fraction(1, 100)), diameter=Fraction(20))
        text = said(train_of((20, 40), wanted, machine, run_out=run_out, material=steel),
                    "Too fast for power")  # fmt: skip
        assert words in text
        assert bool(words) == bool(text)


def test_a_nut_is_crushed_only_by_more_than_it_bears() -> None:
    pressed = job("Tr20x4", load=Load(axial=1000.0), material=STEEL).pressing
    assert pressed is not None
    for most, crushed in ((1.001, False), (0.999, True)):
        soft = NutMaterial("soft", 0.0, pressed.pressure * most, "")
        found = job("Tr20x4", load=Load(axial=1000.0, nut_material=soft), material=STEEL)
        assert bool(said(found, "Nut")) == crushed
    assert not said(job("Tr20x4", load=Load(axial=1000.0), material=STEEL), "Nut")


def test_cautions_are_a_word_or_two_and_a_sentence_the_gravest_first() -> None:
    wood = Want("w", mm(9), Allowance(Fraction(1)), use=Use.WOOD, diameter=Fraction(50), left=True)
    nut = replace(wood, inside=True)
    soft = NutMaterial("soft", 0.0, 0.001, "")
    steep = {"load": Load(axial=9000.0, free=900.0, nut_material=soft), "material": STEEL}
    feed = Want("w", mm(2), Allowance(Fraction(1, 99), travel=Travel(Fraction(1, 99))))
    found = [
        job("M20", inside=True, length=68.0, tip=Tip(radius=1.0)), job("1/2 NPT"), job("G 1/2"),
        job("M10", length=300.0), job("Tr20x4", starts=4, **steep), job("9/16-20 BSC"),
        job("Tr20x4", starts=2, **steep), wooden("9.1", diameter=Fraction(60)),
        wooden("4", diameter=Fraction(60)), train_of((20, 41), replace(feed, pitch=mm(4))),
        *(train_of((20, 60, 30, 65), each) for each in (wood, nut, feed)),
        train_of((63, 31), Want("w", mm(4), Allowance(Fraction(1, 10))),
                 replace(LATHE, bed=Bed(200.0))),
    ]  # fmt: skip
    order = [
        "Off", "Leadscrew", "Fit unchecked", "One of a pair", "Must match", "Blunt tip",
        "Will not go together", "Screw drives", "By hand", "Coarse pitch", "Nearly a multiple",
        "Reversing", "Taper", "Pipe thread", "Long bar", "Inside", "Slender", "Left hand", "Wood",
        "Powered cutter", "Weak", "Buckles", "Nut", "Runs back", "May run back", "Load",
        "Cover off",
    ]  # fmt: skip
    topics = [[caution.topic for caution in each.cautions] for each in found]
    assert {topic for each in topics for topic in each} == set(order)
    for each in topics:
        assert each == sorted(each, key=order.index)
        assert each[-1] == "Cover off"
    for caution in (caution for each in found for caution in each.cautions):
        assert caution.text[-1] == "."
        assert " " in caution.text
        assert str(caution) == f"{caution.topic}: {caution.text}"


def test_a_spindle_that_is_not_reversed_keeps_its_chuck() -> None:
    """M6: 1 mm falls into a screw of 2 mm anywhere, so the carriage is wound back; M12 by hand."""
    assert said(job("M12"), "Reversing")
    assert not said(job("M6"), "Reversing")
    thread = find_size("M12")
    wanted = Want("M12", thread.pitch, Allowance(Fraction(1, 2)), thread=thread)
    by_hand = replace(LATHE, lowest_rpm=2000.0)
    found = setup(by_hand, wanted, reach(by_hand, wanted), Wishes())
    assert said(found, "By hand")
    assert not said(found, "Reversing")
