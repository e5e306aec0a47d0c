"""Torques and tooth loads, by energy balance and by taking moments gear by gear."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Drive, GearMaking, Lathe, Policy
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.domain.material import NOTHING_KNOWN, GearMaterial, ToothStrength
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.strength.loads import (
    EFFICIENCY,
    crank_torque,
    mesh_efficiency,
    meshes,
    overloaded,
    spindle_torque,
    stage_loads_from_screw,
    stage_loads_from_spindle,
    tooth_share,
    weakest,
)
from gearchest.optimizer.strength.rim import rim_factor, rim_share

teeth = st.integers(16, 127)
modules = st.sampled_from((Fraction(1), Fraction(5, 4), Fraction(2)))
settings_ = st.builds(
    Setting,
    st.sampled_from((Fraction(1), Fraction(1, 2), Fraction(4, 3))),
    st.just("A"),
    st.sampled_from((Fraction(1), Fraction(1, 2), Fraction(2))),
)


def gear(count: int, module: Fraction = Fraction(1), **more: object) -> Gear:
    return Gear(count, module, face_width=Fraction(8), **more)  # type: ignore[arg-type]


@st.composite
def trains(draw: st.DrawFn, layout: Layout) -> Train:
    def stage_module() -> Fraction:
        return draw(modules)

    drivers, driven, idlers = [], [], []
    for count in layout.idlers:
        module = stage_module()
        drivers.append(gear(draw(teeth), module))
        driven.append(gear(draw(teeth), module))
        idlers.append(tuple(gear(draw(teeth), module) for _ in range(count)))
    return Train(layout, tuple(drivers), tuple(driven), tuple(idlers), draw(settings_))


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_energy_balance(layout: Layout, data: st.DataObject) -> None:
    """What goes in at one end comes out at the other, less 3 % a mesh, either way round."""
    train = data.draw(trains(layout))
    screw_angle = 2 * math.pi * float(train.ratio)  # for one turn of the spindle
    lost = 0.97 ** (layout.stages + sum(layout.idlers))
    assert spindle_torque(train, 1.5) * 2 * math.pi == pytest.approx(1.5 * screw_angle / lost)
    work_at_crank = crank_torque(train, 1.5, 2.0) * screw_angle
    assert work_at_crank == pytest.approx(1.5 * screw_angle + 2.0 * 2 * math.pi / lost)


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_every_mesh_carries_the_same_power_without_friction(
    layout: Layout, data: st.DataObject
) -> None:
    """Load x pitch-line travel of each stage is the work of the torque put in."""
    train = data.draw(trains(layout))
    turns = float(train.setting.first_driver_turns)  # of the stage's driver
    forward = stage_loads_from_spindle(train, 1.5)
    backward = stage_loads_from_screw(train, 2.0)
    for driver, driven, down, up in zip(
        train.drivers, train.driven, forward, backward, strict=True
    ):
        travel = math.pi * float(driver.module * driver.teeth) * turns / 1000  # m
        assert down * travel == pytest.approx(1.5 * 2 * math.pi * float(train.ratio))
        assert up * travel == pytest.approx(2.0 * 2 * math.pi)
        turns *= driver.teeth / driven.teeth


def compound() -> Train:
    return Train(
        LAYOUTS[2],
        (gear(40), gear(63)),
        (gear(80), gear(50)),
        ((), ()),
    )


def test_loads_of_a_compound_train_by_moments() -> None:
    """40/80 x 63/50, module 1, 1 N m at the screw: 40 N on the 50, the stud carries 1.26 N m."""
    train = compound()
    assert train.tooth_load == 40
    assert stage_loads_from_spindle(train, 1.0) == pytest.approx((31.5, 40.0))
    assert spindle_torque(train, 1.0) == pytest.approx(0.63 / EFFICIENCY**2)
    assert mesh_efficiency(train) == pytest.approx(0.9409)
    # Backwards, 2 N m at the spindle: 2 / 0.020 m on the 40, then 4 N m / 0.0315 m on the 63.
    assert stage_loads_from_screw(train, 2.0) == pytest.approx((100.0, 126.984), abs=1e-3)


STRENGTH = ToothStrength(
    {Fraction(20): {40: 0.389, 63: 0.4234, 80: 0.436, 50: 0.408, 30: 0.358}.get},
    {"steel": GearMaterial("steel", 100.0, ""), "nylon": GearMaterial("nylon", 10.0, "", True)},
)

LATHE = Lathe("plain", mm(2), GearMaking(Fraction(1)), Chest(()), strength=STRENGTH)


def test_meshes_name_their_weaker_gear() -> None:
    chain = meshes(LATHE, compound(), (31.5, 40.0))
    first, last = chain
    assert (first.driver.teeth, first.driven.teeth) == (40, 80)
    assert first.limit.gear.teeth == 40
    assert first.limit.newtons == pytest.approx(100 * 8 * 1 * 0.389)
    assert last.limit.gear.teeth == 50
    assert last.share == pytest.approx(40 / (800 * 0.408))
    assert weakest(chain) is last
    assert not overloaded(chain)
    assert overloaded(meshes(LATHE, compound(), (31.5, 400.0)))


def test_softer_material_is_the_weaker_gear() -> None:
    train = Train(LAYOUTS[0], (gear(40),), (gear(80, material="nylon"),), ((),))
    (mesh,) = meshes(LATHE, train, (10.0,))
    assert mesh.limit.gear.material == "nylon"
    assert mesh.limit.newtons == pytest.approx(10 * 8 * 0.436)


def test_idler_carries_the_load_twice_and_bears_less() -> None:
    """Both flanks of an idler's teeth are bent: 0.7 (common practice, no source)."""
    train = Train(LAYOUTS[1], (gear(40),), (gear(80),), ((gear(50),),))
    chain = meshes(LATHE, train, stage_loads_from_spindle(train, 1.0))
    assert [(m.driver.teeth, m.driven.teeth) for m in chain] == [(40, 50), (50, 80)]
    assert chain[0].load == chain[1].load == pytest.approx(25.0)
    assert chain[0].limit.newtons == pytest.approx(0.7 * 800 * 0.408)
    assert chain[0].limit.gear.teeth == 50


