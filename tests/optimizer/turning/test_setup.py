"""Whole setups: what is chosen, what is said, and what is not claimed."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Bed, Drive, GearMaking, Lathe, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.material import GearMaterial, ToothStrength
from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.optimizer.domain.screw_turns import Effort
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Use, Want
from gearchest.optimizer.search.answers import answer as judged
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.search.result import Answer, Reach, Verdict
from gearchest.optimizer.turning.driving import turning
from gearchest.optimizer.turning.mounting import mounting
from gearchest.optimizer.turning.pressing import Hand, Load
from gearchest.optimizer.turning.screw_force import ScrewMaterial
from gearchest.optimizer.turning.setup import Setup, Wishes, setup
from gearchest.optimizer.turning.sizes import sizes
from gearchest.optimizer.turning.trying import try_first
from gearchest.optimizer.turning.working import TurnedBy, Working

MODULE = Fraction(1)
STRENGTH = ToothStrength(
    {Fraction(20): lambda teeth: 0.4},
    {"steel": GearMaterial("steel", 100.0, ""), "nylon": GearMaterial("nylon", 2.0, "", True)},
)


def gear(teeth: int, material: str = "steel") -> Gear:
    return Gear(teeth, MODULE, face_width=Fraction(8), material=material)


def lathe(*teeth: int, material: str = "steel") -> Lathe:
    """A 2 mm leadscrew and one stud; the arm is measured."""
    return Lathe(
        "a lathe",
        mm(2),
        GearMaking(MODULE, face_width=Fraction(8)),
        Chest(tuple((gear(z, material), 1) for z in teeth)),
        lowest_rpm=60,
        bed=Bed(350, 500),
        banjo=Banjo(100.0, (Slot(10, 140),), swing=(-180, 180)),
        strength=STRENGTH,
    )


def unmeasured(*teeth: int, material: str = "steel") -> Lathe:
    return replace(lathe(*teeth, material=material), banjo=None)


def want(pitch: Pitch, allowed: Fraction = Fraction(1, 1000), **more: object) -> Want:
    return Want("wanted", pitch, Allowance(allowed), **more)  # type: ignore[arg-type]


def made(
    machine: Lathe, wanted: Want, *, diameter: Fraction | None = None, **wishes: object
) -> Setup:
    wanted = replace(wanted, diameter=diameter)
    asked = Wishes(**wishes)  # type: ignore[arg-type]
    return setup(machine, wanted, reach(machine, wanted), asked)


def topics(found: Setup) -> set[str]:
    return {caution.topic for caution in found.cautions}


def exact(machine: Lathe, train: Train) -> Answer:
    """A train as the answer to what it cuts."""
    cut = want(mm(train.ratio * machine.leadscrew.rational))
    return judged(machine, cut, train, Counter(dict(machine.chest.loose)))


def four_turns() -> tuple[Lathe, Want, Answer]:
    """441/110 on a 2 mm screw: 63/22 x 35/25, on a lathe without a measured arm."""
    machine = unmeasured(63, 22, 35, 25)
    train = Train(LAYOUTS[2], (gear(63), gear(35)), (gear(22), gear(25)), ((), ()))
    wanted = want(mm(8), Fraction(1, 100), use=Use.WOOD, diameter=Fraction(50))
    found = judged(machine, wanted, train, Counter(dict(machine.chest.loose)))
    assert found.error == train.ratio * 2 / 8 - 1
    return machine, wanted, found


def test_wooden_screw_of_8_mm_on_a_2_mm_screw() -> None:
    """Common practice, no source: 441/110 cuts 8.018 mm for 8, 0.23 % off, fine for a wooden
    screw and nut cut alike; 4.01 screw turns, driven from its own end; 882 mm half-nut step."""
    machine, wanted, answer = four_turns()
    assert answer.train.ratio == Fraction(441, 110)
    assert float(answer.train.ratio * 2) == pytest.approx(8.018, abs=5e-4)
    assert float(answer.error) == pytest.approx(0.0023, abs=5e-5)
    found = setup(
        machine,
        wanted,
        Reach(wanted, answer.verdict, answer, answer, answer, (answer,), ()),
        Wishes(),
    )
    assert found.in_tolerance
    assert found.turning is not None
    assert float(found.turning.screw_turns) == pytest.approx(4.01, abs=0.005)
    assert found.turning.effort is Effort.CRANK
    assert found.working.turned is TurnedBy.SCREW
    assert found.crank is not None
    # Screw 1.5 N m, and 2 N m at the spindle through two meshes of 0.97.
    crank = 1.5 + 2 / (441 / 110 * 0.97**2)
    assert found.crank.torque == pytest.approx(crank)
    assert found.crank.length == pytest.approx(1000 * crank / 50)
    assert found.crank.advance == 2  # one turn of the crank is one of the screw
    assert found.turning.meshes[0].load == pytest.approx(2 * 2000 / 63)
    assert found.half_nuts is not None
    assert found.half_nuts.step_mm == pytest.approx(882)
    assert found.half_nuts.may_open is False
    assert found.wood is not None
    assert found.milling is not None
    assert found.clearance is None  # a single point's
    assert {"Screw drives", "Wood", "Powered cutter", "Fit unchecked"} <= topics(found)


def test_two_gears_alone_on_an_arm_not_measured_need_their_shafts_so_far_apart() -> None:
    """40/60 of module 1 on a screw of 2 mm: 20 and 30 mm from centre to pitch circle. Not said of
    other trains."""

    def said(*teeth: int, pitch: str) -> str:
        found = made(unmeasured(*teeth), want(mm(pitch)))
        assert found.answer
        return next(one.text for one in found.cautions if one.topic == "Fit unchecked")

    assert "40 and 60 alone mesh only where their shafts stand 50 mm apart" in said(
        40, 60, pitch="4/3"
    )
    assert "apart" not in said(20, 30, 50, 80, pitch="3/10")
    idled = Train(LAYOUTS[1], (gear(40),), (gear(60),), ((gear(30),),))
    assert "apart" not in try_first(idled)


def test_half_nuts_stay_closed_while_the_screw_drives() -> None:
    """1 mm on a 2 mm screw drops in anywhere, but not where the screw turns the spindle."""
    light = made(unmeasured(20, 40), want(mm(1)))
    assert light.half_nuts is not None
    assert light.half_nuts.may_open is True
    wary = unmeasured(20, 40)
    wary = replace(wary, policy=replace(wary.policy, hand_crank_above=Fraction(1, 4)))
    cranked = made(wary, want(mm(1)))
    assert cranked.half_nuts is not None
    assert cranked.half_nuts.may_open is False
    assert "screw drives" in cranked.half_nuts.why


def test_easiest_train_is_set_up() -> None:
    found = made(lathe(20, 40, 60, 80), want(mm(1)))
    assert found.answer is not None
    assert found.answer == found.reach.easiest
    assert found.answer.verdict is Verdict.EXACT
    assert found.answer.fit.fits is Fits.YES
    assert found.in_tolerance


def test_the_exact_train_is_set_up_even_where_another_is_easier() -> None:
    """20/40 is exact; 40/81 is 1.2 % off and lighter on teeth that bear either with ease."""
    found = made(unmeasured(20, 40, 81), want(mm(1), Fraction(2, 100)))
    assert found.answer is not None
    assert found.answer.error == 0
    assert found.reach.easiest is not None
    assert found.reach.easiest.train.tooth_load < found.answer.train.tooth_load
    assert found.reach.easiest.error
    assert found.in_tolerance


def test_off_is_said_and_never_called_in_tolerance() -> None:
    found = made(lathe(20, 41, 60, 80), want(mm(1)))
    assert found.reach.verdict is Verdict.OFF
    assert found.answer == found.reach.closest
    assert not found.in_tolerance
    assert "Off" in topics(found)


def test_without_a_train_the_rest_still_stands() -> None:
    found = made(lathe(20, 21), want(mm(7)), diameter=Fraction(30))
    assert found.answer is None
    assert found.turning is None
    assert found.half_nuts is None
    assert found.mounting is None
    assert found.infeed is not None
    assert not found.in_tolerance


def test_a_sound_train_is_taken_before_a_soft_one_with_less_load() -> None:
    """Two trains of one ratio: a nylon one with less load, overloaded, and a steel one."""
    machine = replace(unmeasured(20, 40), chest=Chest((
        (gear(20), 1), (gear(30, "nylon"), 1), (gear(40), 1), (gear(60, "nylon"), 1),
    )))  # fmt: skip
    found = made(machine, want(mm(1)))
    assert found.answer is not None
    assert [g.teeth for g in found.answer.train.gears] == [20, 40]
    assert found.turning is not None
    assert not found.turning.overloaded
    weak = Train(LAYOUTS[0], (gear(30, "nylon"),), (gear(60, "nylon"),), ((),))
    powered = Working(TurnedBy.POWERED, cutter=False, wooden=False)
    assert turning(machine, weak, powered).overloaded  # 50 N against 2 x 8 x 1 x 0.4


def test_a_train_is_as_sound_as_its_weakest_mesh() -> None:
    """28/56 of nylon before 72/72 of steel presses no tooth with more than 36 N for a N m at the
    screw, each train of 30, 35, 42 and 50 with 40 at least; but at 1.5 N m the nylon bears 6.4 of
    its 54 N."""
    nylon = Train(
        LAYOUTS[2], (gear(28, "nylon"), gear(72)), (gear(56, "nylon"), gear(72)), ((), ())
    )
    steel = Train(LAYOUTS[2], (gear(35), gear(30)), (gear(42), gear(50)), ((), ()))
    assert nylon.ratio == steel.ratio
    assert nylon.tooth_load < 36 < 40 <= steel.tooth_load
    chest = Chest(tuple(Counter([*nylon.gears, *steel.gears]).items()))
    found = made(replace(unmeasured(20), chest=chest), want(mm(1)))
    assert found.answer is not None
    assert {g.material for g in found.answer.train.gears} == {"steel"}


def test_plastic_gears_are_cautioned() -> None:
    assert "Plastic gears" in topics(made(unmeasured(20, 40, material="nylon"), want(mm(1))))
    assert "Plastic gears" not in topics(made(unmeasured(20, 40), want(mm(1))))


def test_plastics_are_named_by_the_alphabet() -> None:
    """Four gears of four plastics, whatever the order of a set; none of them known as steel."""
    names = ("acetal", "fabric", "nylon", "resin")
    strength = replace(
        STRENGTH, materials={name: GearMaterial(name, 50.0, "", True) for name in names}
    )
    gears = [gear(z, name) for z, name in zip((40, 35, 70, 20), reversed(names), strict=True)]
    machine = replace(
        unmeasured(20), chest=Chest(tuple((each, 1) for each in gears)), strength=strength
    )
    train = Train(LAYOUTS[2], (gears[0], gears[1]), (gears[2], gears[3]), ((), ()))
    wanted = want(mm(train.ratio * 2))
    answer = exact(machine, train)
    found = setup(machine, wanted, reach(machine, wanted), Wishes(), answer)
    (told,) = (each.text for each in found.cautions if each.topic == "Plastic gears")
    assert told.startswith("acetal, fabric, nylon, resin: ")


@pytest.mark.parametrize(("pitch", "turns"), [("2", None), ("3", "1.50"), ("1", None)])
def test_a_screw_that_outruns_the_spindle_is_told_how_often(pitch: str, turns: str | None) -> None:
    """On a screw of 2 mm 3 mm are one turn and a half; 2 mm are one, which is no more."""
    found = made(unmeasured(20, 30, 40, 60), want(mm(pitch)))
    assert found.answer is not None
    assert found.answer.error == 0
    told = [each.text for each in found.cautions if each.topic == "Coarse pitch"]
    assert bool(told) == (turns is not None)
    assert all(f"outruns the spindle {turns} times" in text for text in told)


def test_cautions_about_wood_stand_where_wood_is_cut() -> None:
    cautioned = [
        topics(made(unmeasured(20, 40), want(mm(1), use=use), diameter=Fraction(20)))
        for use in (Use.WOOD, Use.TRAVEL)
    ]
    assert "Wood" in cautioned[0]
    assert not {"Wood", "Powered cutter", "Must match"} & cautioned[1]


def test_iso_thread_sizes() -> None:
    """ISO 724 and ISO 68-1: M10, d2 9.026, D1 8.376, d3 8.160 (root radius H/6)."""
    thread = Thread("M10", mm("1.5"), Fraction(10), "iso")
    found = sizes(want(mm("1.5"), thread=thread))
    assert found.pitch_diameter == pytest.approx(9.026, abs=1e-3)
    assert found.nut_bore == pytest.approx(8.376, abs=1e-3)
    assert found.minor == pytest.approx(8.160, abs=1e-3)
    assert not found.assumed


def test_form_is_assumed_aloud() -> None:
    assert "60 degree" in sizes(want(mm(2))).assumed
    assert sizes(want(mm(9), use=Use.WOOD)).form_name == "wood-90"
    assert sizes(want(mm(3), use=Use.WOOD)).form_name == "wood-60"
    assert sizes(want(Pitch(MODULE, pi=True), use=Use.WORM)).form_name == "worm"
    assert sizes(want(mm(5), use=Use.TRAVEL), form="acme").form_name == "acme"


@pytest.mark.parametrize(
    ("pitch", "form"),
    [
        (mm(5), "trapezoidal"), (mm("1.5"), "trapezoidal"), (mm("1.499"), "iso"),
        (mm("0.2"), "iso"), (tpi(8), "acme"), (tpi(16), "acme"), (tpi(17), "unified"),
        (Pitch(Fraction(1), starts=4), "iso"),
    ],
)  # fmt: skip
def test_a_feed_screw_takes_a_form_that_exists_at_its_pitch(pitch: Pitch, form: str) -> None:
    """ISO 2904 begins at 1.5 mm, the general purpose series of ASME B1.5 at 16 tpi."""
    found = sizes(want(pitch, use=Use.TRAVEL, diameter=Fraction(12)))
    assert found.form_name == form
    assert ("60 degree" in found.assumed) == (form in ("iso", "unified"))
    assert ("begins at" in found.assumed) == (form in ("iso", "unified"))
    assert found.depth is not None
    assert found.depth < found.pitch_mm  # 0.25 mm of depth at 0.2 mm of pitch is no thread


@pytest.mark.parametrize(
    ("form", "load", "minor"),
    [("square", 0, 16), ("buttress", 3, 13.058), ("buttress-7-45", 7, 14.698)],
)
def test_a_press_screw_of_uneven_flanks_bears_on_the_steep_one(
    form: str, load: float, minor: float
) -> None:
    """Friction wedges by the load flank alone: f / cos 3 or 7 degrees, f of a square thread.
    Minor diameters at 20 x 4: d - P, d - 1.7355 P (DIN 513), d - 1.3254 P (ASME B1.9)."""
    beech = ScrewMaterial("beech", True, 50, 13.9, 6, 0.3, "")
    wanted = want(mm(4), use=Use.TRAVEL)
    found = made(
        lathe(20, 40),
        wanted,
        diameter=Fraction(20),
        form=form,
        load=Load(Hand(200, 150)),
        material=beech,
    )
    assert found.sizes.minor == pytest.approx(minor, abs=2e-3)
    assert found.pressing is not None
    wedged = found.pressing.screw.effective_friction
    assert wedged == pytest.approx(0.3 / math.cos(math.radians(load)))
    assert found.milling is not None  # it is of wood
    metal = made(lathe(20, 40), wanted, diameter=Fraction(20), form=form)
    assert metal.infeed is not None
    assert metal.infeed.slide_angle is None  # straight in, whatever the angle between them
    steps = [b - a for a, b in pairwise(metal.infeed.depths[:-2])]
    assert (max(steps) == pytest.approx(min(steps))) == (form == "square")


def test_no_diameter_no_sizes() -> None:
    found = made(lathe(20, 40), want(mm(1)))
    assert found.sizes.major is None
    assert found.clearance is None
    assert found.wood is None


def test_feed_has_no_infeed() -> None:
    assert made(lathe(20, 40), want(mm(1), use=Use.FEED)).infeed is None


def test_multi_start_indexes_by_the_first_driver() -> None:
    """20 teeth do not divide by three, 60 do."""
    three = Pitch(Fraction(2), starts=3)
    found = made(unmeasured(20, 60), want(three))
    assert found.starts is not None
    assert found.starts.first_driver.teeth == 60
    assert found.starts.teeth == 20
    assert found.sizes.lead_mm == 6
    assert made(unmeasured(20, 60), want(mm(6))).starts is None


def test_mounting_lists_every_gear_once_in_its_plane() -> None:
    machine = lathe(40, 63, 80, 50)
    train = Train(LAYOUTS[2], (gear(40), gear(63)), (gear(80), gear(50)), ((), ()))
    answer = exact(machine, train)
    hung = mounting(machine, answer, left=False)
    assert [shaft.name for shaft in hung.shafts] == ["screw", "stud", "driver"]
    planes = [[gear and gear.teeth for gear in shaft.planes] for shaft in hung.shafts]
    assert planes == [[None, 50], [80, 63], [40, None]]
    assert hung.shafts[1].position == pytest.approx(56.5)  # (63 + 50) / 2 from the screw
    assert "towards the headstock" in hung.levers[0]
    assert "away from" in mounting(machine, answer, left=True).levers[0]


def test_each_stud_is_told_its_own_place() -> None:
    machine = lathe(40, 30, 50, 60, 20, 45)
    arm = Banjo(120.0, (Slot(10, 160), Slot(10, 160, 60.0)), studs=2)
    machine = replace(machine, banjo=arm)
    train = Train(
        LAYOUTS[6], (gear(40), gear(30), gear(50)), (gear(60), gear(20), gear(45)), ((), (), ())
    )
    answer = exact(machine, train)
    placement = answer.fit.placement
    assert placement is not None
    hung = {shaft.name: shaft for shaft in mounting(machine, answer, left=False).shafts}
    for name, stud in zip(("stud 1", "stud 2"), placement.studs, strict=True):
        assert hung[name].position == stud.position
        assert tuple(g for g in hung[name].planes if g) == stud.gears


def test_hand_without_reversing_lever() -> None:
    machine = replace(lathe(40, 80), right_hand_meshes=1)
    train = Train(LAYOUTS[0], (gear(40),), (gear(80),), ((),))
    answer = exact(machine, train)
    assert mounting(machine, answer, left=False).levers == (
        "No reversing lever: 1 mesh cuts a right-hand thread on this lathe.",
    )
    idled = replace(train, layout=LAYOUTS[1], idlers=((gear(60),),))
    (told,) = mounting(machine, exact(machine, idled), left=True).levers
    assert "2 meshes cut a left-hand thread" in told


def test_levers_and_gearbox_are_told() -> None:
    machine = replace(
        unmeasured(40, 80),
        first_driver_turns=(Fraction(1), Fraction(1, 2)),
        gearbox=(("A", Fraction(1)), ("B", Fraction(1, 2))),
    )
    found = made(machine, want(mm("0.5")))
    assert found.mounting is not None
    _, speed, box = found.mounting.levers
    quick = found.answer and found.answer.train.setting
    assert quick
    turns = {1: "1 turn", Fraction(1, 2): "1/2 turns"}
    assert speed == (
        f"Speed lever of the first driver: {turns[quick.first_driver_turns]} to a spindle turn."
    )
    assert f"{quick.gearbox} ({turns[quick.gearbox_ratio]} of the screw" in box
    assert found.mounting.shafts[0].name == "gearbox"


def test_force_of_a_press_screw() -> None:
    beech = ScrewMaterial("beech", True, 50, 13.9, 6, 0.3, "")
    wanted = want(mm(9), Fraction(1, 100), use=Use.WOOD)
    found = made(
        lathe(20, 80, 60, 40),
        wanted,
        diameter=Fraction(50),
        load=Load(Hand(200, 150)),
        material=beech,
    )
    pressed = found.pressing
    assert pressed is not None
    assert pressed.torque == pytest.approx(30)
    assert pressed.screw.raising_torque(pressed.force) == pytest.approx(30)
    assert pressed.engaged == 50
    assert pressed.screw.holds
    assert pressed.strong_enough
    assert "Load" in topics(found)
    assert "Weak" not in topics(found)
    weak = made(
        lathe(20, 80, 60, 40),
        wanted,
        diameter=Fraction(50),
        load=Load(Hand(5000, 500)),
        material=beech,
    )
    assert "Weak" in topics(weak)


def test_too_fast_a_lathe_is_told() -> None:
    machine = replace(unmeasured(20, 40), lowest_rpm=400)
    found = made(machine, want(mm(1), Fraction(1, 2)), run_out=1.0)
    assert {"Too fast for power", "By hand"} <= topics(found)
    assert found.speed.governing is None
    assert found.crank is not None
    assert found.crank.end is Drive.SPINDLE
    assert found.infeed is not None
    assert found.infeed.spring == 2  # a single point all the same
    roomy = made(machine, want(mm(1), Fraction(1, 2)), run_out=7.0)
    assert roomy.working.powered


def test_taper_and_pipe_threads_say_what_is_missing() -> None:
    npt = Thread("1/2 NPT", mm("1.8143"), Fraction("21.3"), "npt", series="pipe-npt")
    assert "Taper" in topics(made(lathe(20, 40), want(mm("1.8143"), thread=npt)))
    parallel = Thread("G 1/2", mm("1.8143"), Fraction("20.955"), "whitworth", series="pipe-g")
    found = topics(made(lathe(20, 40), want(mm("1.8143"), thread=parallel)))
    assert "Pipe thread" in found
    assert "Taper" not in found


def test_slender_and_left_hand() -> None:
    found = made(lathe(20, 40), want(mm(1), left=True), diameter=Fraction(8), length=120.0)
    assert {"Slender", "Left hand"} <= topics(found)
