"""Whether a train mounts: the closed forms against a numerical search and plain geometry.

Worked cases are laid out so that the lengths can be checked on paper (3-4-5 triangles, whole
millimetres); the rules they follow are those of the arm: gears in mesh stand half the sum of
their pitch diameters apart, tips are one module outside the pitch circle.
"""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import oracle
import pytest
from drawn import lathes
from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st
from mounting import drawn_arms, lathe_with, recheck, train_of

from gearchest.optimizer.arm.closing import postures
from gearchest.optimizer.arm.fit_table import FitTable
from gearchest.optimizer.arm.misfit import part_name
from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.train import Train


@settings(max_examples=250, deadline=None)
@given(drawn_arms(2))
def test_a_train_fits_where_a_numerical_search_finds_a_place(drawn: tuple[Lathe, Train]) -> None:
    lathe, train = drawn
    assert lathe.banjo is not None
    looked_for = oracle.place(lathe, train)
    found = fit(lathe, train)
    event(f"{train.layout.name}: {looked_for.fits}")
    assume(looked_for.fits is not None)
    assert (found.fits is Fits.YES) == looked_for.fits
    if found.fits is Fits.YES:
        assert found.placement is not None
        assert found.misfits == ()
        recheck(lathe.banjo, train, found.placement)
        tightest = found.placement.tightest
        if tightest is None:
            assert looked_for.tightest == math.inf
        else:
            # Shown in the position with the widest tightest clearance.
            assert tightest.mm == pytest.approx(looked_for.tightest, abs=1e-5)
    else:
        assert found.misfits
        assert len(found.cures) == len(found.misfits)
        assert found.short_by > 0


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(lathes(measured=st.sampled_from([True, True, True, False])), st.data())
def test_the_fit_of_one_train_equals_the_mask_over_many(lathe: Lathe, data: st.DataObject) -> None:
    stock = take_stock(lathe, under_cover=data.draw(st.booleans()))
    assume(len(stock.gears) >= 2)
    table = FitTable(lathe, stock)
    layout = data.draw(st.sampled_from([x for x in LAYOUTS if x.studs <= lathe.studs]))
    assume(lathe.banjo is not None or not any(layout.idlers))
    count = sum(len(stage) for stage in layout.seats)
    rng = np.random.default_rng(data.draw(st.integers(0, 2**32 - 1)))
    seats = rng.integers(0, len(stock.gears), size=(80, count)).astype(np.int16)
    rows, trains = [], []
    for row in seats:
        train = train_of(layout.idlers, *(stock.gears[i] for i in row))
        if all(len({gear.mesh_class for gear in stage}) == 1 for stage in train.stages):
            rows.append(row)
            trains.append(train)
    assume(rows)
    mask = table.mask(layout, np.array(rows))
    singly = [fit(lathe, train).fits is not Fits.NO for train in trains]
    event(f"{layout.name}: {any(singly)} {all(singly)}")
    assert mask.tolist() == singly


# ------------------------------------------------------- worked positions and limits

WIDE = Banjo(axis_distance=50.0, slots=(Slot(10.0, 100.0),), gap=0.5)
RIGHT_ANGLED = train_of((0, 0), 20, 40, 30, 50)
"""A+B = 60 and C+D = 80: 30 and 40 mm, so that with the axes 50 mm apart the angle at the
stud is a right one and the arm stands at atan(3/4) = 36.8699 degrees."""


def fits(banjo: Banjo | None, train: Train) -> bool:
    """Whether it mounts, as one train and as one of many."""
    lathe = lathe_with(banjo, *train.gears)
    stock = take_stock(lathe, under_cover=False)
    found = fit(lathe, train).fits
    seats = np.array([[stock.gears.index(gear) for gear in train.gears]], dtype=np.int16)
    assert FitTable(lathe, stock).mask(train.layout, seats).tolist() == [found is not Fits.NO]
    return found is Fits.YES


