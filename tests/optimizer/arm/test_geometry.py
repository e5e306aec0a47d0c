"""Formulas of the arm by 3-4-5 triangles and right angles, and limits just met and just missed."""

from __future__ import annotations

import math

import numpy as np
import pytest
from mounting import train_of

from gearchest.optimizer.arm import closing
from gearchest.optimizer.arm.clearances import clearances, kept_apart
from gearchest.optimizer.arm.closing import postures
from gearchest.optimizer.arm.geometry import (
    along_slot,
    arm_cosine,
    in_arm,
    meshes_directly,
    normal_angle,
    past_swing,
    turned,
    within_slot,
    within_swing,
)
from gearchest.optimizer.arm.result import Hub
from gearchest.optimizer.domain.lathe import Banjo, Slot

STRAIGHT = Slot(10.0, 40.0)
BESIDE = Slot(10.0, 40.0, angle=30.0, offset=12.0)
TILT = math.sqrt(3) / 2


def test_where_a_stud_stands_in_the_arm() -> None:
    """20 mm along a slot at 30 degrees and 12 mm beside it: 20 (cos, sin) + 12 (-sin, cos)."""
    assert in_arm(STRAIGHT, 20.0) == (20.0, 0.0)
    assert in_arm(BESIDE, 20.0) == pytest.approx((20 * TILT - 6, 10 + 12 * TILT), abs=1e-12)
    assert in_arm(Slot(0, 9, angle=90.0, offset=5.0), 7.0) == pytest.approx((-5.0, 7.0), abs=1e-12)


def test_a_point_seen_from_a_slot() -> None:
    """What stands in the slot lies on its centreline; a point turned a right angle from it lies
    beside it, less the offset."""
    for slot in (STRAIGHT, BESIDE, Slot(0, 9, -75.0, -8.0)):
        for position in (-3.0, 0.0, 25.0):
            assert along_slot(slot, *in_arm(slot, position)) == pytest.approx(
                (position, 0), abs=1e-12
            )
    assert along_slot(STRAIGHT, 3.0, 4.0) == (3.0, 4.0)
    assert along_slot(BESIDE, 10.0, 0.0) == pytest.approx((10 * TILT, -5 - 12), abs=1e-12)
    assert along_slot(BESIDE, 0.0, 10.0) == pytest.approx((5.0, 10 * TILT - 12), abs=1e-12)


@pytest.mark.parametrize(
    ("position", "inside"),
    [(10.0, True), (40.0, True), (10 - 5e-10, True), (40 + 5e-10, True),
     (10 - 2e-9, False), (40 + 2e-9, False), (25.0, True), (-25.0, False)],
)  # fmt: skip
def test_ends_of_a_slot_are_in_it(position: float, inside: bool) -> None:
    assert within_slot(STRAIGHT, position) is inside
    assert within_slot(STRAIGHT, np.array([position, 25.0])).tolist() == [inside, True]


@pytest.mark.parametrize(
    ("swing", "angle", "past"),
    [
        ((-20.0, 70.0), -20.0, 0.0),
        ((-20.0, 70.0), 70.0, 0.0),
        ((-20.0, 70.0), 70.0 + 5e-10, 0.0),
        ((-20.0, 70.0), -20.0 - 5e-10, 0.0),
        ((-20.0, 70.0), 430.0, 0.0),
        ((-20.0, 70.0), 73.0, 3.0),
        ((-20.0, 70.0), -25.0, 5.0),
        ((-20.0, 70.0), 335.0, 5.0),
        ((-20.0, 70.0), 204.0, 134.0),  # 134 past the one stop, 136 short of the other
        ((-20.0, 70.0), 206.0, 134.0),
        ((170.0, 190.0), -175.0, 0.0),
        ((170.0, -170.0), 180.0, 0.0),
        ((170.0, -170.0), -160.0, 10.0),
        ((340.0, 430.0), 0.0, 0.0),
        ((340.0, 430.0), 200.0, 130.0),
        ((-180.0, 180.0), 180.0, 0.0),
        ((0.0, 360.0), 359.0, 0.0),
        ((0.0, 400.0), 380.0, 0.0),
        ((5.0, 5.0), 5.0, 0.0),
        ((5.0, 5.0), 6.0, 1.0),
        ((0.0, 359.0), 359.5, 0.5),
    ],
)
def test_how_far_past_its_stops_an_arm_would_swing(
    swing: tuple[float, float], angle: float, past: float
) -> None:
    arm = Banjo(50.0, (STRAIGHT,), swing=swing)
    assert past_swing(arm, angle) == pytest.approx(past, abs=1e-9)
    assert within_swing(arm, angle) is (past == 0.0)
    assert within_swing(arm, np.array([angle, swing[0]])).tolist() == [past == 0.0, True]


