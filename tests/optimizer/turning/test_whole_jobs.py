"""Whole jobs by their numbers: how many passes, how fast, how the crank turns, what is told."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.catalogs.materials import screw_materials
from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Banjo, Bed, Drive, GearMaking, Lathe, Policy, Slot
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.screw_turns import Effort
from gearchest.optimizer.domain.want import Allowance, Use, Want
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.turning.half_nuts import How
from gearchest.optimizer.turning.setup import Setup, Wishes, setup
from gearchest.optimizer.turning.way import largest_cut, usual_run_out, usual_way
from gearchest.optimizer.turning.working import TurnedBy

MAKING = GearMaking(Fraction(1), face_width=Fraction(8))


def lathe(*teeth: int, **more: object) -> Lathe:
    """A screw of 2 mm, no arm measured, two of each gear."""
    chest = Chest(tuple((MAKING.gear(z), 2) for z in teeth))
    return Lathe("a lathe", mm(2), MAKING, chest, **more)  # type: ignore[arg-type]


def made(machine: Lathe, wanted: Want, **wishes: object) -> Setup:
    return setup(machine, wanted, reach(machine, wanted), Wishes(**wishes))  # type: ignore[arg-type]


def plain(pitch: Pitch, diameter: str | None = "20", **more: object) -> Want:
    return Want(
        "w", pitch, Allowance(Fraction(1, 1000)), diameter=diameter and Fraction(diameter), **more
    )  # type: ignore[arg-type]


def starts_of(pitch: str, starts: int) -> Pitch:
    return replace(mm(pitch), starts=starts)


@pytest.mark.parametrize(
    ("starts", "travel", "settings"), [(1, 100.0, 1), (2, 100.0, 1), (2, 60.0, 2), (3, 50.0, 2)]
)
def test_every_pass_of_every_start_in_every_setting_is_cranked(
    starts: int, travel: float, settings: int
) -> None:
    """A lathe that runs no slower than 400 rpm, so the spindle is turned by hand: 70 mm of thread,
    three pitches and 1 mm are a pass, or as much as the carriage travels."""
    machine = lathe(20, 40, 60, lowest_rpm=400, bed=Bed(travel))
    found = made(machine, plain(starts_of("1", starts)), length=70.0, run_out=1.0)
    assert found.working.turned is TurnedBy.HAND
    assert found.infeed is not None
    assert found.crank is not None
    assert found.bed.settings == settings
    assert found.crank.passes == len(found.infeed.depths) * starts * settings
    assert found.crank.end is Drive.SPINDLE
    assert found.crank.advance == starts
    assert found.crank.run == min(74.0, travel)
    assert found.crank.a_pass == pytest.approx(min(74.0, travel) / starts)
    assert found.crank.job == found.crank.a_pass * found.crank.passes * (2 if starts == 3 else 1)


def test_the_crank_winds_the_carriage_back_only_where_the_half_nuts_stay_closed() -> None:
    """1 mm on a screw of 2 mm falls in anywhere; of 3/2 mm it does so every 6 mm, which takes a
    carriage whose travel is known."""
    for pitch, travel, back in (("1", None, False), ("1.5", 100.0, False), ("1.5", None, True)):
        machine = lathe(20, 40, 30, 60, lowest_rpm=400, bed=Bed(travel))
        found = made(machine, plain(mm(pitch)), run_out=1.0)
        assert found.half_nuts is not None
        assert found.crank is not None
        assert (found.half_nuts.how is How.CLOSED) == back
        assert found.crank.back == back


def test_starts_that_the_first_driver_indexes_leave_the_slide_to_the_flank() -> None:
    """Two starts: 40 teeth go on by 20, and the slide stands at 29.5 degrees; 35 do not, so the
    slide passes from start to start and the tool goes straight in. One start needs neither."""
    for teeth, count, indexed, angle in (
        ((40, 80), 2, 20, 29.5), ((35, 70), 2, None, None), ((40, 80), 1, None, 29.5),
    ):  # fmt: skip
        found = made(lathe(*teeth), plain(starts_of(f"{1 / count}", count)))
        assert found.answer is not None
        assert found.answer.error == 0
        assert found.infeed is not None
        assert found.infeed.slide_angle == (angle and pytest.approx(angle))
        if count == 1:
            assert found.starts is None
            continue
        assert found.starts is not None
        assert (found.starts.starts, found.starts.teeth, found.starts.pitch) == (2, indexed, 0.5)


def test_a_slide_that_moves_the_tool_along_is_not_swung() -> None:
    """90 mm on 60 mm of travel: a second setting 36 mm on, by a slide of 50 mm but not of 30."""
    for travel, angle in ((50.0, None), (30.0, 29.5)):
        machine = lathe(20, 40, bed=Bed(60.0, None, travel))
        found = made(machine, plain(mm(1)), length=90.0, run_out=2.0)
        assert (found.bed.settings, found.bed.shift, found.bed.slide) == (2, 35.0, travel)
        assert found.infeed is not None
        assert found.infeed.slide_angle == (angle and pytest.approx(angle))


@pytest.mark.parametrize(
    ("named", "carbide", "own", "metres"),
    [
        ("mild steel", False, None, 10.0), ("mild steel", True, None, 30.0),
        ("mild steel", True, 7.0, 7.0), (None, True, None, None), (None, False, 7.0, 7.0),
        ("beech", True, None, None),
    ],
)  # fmt: skip
def test_the_tool_is_as_fast_as_the_lathe_file_says_else_as_it_and_the_work_bear(
    named: str | None, carbide: bool, own: float | None, metres: float | None
) -> None:
    """Carbide three times as fast as high speed steel; on the 20 mm that are turned, less what the
    limits take off them."""
    machine = lathe(20, 40, policy=Policy(cutting_speed=own))
    material = None if named is None else screw_materials()[named]
    found = made(machine, plain(mm(1)), material=material, carbide=carbide)
    assert found.speed.cutting_speed == metres
    assert found.shaping.cut is not None
    blank = found.shaping.cut.blank
    assert blank == pytest.approx(20, abs=0.2)
    assert found.speed.cutting == (metres and pytest.approx(1000 * metres / (math.pi * blank)))


@pytest.mark.parametrize("inside", [False, True])
def test_the_tool_is_fastest_at_the_surface_outside_and_at_the_roots_inside(inside: bool) -> None:
    thread = find_size("M20")
    wanted = Want("w", thread.pitch, Allowance(Fraction(1)), thread=thread, inside=inside)
    found = made(lathe(20, 40, 50), wanted)
    cut = found.shaping.cut
    assert cut is not None
    assert cut.blank is not None
    assert largest_cut(cut) == (cut.blank + 2 * cut.depth if inside else cut.blank)
    assert largest_cut(cut) == pytest.approx(20.2 if inside else 19.8, abs=0.25)
    assert largest_cut(None) is None
    assert largest_cut(replace(cut, blank=None)) is None


def test_a_tool_needs_clearance_on_the_finest_screws_too() -> None:
    """M1: 0.693 mm at the bottom of the thread, 0.25 mm a turn: 6.55 degrees there and 4.55 at the
    crests, with four of clearance."""
    thread = find_size("M1")
    wanted = Want("w", thread.pitch, Allowance(Fraction(1)), thread=thread)
    found = made(lathe(20, 40, 80, 160), wanted)
    assert found.answer is not None
    assert found.clearance is not None
    lead = found.lead
    assert found.clearance.leading == pytest.approx(
        4 + math.degrees(math.atan(lead / (math.pi * 0.693))), abs=0.01
    )
    assert found.clearance.trailing == pytest.approx(
        4 - math.degrees(math.atan(lead / math.pi)), abs=0.01
    )


def test_a_feed_is_turned_and_leaves_no_thread() -> None:
    """No passes, no limits, nothing to fall into again, and 5 mm to stop in."""
    wanted = plain(mm("0.1"), use=Use.FEED)
    found = made(lathe(20, 25, 100), wanted, length=40.0)
    assert found.infeed is None
    assert found.shaping.gauging is None
    assert found.shaping.no_limits == "a feed leaves no thread"
    assert found.run_out == usual_run_out(wanted) == 5.0
    assert found.speed.cutting is None
    assert found.half_nuts is not None
    assert found.half_nuts.how is How.ANYWHERE


def test_the_usual_run_out_is_two_pitches_and_five_millimetres_at_most() -> None:
    assert [usual_run_out(plain(mm(pitch))) for pitch in ("0.5", "2.5", "2.6", "9")] == [1, 5, 5, 5]


def test_the_way_of_working_of_a_chart_is_that_of_the_sheet() -> None:
    """12 m/min asked of a lathe that runs no slower than 200 rpm: enough for 19 mm, not for 20."""
    for diameter, turned in (("18", TurnedBy.POWERED), ("21", TurnedBy.HAND)):
        policy = Policy(cutting_speed=12.0, reaction_time=0.1)
        machine = lathe(20, 80, lowest_rpm=200, policy=policy, run_down=0.2)
        wanted = plain(mm("0.5"), diameter)
        way = usual_way(machine, wanted, Fraction(1, 4))
        found = made(machine, wanted)
        assert (way.working.turned, found.working.turned) == (turned, turned)
        assert way.speed.cutting == pytest.approx(found.speed.cutting)
        feed = usual_way(machine, replace(wanted, use=Use.FEED), Fraction(1, 4))
        assert feed.speed.cutting is None


@pytest.mark.parametrize(
    ("pitch", "effort", "words"),
    [
        ("2", Effort.LIGHT, "The spindle drives the screw with ease."),
        ("3", Effort.USUAL, "as far as makers' charts usually go"),
        ("5", Effort.HEAVY, "further than makers' charts usually go"),
        ("8", Effort.CRANK, "far beyond what makers' charts go to"),
    ],
)
def test_what_the_screw_turns_mean_under_power_and_by_hand(
    pitch: str, effort: Effort, words: str
) -> None:
    machine = lathe(20, 30, 40, 50, 80, policy=Policy(drive=Drive.SPINDLE))
    found = made(machine, plain(mm(pitch)))
    assert found.turning is not None
    assert found.turning.effort is effort
    assert found.working.powered
    assert words in found.turning.advice
    by_hand = made(replace(machine, lowest_rpm=2000), plain(mm(pitch)))
    assert by_hand.turning is not None
    assert by_hand.turning.advice.startswith("Turn the spindle by a crank")
    from_screw = made(replace(machine, policy=Policy(drive=Drive.SCREW)), plain(mm(pitch)))
    assert from_screw.turning is not None
    assert from_screw.turning.advice.startswith("Wind the leadscrew at its own end")


def test_a_wooden_nut_is_let_out_at_its_bore_and_its_flanks_alike() -> None:
    """50 mm: 2 % are 1 mm; 20 mm: half a millimetre at least. The groove stays as deep."""
    for diameter, play in (("50", 1.0), ("20", 0.5)):
        wooden = made(lathe(20, 40), plain(mm(4), diameter, use=Use.WOOD, inside=True))
        drawn = made(lathe(20, 40), plain(mm(4), diameter, inside=True), form="wood-60")
        let_out, cut = wooden.shaping.cut, drawn.shaping.cut
        assert let_out is not None
        assert cut is not None
        for one, other in (
            (let_out.blank, cut.blank), (let_out.pitch_diameter, cut.pitch_diameter),
        ):  # fmt: skip
            assert one is not None
            assert other is not None
            assert one - other == pytest.approx(play)
        assert let_out.depth == cut.depth
        assert wooden.shaping.boring is None


@pytest.mark.parametrize(("pitch", "turns"), [("8", 4), ("9", Fraction(9, 2))])
def test_the_hand_on_the_screw_turns_as_often_as_the_pitch_has_screw_pitches(
    pitch: str, turns: Fraction
) -> None:
    """A wooden screw driven from the leadscrew's end: a tenth of a mm a tooth, two teeth at 18,000
    rpm, would be 3.6 m a minute; a hand turns sixty times, so four or more times slower."""
    found = made(lathe(20, 30, 40, 60, 80), plain(mm(pitch), "50", use=Use.WOOD), length=100.0)
    assert found.answer is not None
    assert found.answer.error == 0
    assert found.working.turned is TurnedBy.SCREW
    assert found.milling is not None
    assert found.feed is not None
    path = math.hypot(math.pi * 50, float(pitch))
    assert found.milling.path == pytest.approx(path)
    assert found.feed.rpm == pytest.approx(min(3600 / path, 60 / turns))
    assert found.feed.crank == pytest.approx(found.feed.rpm * turns)
    assert found.feed.surface == pytest.approx(found.feed.rpm * path)
    assert found.feed.tooth == pytest.approx(found.feed.rpm * path / 36_000)
    assert found.crank is not None
    assert (found.crank.end, found.crank.advance) == (Drive.SCREW, 2.0)
    assert found.crank.a_pass == pytest.approx((100 + 3 * float(pitch) + 5) / 2)
    assert found.crank.hand_force == 50
    assert found.clearance is None
    assert found.shaping.boring is None


def test_a_thread_deeper_than_its_diameter_holds_asks_for_no_clearance() -> None:
    """4 mm a turn on 2 mm: nothing is left at its bottom."""
    found = made(lathe(20, 40), plain(mm(4), "2"))
    assert found.sizes.minor is not None
    assert found.sizes.minor < 0
    assert found.clearance is None


def test_what_a_nut_is_taken_long() -> None:
    """As asked, else its diameter; nothing where that is not known."""
    machine = lathe(20, 40)
    assert made(machine, plain(mm(1)), length=7.0).nut == 7
    assert made(machine, plain(mm(1))).nut == 20
    assert made(machine, plain(mm(1), None)).nut == 0


def test_where_the_arm_and_the_stud_stand_is_told_of_an_arm_that_is_measured() -> None:
    """20/30 x 40/50 over one stud: shafts from the screw back, a spacer where a plane is empty."""
    arm = Banjo(60.0, (Slot(20.0, 90.0), Slot(20.0, 90.0, 60.0)))
    for banjo in (arm, None):
        found = made(lathe(20, 30, 40, 50, banjo=banjo), plain(mm(Fraction(16, 15))))
        assert found.answer is not None
        assert found.mounting is not None
        teeth = [
            (shaft.name, [gear and gear.teeth for gear in shaft.planes])
            for shaft in found.mounting.shafts
        ]
        first, second = found.answer.train.drivers, found.answer.train.driven
        assert teeth == [
            ("screw", [None, second[1].teeth]), ("stud", [second[0].teeth, first[1].teeth]),
            ("driver", [first[0].teeth, None]),
        ]  # fmt: skip
        screw, stud, driver = found.mounting.shafts
        assert (screw.slot, screw.position, driver.slot, driver.position) == (None,) * 4
        placement = found.answer.fit.placement
        assert (placement is None) == (banjo is None)
        if placement is None:
            assert (found.mounting.arm_angle, stud.slot, stud.position) == (None,) * 3
        else:
            assert found.mounting.arm_angle == placement.arm_angle
            assert (stud.slot, stud.position) == (
                placement.studs[0].slot, placement.studs[0].position,
            )  # fmt: skip
        assert found.mounting.levers == (
            "Reversing lever: carriage towards the headstock with the spindle forward "
            "(right-hand thread; 2 meshes).",
        )


def test_what_turns_the_gears_loads_them() -> None:
    """20/40 on a screw of 2 mm at 1.5 N m: 75 N on the last gear; half of that torque at the
    spindle, through a mesh of 97 %. By hand at the spindle 2 N m of cutting come on top."""
    found = made(lathe(20, 40), plain(mm(1)))
    assert found.turning is not None
    assert found.turning.screw_turns == Fraction(1, 2)
    assert [mesh.load for mesh in found.turning.meshes] == [pytest.approx(75)]
    assert found.crank is None
    slow = made(lathe(20, 40, lowest_rpm=2000), plain(mm(1)))
    assert slow.turning is not None
    assert slow.crank is not None
    assert slow.crank.torque == pytest.approx(slow.turning.spindle_torque + 2.0)
    assert slow.turning.spindle_torque == pytest.approx(1.5 / 2 / 0.97)
    assert slow.crank.length == pytest.approx(1000 * slow.crank.torque / 50)
    assert made(lathe(20, 40, lowest_rpm=2000), plain(mm(1)), crank_force=25.0).crank == replace(
        slow.crank, hand_force=25.0
    )


def test_threads_without_straight_flanks_are_cut_as_far_as_they_are_known() -> None:
    """A lamp cap has a depth and no angle: no tool leans, no groove is told of a cutter. Of a
    bottle's neck nothing but the diameter is known."""
    lamp = find_size("E27 lamp")
    wanted = Want("w", lamp.pitch, Allowance(Fraction(1)), thread=lamp)
    found = made(lathe(20, 40, 60, policy=Policy(drive=Drive.SCREW)), wanted)
    assert found.milling is not None
    assert (found.milling.across, found.milling.untilted, found.milling.widened) == (None,) * 3
    assert found.milling.path == pytest.approx(
        math.hypot(math.pi * float(lamp.major_mm or 0), found.lead)
    )
    assert found.infeed is not None
    assert (found.infeed.slide_angle, found.infeed.rotating) == (None, True)
    bottle = find_size("28-400 bottle")
    wanted = Want("w", bottle.pitch, Allowance(Fraction(1)), thread=bottle)
    neck = made(lathe(20, 40, 60), wanted)
    assert neck.sizes.major is not None
    assert (neck.clearance, neck.infeed, neck.sizes.minor) == (None, None, None)
