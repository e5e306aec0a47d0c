"""Powered cutters, against solids swept along the helix point by point."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from gearchest.optimizer.domain.lathe import Drive
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.want import Allowance, Use, Want
from gearchest.optimizer.turning.cranking import Crank
from gearchest.optimizer.turning.cutter import Cutter, Groove, Kind, swept_width, widening
from gearchest.optimizer.turning.milling import Hindrance, Milling, bit, disc, feed, milling
from gearchest.optimizer.turning.shaping import shaping
from gearchest.optimizer.turning.sizes import sizes


def swept_by_hand(
    groove: Groove, cutter: Cutter, lead: float, tilt: float, radius: float
) -> float:  # fmt: skip
    """The same width from the cutter's surface: a disc's face is a stack of circles whose radius
    falls away from the middle by the flank, a bit a stack of circles that grow from its tip. Each
    point of each circle is put where it stands in the lathe, taken back along the helix to the
    section at angle 0, and counted if it lies at the radius asked for. Both sides are alike."""
    t, half = math.radians(tilt), cutter.diameter / 2
    outside = groove.top > groove.root
    up = np.linspace(0, abs(groove.top - groove.root) * 1.3, LAYERS)[:, None]
    if cutter.kind is Kind.DISC:  # the upper face, and of it the side that faces the work
        towards = -1 if outside else 1
        around = np.linspace(-0.6, 0.6, AROUND)[None, :]
        off, rim = groove.flat / 2 + up * groove.slope, half - up
        x = groove.root - towards * half + towards * rim * np.cos(around)
        y = rim * np.sin(around) * math.cos(t) - off * math.sin(t)
        z = rim * np.sin(around) * math.sin(t) + off * math.cos(t)
    else:
        around = np.linspace(0, math.pi, AROUND)[None, :]
        rim = groove.flat / 2 + up * groove.slope
        x = groove.root + up + 0 * around
        y, z = rim * np.cos(around), rim * np.sin(around)
    at = z - lead * np.arctan2(y, x) / (2 * math.pi)
    here = np.abs(np.hypot(x, y) - radius) < 0.003
    return float(2 * at[here].max())


LAYERS, AROUND = 1600, 1600

SCREW = Groove(root=21.6, top=25.0, flat=1.1, slope=1.0)
STEEP = Groove(root=12.0, top=16.0, flat=0.8, slope=math.tan(math.radians(30)))
FINE = Groove(root=1.0, top=1.6, flat=0.2, slope=math.tan(math.radians(30)))
BROAD = Groove(root=4.0, top=7.0, flat=3.0, slope=1.0)
NUT = Groove(root=25.5, top=22.2, flat=1.1, slope=1.0)


@pytest.mark.parametrize(
    ("groove", "cutter", "lead", "tilt"),
    [
        (SCREW, disc(40, wooden=True), 9, 0.0),
        (SCREW, disc(40, wooden=True), 9, 3.5),
        (SCREW, disc(80, wooden=True), 24, 0.0),
        (STEEP, disc(50, wooden=False), 30, 18.0),
        (FINE, disc(40, wooden=False), 6, 0.0),  # as far round as it touches
        (NUT, disc(32, wooden=True), 9, 0.0),
        (NUT, disc(32, wooden=True), 9, 3.4),
        (SCREW, bit(10), 9, 0.0),
        (STEEP, bit(10), 30, 0.0),
        (STEEP, disc(50, wooden=False), 4, 18.0),  # tilted far from its groove, it touches aside
        (STEEP, disc(50, wooden=False), 60, 10.0),
        (BROAD, bit(10), 200, 0.0),
    ],
)
def test_groove_is_as_wide_as_the_cutter_sweeps(
    groove: Groove, cutter: Cutter, lead: float, tilt: float
) -> None:
    for share in (0.3, 0.9):
        radius = groove.root + share * (groove.top - groove.root)
        found = swept_width(groove, cutter, lead, tilt, radius)
        by_hand = swept_by_hand(groove, cutter, lead, tilt, radius)
        assert found == pytest.approx(by_hand, abs=0.012, rel=1e-3)


def test_a_disc_that_lies_along_a_straight_groove_cuts_what_is_drawn() -> None:
    """Without lead there is nothing to tilt to, whatever the cutter."""
    for cutter in (disc(40, wooden=True), bit(10)):
        for share in (0.1, 0.5, 0.9):
            radius = SCREW.root + share * (SCREW.top - SCREW.root)
            assert widening(SCREW, cutter, 1e-9, 0.0, radius) == pytest.approx(0, abs=1e-4)


def test_tilting_to_the_lead_angle_narrows_the_groove() -> None:
    """And a bigger disc widens an untilted groove more, a bit hardly at all."""
    middle = (SCREW.root + SCREW.top) / 2
    tilt = math.degrees(math.atan2(9, 2 * math.pi * middle))
    small, large = (disc(d, wooden=True) for d in (30, 90))
    untilted = [widening(SCREW, cutter, 9, 0.0, middle) for cutter in (small, large)]
    tilted = [widening(SCREW, cutter, 9, tilt, middle) for cutter in (small, large)]
    assert untilted[0] < untilted[1]
    assert all(a < b / 3 for a, b in zip(tilted, untilted, strict=True))
    assert 0 < widening(SCREW, bit(10), 9, 0.0, middle) < 0.02


def held(pitch: Pitch, diameter: str, cutter: Cutter | None = None, **more: bool) -> Milling:
    want = Want(
        "w", pitch, Allowance(Fraction(1, 100)), use=Use.WOOD, diameter=Fraction(diameter), **more
    )
    thread = sizes(want)
    return milling(
        thread, shaping(want, thread, 0.0).cut, pitch.lead_mm, wooden=True, cutter=cutter
    )


@pytest.mark.parametrize(("pitch", "flat"), [("4", 0.5), ("9", 1.125)])
def test_the_groove_of_a_wooden_screw_is_an_eighth_of_the_pitch_wide_at_its_bottom(
    pitch: str, flat: float
) -> None:
    """60 degrees below 5 to the inch, else 90: seven eighths of the pitch wide at the surface, so
    a bit there cuts what a bit in such a groove cuts."""
    found = held(mm(pitch), "50")
    assert found.across == pytest.approx(7 / 8 * float(pitch))
    angle = 60 if pitch == "4" else 90
    slope = math.tan(math.radians(angle / 2))
    depth = 3 / 8 * float(pitch) / slope
    groove = Groove(root=25 - depth, top=25.0, flat=flat, slope=slope)
    assert found.widened == pytest.approx(
        widening(groove, found.cutter, float(pitch), 0.0, 25 - depth / 2), abs=1e-9
    )


def test_teeth_and_speed_are_those_named_else_the_usual_ones() -> None:
    assert bit(6, teeth=3, rpm=9000) == Cutter(Kind.BIT, 6, 3, 9000)
    assert bit(6) == Cutter(Kind.BIT, 6, 2, 18_000)
    assert disc(40, wooden=True, teeth=4, rpm=500) == Cutter(Kind.DISC, 40, 4, 500)


def test_a_bit_outside_is_as_wide_as_the_groove_and_stands_square() -> None:
    found = held(mm(9), "50")
    assert found.cutter.kind is Kind.BIT
    assert found.tilt == 0
    assert found.across is not None
    assert found.cutter.diameter > found.across
    # A wooden V of 90 degrees, flats of P/8: the groove is P - P/8 wide at the surface.
    assert found.across == pytest.approx(9 * 7 / 8)
    assert found.path == pytest.approx(math.hypot(math.pi * 50, 9))


def test_a_disc_inside_comes_out_of_its_bore_and_clears_the_crests() -> None:
    """Bore 45.5 + 1 of clearance, groove 2.25 deep from it: a 32 mm disc leaves a shank of 26.5."""
    found = held(mm(9), "50", inside=True)
    assert found.cutter.kind is Kind.DISC
    bore = 50 - 2 * 3.375 + 9 / 4 + 1
    depth = (51 - bore) / 2
    assert found.cutter.diameter == math.floor(0.7 * bore)
    assert found.shank == pytest.approx(found.cutter.diameter - 2 * (depth + 0.5))
    assert found.obstacle(50) is None
    assert found.reaches is not None
    assert found.obstacle(found.reaches + 1) is Hindrance.SPRINGS


def test_a_disc_outside_is_told_tilted_and_not() -> None:
    """A wooden V of 90 degrees, 3.375 mm deep and 1.125 mm wide at its bottom; on the pitch line it
    is half the pitch wide."""
    cutter = disc(40, wooden=True)
    found = held(mm(9), "50", cutter=cutter)
    groove = Groove(root=25 - 3.375, top=25.0, flat=9 / 8, slope=1.0)
    tilt = math.degrees(math.atan(9 / (math.pi * (50 - 3.375))))
    assert found.tilt == pytest.approx(tilt)
    assert (found.shank, found.inside) == (None, False)
    middle = 25 - 3.375 / 2
    for told, leaned in ((found.untilted, 0.0), (found.widened, tilt)):
        assert told == pytest.approx(
            swept_by_hand(groove, cutter, 9, leaned, middle) - 4.5, abs=0.012
        )
    assert found.untilted > 2 * found.widened > 0  # type: ignore[operator]


def test_a_disc_comes_out_of_a_bore_that_is_a_millimetre_wider() -> None:
    for diameter, some in ((45.5, True), (45.51, False)):
        found = held(mm(9), "50", cutter=disc(diameter, wooden=True), inside=True)
        assert (found.shank is not None) is some


def test_a_cutter_no_thicker_than_its_groove_is_deep_has_no_shank() -> None:
    """Discs a little thinner and thicker than one that clears the crests by nothing."""
    depth = (51 - (50 - 2 * 3.375 + 9 / 4 + 1)) / 2
    least = 2 * (depth + 0.5)
    for diameter, some in ((least - 0.1, False), (least + 0.1, True)):
        found = held(mm(9), "50", cutter=disc(diameter, wooden=True), inside=True)
        assert (found.shank is not None) is some
        assert (found.reaches is not None) is some


def test_a_disc_turns_as_fast_as_its_rim_may_in_two_figures() -> None:
    """Wood at 15 m/s, metal at 20 m/min; a router's spindle does no more than 18,000."""
    for diameter in range(4, 200):
        for wooden, metres in ((True, 15 * 60), (False, 20)):
            fastest = min(18_000, 1000 * metres / (math.pi * diameter))
            step = 10 ** (len(str(int(fastest))) - 2) if fastest >= 10 else 1
            assert disc(diameter, wooden=wooden).rpm == fastest // step * step
    assert disc(40, wooden=True, rpm=123.0, teeth=7) == Cutter(Kind.DISC, 40, 7, 123.0)