def test_narrower_face_counts() -> None:
    narrow = Gear(80, Fraction(1), face_width=Fraction(5))
    train = Train(LAYOUTS[0], (gear(40),), (narrow,), ((),))
    (mesh,) = meshes(LATHE, train, (10.0,))
    assert mesh.limit.newtons == pytest.approx(100 * 5 * 0.389)


def test_what_is_not_known_is_unchecked() -> None:
    chain = meshes(replace(LATHE, strength=NOTHING_KNOWN), compound(), (31.5, 40.0))
    assert all(mesh.share is None and mesh.limit.unchecked for mesh in chain)
    assert weakest(chain) is None
    assert not overloaded(chain)


def test_a_material_nobody_knows_is_named_and_checked_by_nobody() -> None:
    """Whatever its mate bears."""
    train = Train(LAYOUTS[0], (gear(40),), (gear(80, material="unobtainium"),), ((),))
    (mesh,) = meshes(LATHE, train, (1e6,))
    assert mesh.share is None
    assert '"unobtainium"' in mesh.limit.unchecked
    assert not overloaded((mesh,))


def test_a_missing_face_width_is_taken_as_eight_modules_and_said() -> None:
    """Eight modules: common practice, no source."""
    bare = Train(LAYOUTS[0], (Gear(40, Fraction(2)),), (Gear(80, Fraction(2)),), ((),))
    (mesh,) = meshes(LATHE, bare, (1.0,))
    assert mesh.limit.newtons == pytest.approx(100 * 16 * 2 * 0.389)
    assert mesh.limit.assumed_face
    wide = Train(LAYOUTS[0], (gear(40, Fraction(1, 2)),), (Gear(80, Fraction(1, 2)),), ((),))
    (mesh,) = meshes(LATHE, wide, (1.0,))  # 8 mm against 8 modules of 0.5 mm
    assert mesh.limit.newtons == pytest.approx(100 * 4 * 0.5 * 0.389)


def test_a_thin_rim_bears_less() -> None:
    """A 20 of module 1 on a 12 mm bore with a 3 x 1.4 keyway, by hand: root radius
    10 - 2.25 + 1 - 0.02 / (2 tan 20) = 8.7225, the key's corner at hypot(7.4, 1.5) = 7.5505,
    so the rim is 0.5209 of 2.25 and the stress 1.6 ln(2.242 / 0.5209) = 2.335 times as high
    (AGMA 2001-D04, K_B, from memory)."""
    making = GearMaking(Fraction(1), bore=12.0, keyway="3x1.4")
    assert rim_share(making, gear(20)) == pytest.approx(0.5209, abs=1e-4)
    assert rim_factor(0.5209) == pytest.approx(2.3353, abs=1e-4)
    assert rim_factor(1.2) == rim_factor(3.0) == 1.0
    assert rim_factor(1.1999) == pytest.approx(1.0, abs=3e-4)  # the formula meets 1 at 1.2
    lathe = replace(LATHE, making=making, strength=LEWIS)
    train = Train(LAYOUTS[0], (gear(80),), (gear(20),), ((),))
    (mesh,) = meshes(lathe, train, (10.0,))
    assert mesh.limit.gear.teeth == 20
    assert mesh.limit.newtons == pytest.approx(100 * 8 * 0.320 / 2.3353, rel=1e-4)
    narrow = replace(lathe, making=replace(making, bore=20.0))
    (mesh,) = meshes(narrow, train, (10.0,))
    assert mesh.share is None
    assert "reach its teeth" in mesh.limit.unchecked


LEWIS = ToothStrength({Fraction(20): {20: 0.320, 80: 0.436}.get}, STRENGTH.materials)


def test_the_share_is_that_of_the_end_that_drives() -> None:
    """80/20 on a 2 mm screw, 4 turns: driven from the screw's end by the cutting torque."""
    train = Train(LAYOUTS[0], (gear(80),), (gear(20),), ((),))
    lathe = replace(LATHE, strength=LEWIS, policy=Policy(screw_torque=1.5, cutting_torque=2.0))
    assert lathe.policy.driven_from(train.ratio) is Drive.SCREW
    # 2 N m on the spindle press 2000 * 2 / 80 = 50 N on the 80 and so on the 20.
    assert tooth_share(lathe, train) == pytest.approx(50 / (800 * 0.320))
    forced = replace(lathe, policy=replace(lathe.policy, drive=Drive.SPINDLE))
    # 1.5 N m on the screw press 2000 * 1.5 / 20 = 150 N on the 20.
    assert tooth_share(forced, train) == pytest.approx(150 / (800 * 0.320))