def test_the_arm_of_a_right_angled_train() -> None:
    placement = fit(lathe_with(WIDE), RIGHT_ANGLED).placement
    assert placement is not None
    assert placement.arm_angle is not None
    stud = placement.studs[0]
    assert abs(placement.arm_angle) == pytest.approx(36.86989765, abs=1e-8)
    assert (stud.slot, stud.position) == (0, pytest.approx(40.0, abs=1e-9))
    assert (stud.x, abs(stud.y)) == (pytest.approx(32.0), pytest.approx(24.0))
    assert [gear.teeth for gear in stud.gears] == [40, 30]


@pytest.mark.parametrize(
    ("swing", "angle"),
    [
        ((0.0, 90.0), 36.87),
        ((-90.0, 0.0), -36.87),
        ((320.0, 330.0), -36.87),
        ((-330.0, -320.0), 36.87),
        ((350.0, 40.0), 36.87),
        ((300.0, 10.0), -36.87),
        ((36.0, 38.0), 36.87),
        ((0.0, 360.0), 36.87),
    ],
)
def test_both_mirror_positions_are_tried_and_the_swing_counts_modulo_360(
    swing: tuple[float, float], angle: float
) -> None:
    placement = fit(lathe_with(replace(WIDE, swing=swing)), RIGHT_ANGLED).placement
    assert placement is not None
    found = placement.arm_angle
    if swing == (0.0, 360.0):
        found = abs(found or 0.0)
    assert found == pytest.approx(angle, abs=0.01)


@pytest.mark.parametrize("swing", [(0.0, 30.0), (40.0, 320.0), (-30.0, 30.0), (400.0, 660.0)])
def test_neither_mirror_position_in_the_swing(swing: tuple[float, float]) -> None:
    assert not fits(replace(WIDE, swing=swing), RIGHT_ANGLED)


@pytest.mark.parametrize("past", [0.0, 1e-6])
def test_limits_are_inclusive(past: float) -> None:
    """To 1e-9 mm or degrees: at the limit is in, a millionth past it is out."""
    angle = math.degrees(math.atan2(3, 4))
    inside = past == 0.0
    assert fits(replace(WIDE, slots=(Slot(10.0, 40.0 - past),)), RIGHT_ANGLED) is inside
    assert fits(replace(WIDE, slots=(Slot(40.0 + past, 90.0),)), RIGHT_ANGLED) is inside
    assert fits(replace(WIDE, swing=(0.0, angle - past)), RIGHT_ANGLED) is inside
    assert fits(replace(WIDE, swing=(angle + past, 90.0)), RIGHT_ANGLED) is inside
    # The 50's tips, 26 mm out, on a cover for 52 mm; and the 30's, 16 mm, 30 mm from the
    # first driver's shaft: a hub of 27 mm leaves 0.5 mm.
    assert fits(replace(WIDE, largest_tip_diameter=52.0 - past), RIGHT_ANGLED) is inside
    assert fits(replace(WIDE, driver_hub=27.0 + past), RIGHT_ANGLED) is inside
    # The 40's tips, 21 mm, 40 mm from the screw: a hub of 37 mm leaves 0.5 mm.
    assert fits(replace(WIDE, screw_hub=37.0 + past), RIGHT_ANGLED) is inside


@pytest.mark.parametrize("past", [0.0, 1e-6])
def test_a_stretched_train_reaches_just_so_far(past: float) -> None:
    """30 + 40 mm in one line: the axes may be 70 mm apart and no more."""
    assert fits(replace(WIDE, axis_distance=70.0 + past), RIGHT_ANGLED) is (past == 0.0)


@pytest.mark.parametrize(
    ("axis", "mounts"),
    [(45.0, True), (45.1, True), (44.9, True), (45.100001, False), (44.899999, False)],
)
def test_a_direct_mesh_bears_a_tenth_of_a_millimetre(axis: float, mounts: bool) -> None:
    assert fits(replace(WIDE, axis_distance=axis), train_of((0,), 40, 50)) is mounts