def test_where_a_form_has_no_figures_no_shank_is_told() -> None:
    want = Want(
        "w", mm(9), Allowance(Fraction(1)), use=Use.WOOD, diameter=Fraction(50), inside=True
    )
    none = milling(sizes(want), None, 9.0, wooden=True)
    assert (none.shank, none.reaches, none.across, none.path) == (None, None, None, None)
    assert none.obstacle(1.0) is Hindrance.UNKNOWN


def test_a_cutter_nobody_named_is_told_as_assumed() -> None:
    for inside in (False, True):
        assert held(mm(9), "50", inside=inside).cutter.assumed
        named = held(mm(9), "50", cutter=disc(20, wooden=True), inside=inside)
        assert not named.cutter.assumed


def test_no_disc_is_finer_than_a_millimetre() -> None:
    """0.7 of a bore of about 1.1 mm would be none at all."""
    found = held(mm("0.25"), "1", inside=True)
    assert found.cutter.diameter == 1
    assert found.shank is None


def test_a_bore_too_narrow_for_a_stiff_shank_is_tapped() -> None:
    assert held(mm(4), "16", inside=True).obstacle(16) is not None
    assert (
        held(mm(9), "50", cutter=disc(60, wooden=True), inside=True).obstacle(20) is Hindrance.WIDE
    )


