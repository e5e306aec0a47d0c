"""Depth of cut for a tip, against the forms' own depths, a drawn groove and handbook figures."""

from __future__ import annotations

import math

import pytest
from shapely import Polygon, affinity

from gearchest.optimizer.threads.flanks import Flanks, vee
from gearchest.optimizer.threads.forms import FORMS, profile
from gearchest.optimizer.threads.tip import SHARP, Tip, blunt, depth, fits, form_tip, reach

FLANKED = [name for name, form in FORMS.items() if form.included_angle_deg]


@pytest.mark.parametrize("name", FLANKED)
def test_the_form_s_own_tip_gives_the_form_s_own_depth(name: str) -> None:
    form = FORMS[name]
    for pitch in (0.5, 1.5, 4.0):
        ridge = profile(form, pitch)
        own = form_tip(form, pitch, inside=False)
        assert depth(own, form, pitch, inside=False) == pytest.approx(ridge.depth_mm, rel=2e-4)
        assert fits(own, form, pitch, inside=False)
        if form.has_nut:
            own = form_tip(form, pitch, inside=True)
            found = depth(own, form, pitch, inside=True)
            assert found == pytest.approx(ridge.nut_depth_mm, rel=2e-4)
            assert fits(own, form, pitch, inside=True)


def test_the_depths_of_the_books() -> None:
    """ISO 68-1: 0.61343 P outside, 0.54127 P inside; 3/8 H + H/2 with a sharp point."""
    iso = FORMS["iso"]
    assert depth(form_tip(iso, 1, inside=False), iso, 1, inside=False) == pytest.approx(
        0.61343, abs=6e-6
    )
    assert depth(form_tip(iso, 1, inside=True), iso, 1, inside=True) == pytest.approx(
        0.54127, abs=6e-6
    )
    assert depth(SHARP, iso, 1, inside=False) == pytest.approx(7 / 8 * math.sqrt(3) / 2)


def drawn(tip: Tip, flanks: Flanks) -> Polygon:
    """A tool with its flanks meeting at the origin, pointing down; the tip cut off or rounded."""
    right, left = (math.tan(math.radians(angle)) for angle in (flanks.load, flanks.other))
    tool = Polygon([(0, 0), (right * 10, 10), (-left * 10, 10)])
    if tip.flat:
        return tool.difference(_below(tip.flat / (right + left)))
    if tip.radius:
        return tool.buffer(-tip.radius).buffer(tip.radius, quad_segs=256)
    return tool


def _below(height: float) -> Polygon:
    return Polygon([(-20, -1), (20, -1), (20, height), (-20, height)])


@pytest.mark.parametrize(
    "flanks", [*map(vee, (29, 47.5, 55, 60, 90)), Flanks(3, 30), Flanks(45, 7), Flanks(0, 45)]
)
@pytest.mark.parametrize("tip", [SHARP, Tip(radius=0.08), Tip(flat=0.2)])
def test_a_drawn_tool_at_the_depth_leaves_half_a_pitch(flanks: Flanks, tip: Tip) -> None:
    """Lower the drawn tool until its lowest point is `reach` below the pitch line: at the pitch
    line the groove must be half a pitch wide."""
    pitch = 2.0
    tool = drawn(tip, flanks)
    lowered = affinity.translate(tool, 0, -reach(tip, flanks, pitch) - tool.bounds[1])
    section = lowered.intersection(Polygon([(-9, 0), (9, 0), (9, 1e-6), (-9, 1e-6)]))
    assert section.bounds[2] - section.bounds[0] == pytest.approx(pitch / 2, abs=2e-4)


def test_each_tenth_of_radius_is_a_tenth_of_depth_at_60_degrees() -> None:
    iso = FORMS["iso"]
    by_radius = depth(SHARP, iso, 2, inside=False) - depth(Tip(0.1), iso, 2, inside=False)
    by_flat = depth(SHARP, iso, 2, inside=False) - depth(Tip(flat=0.1), iso, 2, inside=False)
    assert by_radius == pytest.approx(0.1)
    assert by_flat == pytest.approx(0.0866, abs=1e-4)


def test_a_tip_too_blunt_fouls_the_mate() -> None:
    """ISO 68-1: the basic profile ends in a flat of P/4 outside and P/8 inside; H/6 touches the
    first."""
    iso = FORMS["iso"]
    radius, flat = blunt(iso, 1, inside=False)
    assert flat.flat == pytest.approx(1 / 4)
    assert radius.radius == pytest.approx(math.sqrt(3) / 2 / 4)
    assert blunt(iso, 1, inside=True)[1].flat == pytest.approx(1 / 8)
    for tip in (radius, flat):
        assert fits(tip, iso, 1, inside=False)
    assert not fits(Tip(flat=0.26), iso, 1, inside=False)
    assert not fits(Tip(radius=0.22), iso, 1, inside=False)
    assert reach(Tip(flat=0.6), vee(60), 1) < 0


def test_npt_may_be_as_blunt_as_its_standard_says() -> None:
    """ASME B1.20.1: truncation up to 0.0056 in at 14 threads per inch; 60 degrees, so the radius
    that leaves as much out is as large."""
    npt = FORMS["npt"]
    for inside in (False, True):
        radius, _ = blunt(npt, 25.4 / 14, inside=inside)
        assert radius.radius / 25.4 == pytest.approx(0.0056)
    assert not fits(Tip(0.15), npt, 25.4 / 14, inside=False)


@pytest.mark.parametrize("inside", [False, True])
@pytest.mark.parametrize("name", [name for name in FLANKED if FORMS[name].has_nut])
def test_the_bluntest_tip_just_fits_at_any_angle(name: str, inside: bool) -> None:
    """What standards round off, 2e-4 of a pitch, is let pass, and no more."""
    form, pitch = FORMS[name], 2.5
    radius, flat = blunt(form, pitch, inside=inside)
    assert (radius.flat, flat.radius) == (0, 0)
    assert fits(radius, form, pitch, inside=inside)
    assert fits(flat, form, pitch, inside=inside)
    assert not fits(Tip(radius.radius + 0.02), form, pitch, inside=inside)
    assert not fits(Tip(flat=flat.flat + 0.02), form, pitch, inside=inside)


def test_a_square_thread_has_no_tip_to_reckon_with() -> None:
    assert form_tip(FORMS["square"], 4, inside=False) == SHARP
    assert form_tip(FORMS["edison"], 4, inside=False) == SHARP
    with pytest.raises(ValueError, match="square: no sloping flanks"):
        blunt(FORMS["square"], 4, inside=False)


def test_what_is_let_pass_of_a_blunt_tip_goes_with_the_pitch() -> None:
    """2e-4 of a pitch: 2 um at 10 mm, told by flats that end 1 and 4 um too high."""
    iso = FORMS["iso"]
    flat = blunt(iso, 10.0, inside=False)[1].flat
    for micrometres, passes in ((1, True), (4, False)):
        wider = Tip(flat=flat + 2 * micrometres / 1000 * math.tan(math.radians(30)))
        assert fits(wider, iso, 10.0, inside=False) == passes
