"""Outlines: rolled against mates, and held against formulas found another way."""

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
import shapely
from blank_names import blank_name
from gear_rolling import Flank, contact_ratio, roll
from scipy.integrate import quad

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.tooth import Keyway, usual_depth
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.involute import (
    ToothForm,
    bore_outline,
    enclosed_area,
    face_area,
)
from gearchest.optimizer.making.measuring import form_diameter
from gearchest.optimizer.making.shift import centre_distance


def blank(teeth, module="1", angle="20", **more):
    gear = Gear(teeth, Fraction(module), Fraction(angle))
    return Blank(gear, usual_depth(gear.module, gear.pressure_angle), 8.0, **more)


SOUND = [blank(63), blank(20), blank(127), blank(33, "1.5", "14.5"), blank(12, shift=0.35),
         blank(30, shift=0.95)]  # fmt: skip
UNDERCUT = [blank(10), blank(20, "1", "14.5")]


@pytest.mark.parametrize("gear", [*SOUND, *UNDERCUT], ids=blank_name)
def test_diameters_of_the_outline(gear):
    reach = np.hypot(*ToothForm(gear).outline().T)
    assert 2 * reach.max() == pytest.approx(gear.tip_diameter, abs=1e-9)
    assert 2 * reach.min() == pytest.approx(gear.root_diameter, abs=1e-9)


@pytest.mark.parametrize("angle", ["20", "14.5"])
def test_a_cutter_sunk_for_the_backlash_lowers_the_root(angle):
    """A tooth thinner by 0.1 mm on either flank together: sunk 0.1 / (2 tan a) deeper."""
    full, thin = (ToothForm(blank(40, "2", angle, thinning=less)) for less in (0.0, 0.1))
    sunk = 0.05 / math.tan(math.radians(float(angle)))
    roots = [np.hypot(*form.outline().T).min() for form in (full, thin)]
    assert roots[0] - roots[1] == pytest.approx(sunk, abs=1e-6)
    assert 2 * roots[1] == pytest.approx(thin.blank.cut_root_diameter, abs=1e-6)
    at = [2 * form.half_angle(40.0) * 40.0 for form in (full, thin)]  # on the pitch circle
    assert at[0] - at[1] == pytest.approx(0.1, abs=1e-6)


@pytest.mark.parametrize("gear", [*SOUND, *UNDERCUT], ids=blank_name)
def test_the_outline_is_one_simple_curve_with_every_tooth(gear):
    outline = shapely.Polygon(ToothForm(gear).outline())
    assert outline.is_valid
    middle = (gear.tip_diameter + gear.pitch_diameter) / 4
    crossings = shapely.Point(0, 0).buffer(middle, quad_segs=2000).exterior.difference(outline)
    gaps = [g for g in crossings.geoms if g.length > 0.01]
    assert len(gaps) in (gear.teeth, gear.teeth + 1)  # one is cut at the ring's seam


@pytest.mark.parametrize("gear", SOUND, ids=blank_name)
def test_area_by_integrating_the_tooth_thickness(gear):
    """Area = root circle + teeth x integral of thickness, found without the outline."""
    form = ToothForm(gear)
    fillet = form.fillet(4000)
    radii, angles = np.hypot(*fillet.T), np.arctan2(fillet[:, 0], fillet[:, 1])
    foot = 2 * np.trapezoid(angles * radii, radii)
    flank = quad(lambda r: 2 * r * form.half_angle(r), form.form_radius, form.tip_radius)[0]
    expected = math.pi * form.root_radius**2 + gear.teeth * (foot + flank)
    assert enclosed_area(form.outline()) == pytest.approx(expected, rel=2e-4)


@pytest.mark.parametrize("gear", SOUND, ids=blank_name)
def test_the_involute_starts_where_the_straight_flank_of_the_cutter_ends(gear):
    assert 2 * ToothForm(gear).form_radius == pytest.approx(form_diameter(gear), abs=1e-6)


@pytest.mark.parametrize("gear", UNDERCUT, ids=blank_name)
def test_an_undercut_eats_the_foot_of_the_involute(gear):
    form = ToothForm(gear)
    assert form.form_radius > form.base_radius
    waist = np.arctan2(*form.fillet(400).T).min()
    assert waist < form.half_angle(form.form_radius)


