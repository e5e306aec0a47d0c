"""Blanks against printed values: tests/checks/gear_geometry.csv, source and status by row."""

import csv
import math
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import GearMaking
from gearchest.optimizer.domain.tooth import (
    DEPTH_14_5,
    DEPTH_20,
    DEPTH_FINE,
    read_keyway,
    usual_depth,
)
from gearchest.optimizer.making.angles import involute, involute_inverse
from gearchest.optimizer.making.blank import (
    Blank,
    cautions,
    design_blank,
)
from gearchest.optimizer.making.involute import ToothForm
from gearchest.optimizer.making.shift import centre_distance, shift_effects

CHECKS = Path(__file__).parents[2] / "checks"
ROWS = list(csv.DictReader((CHECKS / "gear_geometry.csv").read_text().splitlines()))


def ideal(module: str, teeth: int, angle: str = "20", shift: float = 0.0) -> Blank:
    """A gear without backlash, the usual depth for its size."""
    gear = Gear(teeth, Fraction(module), Fraction(angle))
    depth = usual_depth(gear.module, gear.pressure_angle)
    return Blank(gear, depth, 8.0, shift=shift)


def row(quantity: str, given: str = "") -> dict[str, str]:
    return next(r for r in ROWS if r["quantity"] == quantity and given in r["input"])


def test_tip_and_root_diameters_as_printed():
    blank = ideal("2", 24)
    assert blank.tip_diameter == float(row("tip diameter")["value"])
    assert blank.root_diameter == float(row("root diameter")["value"])
    assert blank.pitch_diameter == 48


def test_whole_depths_by_system():
    # 2.25 m; 2.157/DP at 14.5 degrees (FROM MEMORY in the checks; the latter also printed at
    # a page of spur gear full-depth tooth calculations, SEEN)
    assert ideal("1", 30).whole_depth == 2.25
    assert ideal("1", 30, "14.5").whole_depth == pytest.approx(2.157)
    # 20 degree fine pitch: 2.2/DP + 0.002 in (ANSI B6.7, from memory): 24 DP
    fine = ideal("127/120", 30)
    assert fine.whole_depth / 25.4 == pytest.approx(2.2 / 24 + 0.002)


@pytest.mark.parametrize(
    ("module", "angle", "depth"),
    [
        ("1", "20", DEPTH_20),
        ("127/80", "20", DEPTH_20),  # 16 DP
        ("1.27", "20", DEPTH_FINE),  # 20 DP
        ("1.27", "14.5", DEPTH_14_5),
        ("0.5", "20", DEPTH_20),  # a fine module is not a fine DP
    ],
)
def test_the_depth_in_use_follows_size_and_angle(module, angle, depth):
    assert usual_depth(Fraction(module), Fraction(angle)) is depth


@pytest.mark.parametrize("angle", ["14.5", "20", "25"])
def test_teeth_without_undercut(angle):
    printed = row("min teeth without undercut 2/sin^2 a", angle)
    # the least shift falls by 1/z_min for every tooth, and is none at z_min = 2 / sin^2 a
    for teeth in (10, 24, 40):
        assert ideal("1", teeth, angle).least_shift == pytest.approx(
            1 - teeth / float(printed["value"]), abs=1e-4
        )


def test_undercut_begins_where_the_formula_says_and_the_shift_cures_it():
    assert ideal("1", 17).undercut
    assert not ideal("1", 18).undercut
    cured = replace(ideal("1", 12), shift=ideal("1", 12).curing_shift)
    assert not cured.undercut
    # x = (17.097 - z)/17.097, the textbook's form of the same rule
    assert cured.shift == pytest.approx((17.0973 - 12) / 17.0973, abs=1e-5)


def test_a_gear_of_many_teeth_bears_a_negative_shift():
    # x = 1 - z sin^2(a) / 2 with an addendum of one module (ISO 21771): -0.404 for 24 teeth
    assert ideal("1", 24).least_shift == pytest.approx(1 - 24 * 0.116978 / 2, abs=1e-5)
    sound = ideal("1", 24, shift=-0.2)
    assert not sound.undercut
    assert sound.sound_shift == -0.2
    assert not [note for note in cautions(sound) if "undercut" in note]
    weak = ideal("1", 24, shift=-0.5)
    assert weak.undercut
    assert "shifted by -0.5 m is undercut; a profile shift of -0.404 m" in " ".join(cautions(weak))
    assert not replace(weak, shift=weak.sound_shift).undercut


@given(st.integers(8, 80), st.floats(-1, 1), st.sampled_from(["20", "14.5"]))
@settings(max_examples=60, deadline=None)
def test_undercut_is_what_the_outline_shows(teeth, shift, angle):
    """The cutter's fillet takes the foot of the involute away, or it does not."""
    blank = ideal("1", teeth, angle, shift)
    form = ToothForm(blank)
    height = 1 - shift  # of the cutter's straight flank below the pitch circle, in modules
    along = form.base_radius * math.tan(blank.alpha) - height / math.sin(blank.alpha)
    if abs(along) > 0.3:  # so near the limit the cut is too fine for the outline's points
        lowest = math.hypot(form.base_radius, max(0.0, along))
        assert blank.undercut == (form.form_radius > lowest + 1e-6)


def test_centre_distance_as_printed():
    printed = row("centre distance / teeth")
    assert centre_distance(3, math.radians(20), (16, 20), (0, 0)) == pytest.approx(
        float(printed["value"])
    )