def test_an_offset_slot() -> None:
    """Offset 24 mm, the stud 40 mm from the screw: 32 mm along the slot. The stud stands at
    36.87 degrees in the arm's own frame, so the arm itself at 0."""
    arm = replace(WIDE, slots=(Slot(31.9, 32.1, 0.0, 24.0),), swing=(-1.0, 1.0))
    placement = fit(lathe_with(arm), RIGHT_ANGLED).placement
    assert placement is not None
    assert placement.arm_angle == pytest.approx(0.0, abs=1e-9)
    assert placement.studs[0].position == pytest.approx(32.0)
    assert placement.studs[0].y == pytest.approx(24.0)
    below = replace(arm, slots=(Slot(31.9, 32.1, 0.0, -24.0),))
    placement = fit(lathe_with(below), RIGHT_ANGLED).placement
    assert placement is not None
    assert placement.studs[0].y == pytest.approx(-24.0)
    assert not fits(replace(arm, slots=(Slot(31.9, 32.1, 0.0, 23.0),)), RIGHT_ANGLED)


def test_a_slot_that_starts_behind_the_pivot() -> None:
    """A slot from -50 to -30 mm: the stud sits 40 mm behind the pivot, the arm points the
    other way."""
    arm = replace(WIDE, slots=(Slot(-50.0, -30.0),), swing=(90.0, 180.0))
    placement = fit(lathe_with(arm), RIGHT_ANGLED).placement
    assert placement is not None
    assert placement.studs[0].position == pytest.approx(-40.0)
    assert placement.arm_angle == pytest.approx(180.0 - 36.86989765, abs=1e-6)


def test_a_slot_at_an_angle_turns_the_arm_back() -> None:
    arm = replace(WIDE, slots=(Slot(10.0, 100.0, 30.0),), swing=(0.0, 10.0))
    placement = fit(lathe_with(arm), RIGHT_ANGLED).placement
    assert placement is not None
    assert placement.arm_angle == pytest.approx(6.86989765, abs=1e-6)


DOUBLE = train_of((0, 0, 0), 20, 40, 30, 50, 35, 45)
"""Spans 30, 40 and 40 mm."""


def test_both_studs_in_one_slot() -> None:
    """Studs 40 mm apart in a straight slot through the pivot, the inner one 40 mm out: the
    outer stands at 80 mm."""
    arm = Banjo(axis_distance=100.0, slots=(Slot(30.0, 90.0),), studs=2)
    placement = fit(lathe_with(arm), DOUBLE).placement
    assert placement is not None
    assert [stud.position for stud in placement.studs] == pytest.approx([80.0, 40.0])
    # cos = (80^2 + 100^2 - 30^2) / (2 x 80 x 100)
    assert abs(placement.arm_angle or 0.0) == pytest.approx(
        math.degrees(math.acos(15500 / 16000)), abs=1e-6
    )


def test_one_stud_in_each_of_two_slots() -> None:
    """The inner stud 40 mm out in the slot at 90 degrees, at (0, 40) of the arm; the outer in
    the slot at 0 degrees offset 40 mm, 40 mm from it: at (40, 40), 56.57 mm from the pivot."""
    slots = (Slot(20.0, 60.0, 0.0, 40.0), Slot(30.0, 50.0, 90.0))
    arm = Banjo(axis_distance=60.0, slots=slots, studs=2)
    placement = fit(lathe_with(arm), DOUBLE).placement
    assert placement is not None
    assert [(s.slot, s.position) for s in placement.studs] == [
        (0, pytest.approx(40.0)),
        (1, pytest.approx(40.0)),
    ]
    outer = placement.studs[0]
    assert math.hypot(outer.x, outer.y) == pytest.approx(math.sqrt(3200))
    recheck(arm, DOUBLE, placement)


def test_a_hub_reaches_into_the_next_plane_and_no_further() -> None:
    """In a double compound train the screw's hub is beside the third plane: the second plane
    must pass it, the first need not."""
    arm = Banjo(axis_distance=100.0, slots=(Slot(30.0, 90.0),), studs=2)
    placement = fit(lathe_with(arm), DOUBLE).placement
    assert placement is not None
    passed = {(part_name(DOUBLE, c.one), part_name(DOUBLE, c.other)) for c in placement.clearances}
    assert ("the 30", "the nut on the screw shaft") in passed
    assert ("the 40", "the nut on the screw shaft") not in passed
    assert ("the 45", "the nut on the driver's shaft") not in passed
    assert ("the 35", "the nut on stud 1") in passed