def test_the_discs_that_work_a_nut_are_those_without_an_obstacle() -> None:
    """Tried disc by disc: too thin a shank springs, too wide a disc does not come out."""
    tried = [
        held(mm(9), "50", cutter=disc(halves / 2, wooden=True), inside=True)
        for halves in range(10, 110)
    ]
    for nut in (20.0, 50.0, 90.0, 130.0):
        able = [each.cutter.diameter for each in tried if each.obstacle(nut) is None]
        found = held(mm(9), "50", inside=True).discs(nut)
        assert found is not None
        assert min(able) - 0.5 < found[0] <= min(able)
        assert max(able) <= found[1] < max(able) + 0.5
    assert held(mm(9), "50", inside=True).discs(170.0) is None
    small = disc(4, wooden=True)
    assert held(mm(9), "50", cutter=small, inside=True).obstacle(1) is Hindrance.NO_SHANK


def test_the_disc_taken_where_none_is_named_reaches_through_the_nut_if_any_does() -> None:
    want = Want(
        "w", mm(9), Allowance(Fraction(1)), use=Use.WOOD, diameter=Fraction(50), inside=True
    )
    found = sizes(want)
    made = shaping(want, found, None).cut
    for nut in (50.0, 106.0, 107.0, 150.0, 159.0):
        held_by = milling(found, made, 9.0, wooden=True, nut=nut)
        assert held_by.obstacle(nut) is None
        assert (held_by.cutter.diameter > 32) is (nut > 106)
        assert held_by.cutter.assumed
    assert milling(found, made, 9.0, wooden=True, nut=200.0).cutter.diameter == 32


def test_feed_per_tooth_is_the_groove_gone_along_between_two_teeth() -> None:
    found = held(mm(9), "50")
    fed = feed(found, 1.0, wooden=True)
    assert fed is not None
    assert found.path is not None
    seconds = 60 / fed.rpm  # of one turn of the work
    bites = found.cutter.rpm / 60 * found.cutter.teeth * seconds
    assert fed.tooth == pytest.approx(found.path / bites)
    assert fed.tooth == pytest.approx(0.1)
    assert fed.slower is None