def test_centre_distance_of_a_shifted_pair():
    # KHK / SDP-SI worked example, from memory: m 3, z 12 and 24, x 0.6 and 0.36: a = 56.4999
    assert centre_distance(3, math.radians(20), (12, 24), (0.6, 0.36)) == pytest.approx(
        56.4999, abs=1e-4
    )


def test_a_mate_with_which_a_shifted_gear_binds_at_any_distance_is_left_out():
    far = ideal("1", 63, "14.5", -1.0)  # inv a_w would be negative beside 16 teeth
    assert [effect.mate for effect in shift_effects(far, (16, 200))] == [200]


def test_involute_as_tabulated():
    # inv 20 deg = 0.014904, inv 26.0886 deg = 0.034316: any involute table (from memory)
    assert involute(math.radians(20)) == pytest.approx(0.0149044, abs=1e-7)
    assert involute_inverse(0.034316) == pytest.approx(math.radians(26.0886), abs=1e-5)


@given(st.floats(1e-9, 1.5))
@settings(max_examples=60)
def test_the_inverse_undoes_the_involute(angle):
    assert involute(involute_inverse(involute(angle))) == pytest.approx(
        involute(angle), rel=1e-9, abs=1e-18
    )


def test_no_angle_has_a_negative_involute():
    with pytest.raises(ValueError, match="involute"):
        involute_inverse(-0.001)


def test_a_cutter_sunk_deeper_thins_the_tooth_by_twice_its_slope():
    blank = replace(ideal("1", 40), thinning=0.02)
    assert blank.thickness == pytest.approx(math.pi / 2 - 0.02)
    assert blank.depth_of_cut - blank.whole_depth == pytest.approx(
        0.02 / 2 / math.tan(math.radians(20))
    )


@pytest.mark.parametrize(
    ("written", "read"),
    [("3x1.4", (3, 1.4)), (" 4 x 1,8 ", (4, 1.8)), ("3×1.4", (3, 1.4)), ("2x0.8", (2, 0.8))],
)
def test_keyways_as_people_write_them(written, read):
    keyway = read_keyway(written)
    assert keyway is not None
    assert (keyway.width, keyway.depth) == read


@pytest.mark.parametrize("written", ["3", "3x", "axb", "0x1", "3x0", "3x1.4x2", "-3x1"])
def test_an_unreadable_keyway_says_what_to_write(written):
    with pytest.raises(ValueError, match=r"3x1\.4"):
        read_keyway(written)


MAKING = GearMaking(Fraction(1), Fraction(20), Fraction(8), 12.0, "3x1.4")


def test_the_rim_runs_from_the_root_to_the_corner_of_the_keyway():
    blank = design_blank(MAKING, 30, thinning=0.0)
    assert blank.rim == pytest.approx(27.5 / 2 - math.hypot(6 + 1.4, 1.5))
    assert design_blank(replace(MAKING, keyway=""), 30, thinning=0.0).rim == 27.5 / 2 - 6


def test_a_thin_rim_and_an_undercut_are_told():
    notes = " ".join(cautions(design_blank(replace(MAKING, bore=6.0, keyway=""), 12)))
    assert "undercut" in notes
    assert "Rim" in " ".join(cautions(design_blank(MAKING, 20)))
    assert not cautions(design_blank(MAKING, 63))


@pytest.mark.parametrize(
    ("module", "angle", "depth"),
    [
        ("1", "16.9", DEPTH_14_5), ("1", "17", DEPTH_20), ("1.27", "17", DEPTH_FINE),
        (Fraction(508, 790), "20", DEPTH_FINE),  # 39 1/2 DP
        (Fraction(762, 610), "20", DEPTH_20),  # 20 1/3 DP is no size
        (Fraction(508, 390), "20", DEPTH_20),  # 19 1/2 DP
    ],
)  # fmt: skip
def test_the_depth_changes_at_seventeen_degrees_and_at_twenty_dp(module, angle, depth):
    assert usual_depth(Fraction(module), Fraction(angle)) is depth


def test_a_cure_is_told_of_what_is_undercut_or_would_be_unshifted():
    """12 teeth need 0.298 of a module, 24 none."""
    least = 1 - 12 * math.sin(math.radians(20)) ** 2 / 2
    for shift in (0.0, 0.5):
        assert ideal("1", 12, shift=shift).curing_shift == pytest.approx(least)
    assert ideal("1", 24).curing_shift == ideal("1", 24, shift=0.3).curing_shift == 0
    assert ideal("1", 24, shift=-0.9).curing_shift == ideal("1", 24).least_shift < 0


def test_tips_clear_the_roots_of_mates_by_what_the_depth_says():
    """A quarter of a module, 0.157 of it, and 0.2 and 0.002 in of a fine pitch."""
    for depth, module, clearance in (
        (DEPTH_20, 2, 0.5), (DEPTH_14_5, 2, 0.314),
        (DEPTH_FINE, Fraction(127, 100), 0.2 * 1.27 + 0.0508),
    ):  # fmt: skip
        assert float(depth.clearance(Fraction(module))) == pytest.approx(clearance)
    fine = ideal("127/120", 30)
    assert ToothForm(fine).form_radius * 2 < fine.pitch_diameter
    assert fine.whole_depth == pytest.approx(
        127 / 120 * 2 + float(fine.depth.clearance(fine.gear.module))
    )