def test_a_stage_may_run_in_another_module() -> None:
    """A 40 and a 60 of module 0.8 stand 40 mm apart, like a 30 and a 50 of module 1."""
    fine = [Gear(z, Fraction(4, 5)) for z in (40, 60)]
    placement = fit(lathe_with(WIDE), train_of((0, 0), 20, 40, *fine)).placement
    assert placement is not None
    assert placement.studs[0].position == pytest.approx(40.0)
    assert abs(placement.arm_angle or 0) == pytest.approx(36.86989765, abs=1e-6)


def test_without_a_measured_arm_nothing_is_claimed() -> None:
    found = fit(lathe_with(None), train_of((0, 0), 45, 55, 50, 65))
    assert (found.fits, found.placement, found.misfits) == (Fits.UNCHECKED, None, ())


@pytest.mark.parametrize(
    ("gears", "keeps"),
    [
        ((20, 30, 35, 40), True),  # 20 + 30 = 35 + 15
        ((20, 30, 36, 40), False),
        ((30, 50, 20, 45), True),  # 20 + 45 = 50 + 15
        ((30, 50, 20, 44), False),
    ],
)
def test_the_shop_rule_is_inclusive(gears: tuple[int, ...], keeps: bool) -> None:
    """A + B >= C + 15 and C + D >= B + 15 (common practice, no source). What a tooth too little
    is in mm: half a module."""
    train = train_of((0, 0), *gears)
    found = fit(lathe_with(None), train)
    assert found.fits is (Fits.UNCHECKED if keeps else Fits.NO)
    assert bool(found.misfits) is not keeps
    assert found.short_by == (0 if keeps else train.gears[0].module / 2)
    lathe = replace(lathe_with(None), chest=Chest(tuple((gear, 1) for gear in train.gears)))
    stock = take_stock(lathe)
    row = [stock.gears.index(gear) for gear in train.gears]
    assert FitTable(lathe, stock).mask(train.layout, np.array([row])).tolist() == [keeps]


def test_a_stud_that_just_reaches_the_screw_stands_in_one_place() -> None:
    """A slot 30 mm beside the screw's shaft, gears 30 mm apart: the foot of the perpendicular. The
    driver's, 40 mm from the stud with the axes 50 mm apart, on either side: 3-4-5."""
    arm = Banjo(50.0, (Slot(0.0, 60.0, offset=30.0),))
    found = list(postures(arm, [40.0, 30.0]))
    assert [posture.positions for posture in found] == [(0.0,), (0.0,)]
    for posture in found:
        (_, _), (x, y), (_, _) = posture.shafts
        assert (x, abs(y)) == (pytest.approx(18.0), pytest.approx(24.0))
    assert not list(postures(arm, [40.0, 29.99]))
    near, far = sorted({posture.positions[0] for posture in postures(arm, [40.0, 34.0])})
    assert (near, far) == (pytest.approx(-16.0), pytest.approx(16.0))


def test_the_shop_rule_holds_along_a_longer_train() -> None:
    lathe = replace(lathe_with(None), unmeasured_studs=2)
    assert fit(lathe, train_of((0, 0, 0), 30, 40, 35, 45, 40, 50)).fits is Fits.UNCHECKED
    # Only the last pair breaks it: 20 + 24 < 45 + 15.
    broken = fit(lathe, train_of((0, 0, 0), 30, 40, 35, 45, 20, 24))
    assert broken.fits is Fits.NO
    assert len(broken.misfits) == 1


def test_a_train_over_more_studs_than_there_are_does_not_fit() -> None:
    """Whether the arm is measured or not, and though the gears may span the distance."""
    train = train_of((0, 0, 0), 30, 40, 35, 45, 40, 50)
    for lathe in (lathe_with(None), lathe_with(Banjo(60.0, (Slot(0.0, 500.0),)))):
        found = fit(lathe, train)
        assert (found.fits, len(found.misfits)) == (Fits.NO, 1)
        assert "over 2 studs, and the lathe file tells of 1 stud" in found.misfits[0]
        assert "studs = 2" in found.cures[0]