@pytest.mark.parametrize(
    ("span", "meshes"),
    [(50.0, True), (50.1, True), (49.9, True), (50.1 + 5e-10, True), (50.1 + 2e-9, False),
     (49.9 - 5e-10, True), (49.9 - 2e-9, False)],
)  # fmt: skip
def test_a_tenth_of_a_millimetre_either_way_still_meshes(span: float, meshes: bool) -> None:
    arm = Banjo(50.0, (STRAIGHT,))
    assert bool(meshes_directly(arm, span)) is meshes
    assert meshes_directly(arm, np.array([span])).tolist() == [meshes]
    assert len(list(postures(arm, [span]))) == int(meshes)


def test_the_angle_at_the_screw() -> None:
    """A stud 30 mm from it and 40 from the driver, 50 mm apart: cos = 3/5. Stretched, 1; folded
    back, -1; too far, beyond."""
    arm = Banjo(50.0, (STRAIGHT,))
    assert arm_cosine(arm, 30.0, 40.0) == pytest.approx(0.6)
    assert arm_cosine(arm, 20.0, 30.0) == pytest.approx(1.0)
    assert arm_cosine(arm, 20.0, 70.0) == pytest.approx(-1.0)
    assert arm_cosine(arm, 20.0, 29.0) > 1.0
    assert arm_cosine(arm, np.array([30.0]), np.array([40.0])).tolist() == pytest.approx([0.6])


def test_turning_about_the_screw() -> None:
    """Counter-clockwise: 3, 4 turned a right angle is -4, 3."""
    assert turned((3.0, 4.0), math.pi / 2) == pytest.approx((-4.0, 3.0))
    assert turned((1.0, 0.0), math.radians(30)) == pytest.approx((TILT, 0.5))
    angles = {180: 180, -180: 180, 190: -170, -190: 170, 540: 180, 725: 5, 0: 0, -90: -90}
    for angle, normal in angles.items():
        assert normal_angle(float(angle)) == normal


def test_every_way_a_chain_over_one_stud_closes() -> None:
    """A slot through the pivot, stud 30 mm out or 30 behind it, to either side: cos = 3/5, so the
    arm stands 53.13 degrees off, and the other way round for the stud behind."""
    arm = Banjo(50.0, (Slot(-90.0, 90.0),))
    found = list(postures(arm, [40.0, 30.0]))
    angle = math.degrees(math.acos(0.6))
    assert [posture.positions for posture in found] == [(30.0,), (30.0,), (-30.0,), (-30.0,)]
    assert [posture.arm_angle for posture in found] == pytest.approx(
        [angle, -angle, angle - 180, 180 - angle]
    )
    for posture, side in zip(found, (1, -1, 1, -1), strict=True):
        assert posture.slots == (0,)
        assert posture.shafts[0] == (50.0, 0.0)
        assert posture.shafts[1] == pytest.approx((18.0, side * 24.0))
        assert posture.shafts[2] == (0.0, 0.0)
    assert len(list(postures(arm, [20.0, 30.0]))) == 2  # in one line: one place for each root
    assert not list(postures(arm, [20.0 - 1e-6, 30.0]))
    assert {tuple(posture.positions) for posture in postures(arm, [80.0, 30.0])} == {
        (30.0,),
        (-30.0,),
    }
    assert not list(postures(arm, [80.0 + 1e-6, 30.0]))
    assert not list(postures(arm, [40.0, 0.0]))  # a stud on the screw's centre turns nowhere