@pytest.mark.parametrize("gear", [blank(10), blank(24), blank(20, "1", "14.5")], ids=blank_name)
def test_the_outline_is_what_a_rack_cutter_leaves(gear):
    """Brute force: a rack with rounded tips passed by in small steps, and what it removes."""
    form = ToothForm(gear)
    across, height, corner = form._corner
    alpha, radius = gear.alpha, gear.pitch_diameter / 2
    tip = height - corner
    arc = np.linspace(-math.pi / 2, -alpha, 60)
    right = [(across + corner * math.cos(t), height + corner * math.sin(t)) for t in arc]
    top = 1.6 * gear.module
    foot = (right[-1][0] + (top - right[-1][1]) * math.tan(alpha), top)
    right = [(0.0, tip), *right, foot]
    cutter = np.array([*right, *[(-x, y) for x, y in reversed(right)]])
    space = []
    for roll_angle in np.linspace(-0.8, 0.8, 1600):
        moved = cutter + np.array([roll_angle * radius, radius])
        c, s = math.cos(roll_angle), math.sin(roll_angle)
        space.append(shapely.Polygon(moved @ np.array([[c, s], [-s, c]])))
    swept = shapely.unary_union(space)
    half = math.pi / gear.teeth
    reach = gear.tip_diameter / 2
    wedge = shapely.Polygon(
        [(0, 0), *[(reach * math.sin(t), reach * math.cos(t)) for t in np.linspace(0, half, 200)]]
    )
    left_standing = wedge.difference(swept)
    tooth = shapely.Polygon(form.outline()).intersection(
        shapely.affinity.rotate(wedge, math.degrees(half), origin=(0, 0))
    )
    ours = shapely.affinity.rotate(tooth, -math.degrees(half), origin=(0, 0))
    assert left_standing.symmetric_difference(ours).area < 1e-3 * gear.module**2


PAIRS = [
    (blank(63), blank(40), "plain pair"),
    (blank(20), blank(127), "pinion and wheel"),
    (replace(blank(63), thinning=0.05), replace(blank(35), thinning=0.05), "with backlash"),
    (blank(33, "1.5", "14.5"), blank(60, "1.5", "14.5"), "14 1/2 degrees"),
    (blank(12, shift=0.35), blank(40), "shifted pinion"),
]


@pytest.mark.parametrize(("one", "other", "_name"), PAIRS, ids=[p[2] for p in PAIRS])
def test_rolled_against_its_mate_the_ratio_is_constant(one, other, _name):
    apart = centre_distance(
        one.module, one.alpha, (one.teeth, other.teeth), (one.shift, other.shift)
    )
    motion = roll(flank_of(one), flank_of(other), apart)
    assert motion.overlap > 1
    assert motion.ratio_error < 1e-4
    assert motion.overlap == pytest.approx(contact_ratio(one, other, apart), abs=0.08)


def test_the_rolling_check_sees_a_wrong_flank():
    """The check can fail: a 15 degree flank does not run with a 20 degree one."""
    wrong = flank_of(blank(63, angle="15"))
    assert roll(wrong, flank_of(blank(40)), 51.5).ratio_error > 1e-3


def flank_of(gear) -> Flank:
    form = ToothForm(gear)
    return Flank(form.flank(), gear.teeth)


def test_the_offset_is_an_even_skin():
    gear = blank(40, bore=12.0, keyway=Keyway(3, 1.4))
    plain = shapely.Polygon(ToothForm(gear).outline())
    fuller = shapely.Polygon(ToothForm(gear, 0.1).outline())
    skin = plain.buffer(0.1, join_style="mitre")
    assert fuller.symmetric_difference(skin).area < 2e-3 * plain.area
    assert fuller.contains(plain)
    hole, smaller = bore_outline(gear), bore_outline(gear, 0.1)
    assert np.hypot(*hole.T).min() - np.hypot(*smaller.T).min() == pytest.approx(0.1)
    assert shapely.Polygon(hole).contains(shapely.Polygon(smaller))


def test_bore_and_keyway_measure_right():
    hole = shapely.Polygon(bore_outline(blank(40, bore=12.0, keyway=Keyway(3, 1.4))))
    left, bottom, right, top = hole.bounds
    assert right - left == pytest.approx(12, abs=0.01)
    assert top - bottom == pytest.approx(12 + 1.4, abs=0.01)
    plain = shapely.Polygon(bore_outline(blank(40, bore=12.0)))
    key = (hole - plain.buffer(0.02)).area
    assert key == pytest.approx(3 * 1.4, rel=0.06)