def test_a_hand_that_cannot_keep_up_slows_the_cutter() -> None:
    """Eight crank turns a work turn at sixty a minute: the work turns 7.5 times a minute."""
    found = held(mm(9), "50")
    fed = feed(found, 8.0, wooden=True)
    assert fed is not None
    assert fed.crank == pytest.approx(60)
    assert fed.rpm == pytest.approx(7.5)
    assert fed.tooth < 0.05
    assert fed.slower is not None
    assert fed.slower % 1000 == 0  # as a dial is set
    assert fed.surface / (fed.slower * found.cutter.teeth) >= 0.05
    assert fed.surface / ((fed.slower + 1000) * found.cutter.teeth) < 0.05


def test_crank_turns_of_a_pass_and_of_the_job() -> None:
    """250 mm on a 2 mm screw are 125 turns; four passes out and back a thousand."""
    crank = Crank(Drive.SCREW, 3.0, 50.0, 2.0, run=250.0, passes=4, back=True)
    assert crank.length == pytest.approx(60)
    assert crank.a_pass == 125
    assert crank.job == 1000
    assert Crank(Drive.SPINDLE, 3.0, 50.0, 8.0, run=160.0, passes=3).job == 60


def test_a_disc_on_a_diameter_nobody_knows_is_tilted_nobody_knows_how_far() -> None:
    want = Want("w", mm(8), Allowance(Fraction(1, 1000)))
    found = milling(sizes(want), None, 8.0, wooden=False)
    assert found.cutter.kind is Kind.DISC
    assert (found.tilt, found.untilted, found.widened) == (None, None, None)


def metal(cutter: Cutter | None = None, **more: bool) -> Milling:
    """A trapezoidal thread, Tr40x7, in steel."""
    want = Want("w", mm(7), Allowance(Fraction(1, 100)), diameter=Fraction(40), **more)
    thread = sizes(want, "trapezoidal")
    return milling(thread, shaping(want, thread, 0.0).cut, 7.0, wooden=False, cutter=cutter)


def test_in_metal_a_disc_is_taken_of_50_mm_and_twelve_teeth() -> None:
    """20 m/min on 50 mm: 127.3, set as 120. Inside 0.7 of the bore of 33 mm: 23 mm."""
    found = metal()
    assert found.cutter == Cutter(Kind.DISC, 50.0, 12, 120.0, True)
    assert metal(inside=True).cutter.diameter == 23
    wood = held(mm(9), "80", inside=True).cutter
    assert (wood.diameter, wood.teeth) == (40.0, 3)


def test_a_bit_is_a_millimetre_wider_than_the_groove_and_has_two_edges() -> None:
    """The groove is 7.875 mm wide at the surface; 8.875 are 9. Where its form has no figures the
    pitch stands for it."""
    assert held(mm(9), "50").cutter == Cutter(Kind.BIT, 9, 2, 18_000.0, True)
    want = Want("w", mm(9), Allowance(Fraction(1)), use=Use.WOOD, diameter=Fraction(50))
    assert milling(sizes(want), None, 9.0, wooden=True).cutter.diameter == 10


def test_feed_in_metal_by_its_numbers() -> None:
    """12 teeth at 120 a minute bite 1440 times, 0.03 mm each: 43.2 mm a minute along the helix. A
    hand of 60 turns a minute that turns 240 times for one of the work feeds 0.0217 mm a tooth; at
    600 and more they rub."""
    found = metal()
    assert found.path is not None
    path = found.path
    assert path == pytest.approx(math.hypot(math.pi * 39.75, 7), abs=0.8)
    fed = feed(found, 1.0, wooden=False)
    assert fed is not None
    assert (fed.surface, fed.tooth) == (pytest.approx(43.2), pytest.approx(0.03))
    assert (fed.rpm, fed.crank) == (pytest.approx(43.2 / path), pytest.approx(43.2 / path))
    for turns, slower in ((240.0, None), (600.0, 100.0), (1200.0, 52.0)):
        fed = feed(found, turns, wooden=False)
        assert fed is not None
        assert fed.rpm == pytest.approx(60 / turns)
        assert fed.tooth == pytest.approx(path * 60 / turns / 1440)
        rubs = fed.tooth < 0.01
        assert rubs == (slower is not None)
        assert fed.slower == slower


def test_a_groove_widens_from_its_bottom_to_the_surface_outside_and_in_a_bore() -> None:
    for groove, middle in ((SCREW, 23.3), (NUT, 23.85)):
        deep = abs(groove.top - groove.root)
        assert groove.width(groove.root) == pytest.approx(1.1)
        assert groove.width(groove.top) == pytest.approx(1.1 + 2 * deep)
        assert groove.width(middle) == pytest.approx(1.1 + deep)
        beyond = 2 * groove.root - groove.top
        assert groove.width(beyond) == 1.1  # below its bottom it is no wider