@pytest.mark.parametrize("cosine", [1 + 5e-13, -1 - 5e-13])
def test_a_chain_stretched_out_straight_closes_whatever_rounding_makes_of_it(
    monkeypatch: pytest.MonkeyPatch, cosine: float
) -> None:
    monkeypatch.setattr(closing, "arm_cosine", lambda *_: cosine)
    found = list(postures(Banjo(50.0, (STRAIGHT,)), [20.0, 30.0]))
    assert {round(posture.arm_angle or 0.0, 9) for posture in found} == {0.0, 180.0}
    assert len(found) == (2 if cosine > 0 else 4)


def test_chains_over_two_studs_close_in_every_pair_of_slots() -> None:
    """Two slots at right angles through the pivot, studs 30 and 40 mm out stand 50 mm apart. Each
    chain's shafts stand as far apart as asked, and every pair of slots that allows it is there."""
    arm = Banjo(60.0, (Slot(0.0, 90.0), Slot(0.0, 90.0, angle=90.0)), studs=2)
    spans = [45.0, 50.0, 40.0]
    found = list(postures(arm, spans))
    assert {posture.slots for posture in found} == {(0, 1), (1, 0), (0, 0), (1, 1)}
    for posture in found:
        distances = [
            math.dist(a, b) for a, b in zip(posture.shafts, posture.shafts[1:], strict=False)
        ]
        assert distances == pytest.approx(spans)
    across = [posture for posture in found if posture.slots == (0, 1)]
    assert {tuple(round(t, 9) for t in posture.positions) for posture in across} == {
        (30.0, 40.0), (-30.0, 40.0), (30.0, -40.0), (-30.0, -40.0)
    }  # fmt: skip
    # The first stud 30 mm out, 45 from the driver, 60 between: cos = (900 + 3600 - 2025) / 3600.
    near = math.degrees(math.acos(2475 / 3600))
    assert sorted({round(abs(posture.arm_angle or 0), 6) for posture in across}) == pytest.approx(
        [near, 180 - near], abs=1e-5
    )


def test_clearances_of_a_compound_train_by_hand() -> None:
    """20/40 x 30/50 of module 1, axes 50, the stud at (32, 24). The 20 (tips 11) passes the
    screw's hub, the 40 (21) as well, the 30 (16) the driver's, the 50 (26) too. What is nearest
    comes first."""
    arm = Banjo(50.0, (STRAIGHT,), driver_hub=8.0, stud_hub=99.0, screw_hub=10.0)
    train = train_of((0, 0), 20, 40, 30, 50)
    told = [(c.one.shaft, c.one.plane, c.other) for c in clearances(
        arm, train, [(50.0, 0.0), (32.0, 24.0), (0.0, 0.0)])]  # fmt: skip
    room = [c.mm for c in clearances(arm, train, [(50.0, 0.0), (32.0, 24.0), (0.0, 0.0)])]
    assert room == pytest.approx([30 - 16 - 4, 40 - 21 - 5, 50 - 26 - 4, 50 - 11 - 5])
    driver, screw = Hub(0, 4.0), Hub(2, 5.0)
    assert told == [(1, 1, driver), (1, 0, screw), (2, 1, driver), (0, 0, screw)]
    assert len(kept_apart(arm, train.layout)) == 4


def test_of_equal_clearances_that_of_the_smaller_gear_comes_first() -> None:
    """30/40 x 44/36: the 40's tips reach 21 mm towards the screw's hub, 2 mm in radius and 25 off,
    the 44's 23 mm towards the driver's, 27 off. Less than a nanometre decides nothing."""
    arm = Banjo(50.0, (STRAIGHT,), driver_hub=4.0, screw_hub=4.0)
    train = train_of((0, 0), 30, 40, 44, 36)
    shafts = [(-27.0, 0.0), (0.0, 0.0), (25.0 - 3e-10, 0.0)]
    found = clearances(arm, train, shafts)
    assert [round(c.mm, 6) for c in found[:2]] == [2.0, 2.0]
    teeth = {seat: gear.teeth for seat, gear in train.seated}
    assert [teeth[c.one] for c in found[:2]] == [40, 44]
    shafts = [(-27.0 + 3e-10, 0.0), (0.0, 0.0), (25.0, 0.0)]
    assert [teeth[c.one] for c in clearances(arm, train, shafts)[:2]] == [40, 44]
    shafts = [(-27.0 + 4e-9, 0.0), (0.0, 0.0), (25.0, 0.0)]
    assert [teeth[c.one] for c in clearances(arm, train, shafts)[:2]] == [44, 40]