def test_face_area_takes_the_bore_out():
    solid, bored = blank(40), blank(40, bore=12.0)
    assert face_area(solid) - face_area(bored) == pytest.approx(36 * math.pi, rel=2e-3)
    assert bore_outline(solid) is None


SHAPES = [
    blank(40), blank(40, "2", thinning=0.1), blank(33, "1.5", "14.5", thinning=0.05),
    blank(12, "2", shift=0.35, thinning=0.04), blank(30, shift=0.95), blank(10, "2"),
    blank(20, "2", "14.5", thinning=0.04),
]  # fmt: skip


@pytest.mark.parametrize("offset", [0.0, 0.1, -0.05])
@pytest.mark.parametrize("gear", SHAPES, ids=blank_name)
def test_root_fillet_flank_and_tip_join_without_a_gap_or_a_step(gear, offset):
    """The fillet begins on the root circle and ends where the flank begins; arcs of root and tip
    have their points evenly spaced, none twice."""
    form = ToothForm(gear, offset)
    fillet, flank = form.fillet(), form.flank()
    assert np.hypot(*fillet[0]) == pytest.approx(form.root_radius, abs=1e-9)
    assert fillet[-1] == pytest.approx(flank[0], abs=2e-5)
    assert form.root_radius == pytest.approx(gear.cut_root_diameter / 2 + offset)
    assert np.hypot(*flank[-1]) == pytest.approx(gear.tip_diameter / 2 + offset)
    outline = form.outline()
    steps = np.hypot(*(np.roll(outline, -1, axis=0) - outline).T)
    assert steps.min() > 1e-6
    reach = np.hypot(*outline.T)
    for radius, parts in ((form.root_radius, 6), (form.tip_radius, 7)):
        on = np.abs(reach - radius) < 1e-9
        along = steps[on & np.roll(on, -1)]
        assert len(along) == parts * gear.teeth
        assert along == pytest.approx(np.full_like(along, along[0]), rel=1e-6)


@pytest.mark.parametrize("gear", SHAPES, ids=blank_name)
def test_every_tooth_is_the_first_turned_and_either_side_of_it_the_other_s_image(gear):
    tooth = ToothForm(gear).tooth()
    assert tooth == pytest.approx(tooth[::-1] * (-1, 1), abs=1e-9)
    outline = ToothForm(gear).outline().reshape(gear.teeth, -1, 2)
    for k, other in enumerate(outline):
        angle = 2 * math.pi * k / gear.teeth  # clockwise
        c, s = math.cos(angle), math.sin(angle)
        assert other == pytest.approx(tooth[:-1] @ np.array([[c, -s], [s, c]]), abs=1e-9)


@pytest.mark.parametrize("gear", SHAPES, ids=blank_name)
def test_a_flank_cut_thin_begins_as_an_involute_where_it_is_said_to(gear):
    assert form_diameter(gear) == pytest.approx(2 * ToothForm(gear).form_radius, abs=1e-6)


@pytest.mark.parametrize("points", [12, 96])
def test_points_of_a_bore_are_evenly_spaced_and_as_many_as_asked_for(points):
    hole = bore_outline(blank(40, bore=12.0), 0.1, points)
    assert len(hole) == points
    assert np.hypot(*hole.T) == pytest.approx(np.full(points, 5.9))
    steps = np.hypot(*(np.roll(hole, -1, axis=0) - hole).T)
    assert steps == pytest.approx(np.full(points, 2 * 5.9 * math.sin(math.pi / points)))
    keyed = bore_outline(blank(40, bore=12.0, keyway=Keyway(3, 1.4)), 0.1, points)
    assert len(keyed) == points + 2
    assert keyed[-2:] == pytest.approx(np.array([(-1.4, 7.3), (1.4, 7.3)]))
    assert keyed[0, 0] == pytest.approx(1.4)
    assert bore_outline(blank(40, bore=0.2), 0.1) is None
    assert np.hypot(*bore_outline(blank(40, bore=0.6), 0.1).T) == pytest.approx(np.full(96, 0.2))
