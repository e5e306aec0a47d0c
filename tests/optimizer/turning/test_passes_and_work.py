"""Infeed, lead angle, tool clearance, bed, starts and speed."""

from __future__ import annotations

import itertools
import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Bed
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.turning.passes import SPRING_PASSES, infeed, milled, turned
from gearchest.optimizer.turning.work import (
    Side,
    bed_fit,
    scratch,
    slide_side,
    starts,
    tool_clearance,
)


@given(depth=st.floats(0.05, 8), pitch=st.floats(0.2, 12))
def test_turned_passes_take_equal_areas(depth: float, pitch: float) -> None:
    """A V cut's area grows with the square of its depth."""
    depths = turned(depth, pitch)
    rising = depths[: len(depths) - SPRING_PASSES]
    areas = [b**2 - a**2 for a, b in zip((0.0, *rising), rising, strict=False)]
    assert areas == pytest.approx([areas[0]] * len(areas))
    assert rising[0] <= 0.2 * math.sqrt(pitch) + 1e-9
    assert depths[-SPRING_PASSES:] == pytest.approx([depth] * SPRING_PASSES)
    assert rising[-1] == pytest.approx(depth)


@pytest.mark.parametrize(("wooden", "most", "last"), [(True, 1.5, 0.3), (False, 0.5, 0.1)])
@given(depth=st.floats(0.05, 12))
def test_a_powered_cutter_never_bites_more_than_it_may(
    wooden: bool, most: float, last: float, depth: float
) -> None:
    feed = milled(depth, wooden=wooden)
    depths = (0.0, *feed.depths)
    bites = [b - a for a, b in itertools.pairwise(depths)]
    assert max(bites) <= most + 1e-9
    assert bites[-1] <= last + 1e-9
    assert depths[-1] == pytest.approx(depth)
    assert feed.spring == 0  # a spring pass only burns
    assert feed.slide_angle is None


def test_slide_reading_reaches_the_depth() -> None:
    """At 29.5 degrees for a 60 degree thread; reading x cos(angle) is the depth."""
    feed = infeed(0.92, 1.5, 60)
    assert feed.slide_angle == pytest.approx(29.5)
    cosine = math.cos(math.radians(29.5))
    assert [r * cosine for r in feed.slide_readings] == pytest.approx(feed.depths)


def test_square_thread_is_fed_straight() -> None:
    assert infeed(4, 8, 0).slide_angle is None
    assert infeed(4, 8, None).slide_angle is None
    # Where the top slide passes from start to start it cannot stand at an angle as well.
    assert infeed(0.92, 1.5, 60, straight=True).slide_readings == ()
    assert infeed(0.92, 1.5, 60, straight=True).depths == infeed(0.92, 1.5, 60).depths


def test_tool_clears_both_flanks() -> None:
    clearance = tool_clearance(8, 50, 42)
    assert clearance.leading == pytest.approx(4 + math.degrees(math.atan(8 / (math.pi * 42))))
    assert clearance.trailing == pytest.approx(4 - math.degrees(math.atan(8 / (math.pi * 50))))
    assert tool_clearance(24, 20, 15).trailing < 0  # steep: the flank leans under the tool


def test_bed_fit() -> None:
    bed = Bed(carriage_travel=100, between_centres=300)
    inside = bed_fit(bed, 90, 2, 2, 4)
    assert inside.fits is True
    assert inside.needed == pytest.approx(100)  # 90 + three pitches of run-in + run-out
    assert inside.longest == pytest.approx(90)
    assert bed_fit(bed, None, 2, 2, 4).fits is None
    assert bed_fit(Bed(), 90, 2, 2, 4).fits is None
    assert bed_fit(bed, 297, 2, 2, 4).fits is False
    roomy = Bed(carriage_travel=1000, between_centres=300)
    assert bed_fit(roomy, 296, 2, 2, 4).fits is True
    assert bed_fit(roomy, 297, 2, 2, 4).fits is False  # the run-out is work between centres too


@given(
    length=st.floats(20, 900),
    lead=st.floats(0.3, 110),
    starts=st.integers(1, 8),
    travel=st.floats(60, 400),
    run_out=st.floats(0.5, 10),
)
def test_moving_the_tool_leaves_no_part_uncut_and_keeps_to_the_groove(
    length: float, lead: float, starts: int, travel: float, run_out: float
) -> None:
    """Every setting cuts the travel it has from where the tool stands; laid side by side the
    settings must hold the whole length, overlap by a run-in, and stand whole leads apart."""
    pitch = lead / starts
    fit = bed_fit(Bed(carriage_travel=travel), length, lead, pitch, run_out)
    assert fit.needed == pytest.approx(length + 3 * pitch + run_out)
    assert fit.needed is not None
    if fit.needed <= travel:
        assert (fit.fits, fit.settings, fit.shift) == (True, 1, None)
        return
    assert fit.fits is False
    if fit.shift is None or fit.shift_leads is None:
        assert travel - 3 * pitch < lead * (1 + 1e-9)  # not even one lead overlaps
        return
    assert fit.shift == fit.shift_leads * lead
    places = [k * fit.shift for k in range(fit.settings)]
    assert places[-1] + travel >= fit.needed - 1e-6
    assert all(b + 3 * pitch <= a + travel + 1e-6 for a, b in itertools.pairwise(places))
    assert fit.by_slide == (places[-1] <= 50)
    # With a setting less no whole number of leads would do.
    most = math.floor((travel - 3 * pitch) / lead + 1e-9) * lead
    assert (fit.settings - 2) * most + travel < fit.needed + 1e-6


def test_six_starts_of_ten_millimetres_on_a_short_bed() -> None:
    """160 mm long, 100 mm of travel: two settings 120 mm apart would leave 100 to 120 uncut."""
    fit = bed_fit(Bed(carriage_travel=100), 160, 60.0, 10.0, 5.0)
    assert (fit.settings, fit.shift_leads, fit.shift) == (3, 1, 60.0)


def test_the_tool_moves_by_leads_of_the_train() -> None:
    """8 mm on a train 0.79 % short: 14 leads are 111.111 mm, not 112, which would cut a second
    groove 0.889 mm beside the first."""
    true = 8 * (1 - 1 / 126)
    fit = bed_fit(Bed(carriage_travel=100), 180, true, 8, 5)
    assert fit.shift is not None
    assert fit.shift / true == pytest.approx(round(fit.shift / true))
    assert fit.shift % 8 > 0.1


def test_a_top_slide_known_to_be_longer_moves_the_tool_farther() -> None:
    short = bed_fit(Bed(carriage_travel=100), 150, 2, 2, 4)
    assert short.shift == 60
    assert not short.by_slide
    assert bed_fit(Bed(carriage_travel=100, top_slide_travel=60), 150, 2, 2, 4).by_slide


@pytest.mark.parametrize(
    ("left", "inside", "side"),
    [
        (False, False, Side.TAILSTOCK), (True, False, Side.HEADSTOCK),
        (False, True, Side.HEADSTOCK), (True, True, Side.TAILSTOCK),
    ],
)  # fmt: skip
def test_the_top_slide_feeds_towards_the_leading_flank(
    left: bool, inside: bool, side: Side
) -> None:
    """By vectors: x to the tailstock, y towards the turner. The carriage runs to -x for a
    right-hand thread; the tool goes in to -y outside, to +y inside. It must advance the way the
    carriage runs while it goes in, along a slide whose handle is at its +y end. Textbooks: left
    hand outside, swung to the left; right hand outside, to the right."""
    along = 1 if left else -1
    deeper = 1 if inside else -1
    # The slide's line through (along, deeper): its end at +y lies at x = along / deeper.
    handle = along / deeper
    assert slide_side(left=left, inside=inside) is side
    assert side is (Side.TAILSTOCK if handle > 0 else Side.HEADSTOCK)


@given(lead=st.floats(0.2, 80), length=st.none() | st.floats(1, 500))
def test_the_scratch_is_counted_over_what_a_rule_and_the_thread_hold(
    lead: float, length: float | None
) -> None:
    count, long = scratch(lead, length)
    assert long == pytest.approx(count * lead)
    assert 1 <= count <= 10
    assert count == 1 or long <= min(60, 60 if length is None else length) + 1e-6


@pytest.mark.parametrize(
    ("lead", "length", "count"),
    [
        (25.4 / 8, None, 8),  # in an inch
        (25.4 / 8, 25.4, 8),  # which the thread just holds
        (25.4 / 8, 25.3, 7),
        (25.4 / 11.5, None, 23),  # in two
        (25.4 / 11.5, 50.8, 23),
        (25.4 / 11.5, 50.7, 10),  # which it does not hold: as in millimetres
        (25.4 / 8.019, None, 8),
        (25.4 / 8.021, None, 10),
        (25.4, None, 2),  # one would be no count
        (60.0, None, 1),
    ],
)
def test_an_inch_thread_is_counted_over_an_inch_or_two(
    lead: float, length: float | None, count: int
) -> None:
    assert scratch(lead, length, inch=True) == (count, pytest.approx(count * lead))


def test_what_the_bed_needs_is_told_whether_it_has_it_or_not() -> None:
    """90 mm, three pitches of 2 mm and 4 mm: all of it, or as much as the carriage can do."""
    for bed, fits, run, longest in (
        (Bed(), None, 100.0, None),
        (Bed(between_centres=50), False, 100.0, None),
        (Bed(carriage_travel=100), True, 100.0, 90.0),
        (Bed(carriage_travel=99), False, 99.0, 89.0),
        (Bed(carriage_travel=5), False, 5.0, 0.0),
    ):
        found = bed_fit(bed, 90, 2, 2, 4)
        assert (found.fits, found.needed, found.run) == (fits, 100.0, run)
        assert found.longest == longest
        unsure = fits is True and "between centres not in the lathe file" in found.why
        assert unsure == (bed.carriage_travel == 100)


def train(first: int, turns: Fraction) -> Train:
    gears = (Gear(first, Fraction(1)),), (Gear(60, Fraction(1)),), ((),)
    return Train(LAYOUTS[0], *gears, Setting(turns))


def test_starts_by_the_teeth_of_the_first_driver() -> None:
    """A third of a spindle turn must move the first driver on by whole teeth; by the slide a
    third of the train's lead."""
    assert starts(train(45, Fraction(1)), 3, 6.0).teeth == 15
    assert starts(train(40, Fraction(1)), 3, 6.0).teeth is None
    assert starts(train(45, Fraction(1, 2)), 3, 6.0).teeth is None
    assert starts(train(40, Fraction(1, 2)), 2, 6.0).teeth == 10
    assert starts(train(40, Fraction(1)), 3, 5.97).pitch == pytest.approx(1.99)


@pytest.mark.parametrize(
    ("wooden", "depth", "depths"),
    [
        (True, 0.3, (0.3,)),
        (True, 0.31, (0.01, 0.31)),
        (True, 1.8, (1.5, 1.8)),
        (True, 1.81, (0.755, 1.51, 1.81)),
        (True, 3.3, (1.5, 3.0, 3.3)),
        (False, 0.1, (0.1,)),
        (False, 0.6, (0.5, 0.6)),
        (False, 1.6, (0.5, 1.0, 1.5, 1.6)),
        (False, 1.62, (0.38, 0.76, 1.14, 1.52, 1.62)),
    ],
)
def test_a_powered_cutter_takes_as_few_passes_as_it_may(
    wooden: bool, depth: float, depths: tuple[float, ...]
) -> None:
    found = milled(depth, wooden=wooden)
    assert found.depths == pytest.approx(depths)
    assert (found.rotating, found.slide_readings) == (True, ())


def test_as_few_passes_are_turned_as_the_first_allows() -> None:
    """0.92 mm at a pitch of 1.5: the first may be 0.2 sqrt(1.5) = 0.245, so 14.1, that is 15; in
    a square groove of 4 mm at 8 mm, 0.566: 50 of 0.08 mm."""
    rising = turned(0.92, 1.5)[:-SPRING_PASSES]
    assert len(rising) == 15
    assert rising == pytest.approx([0.92 * math.sqrt(k / 15) for k in range(1, 16)])
    rising = turned(4.0, 8.0, parallel=True)[:-SPRING_PASSES]
    assert rising == pytest.approx([0.08 * k for k in range(1, 51)])
    assert turned(0.1, 1.0) == (0.1, 0.1, 0.1)
    assert turned(0.4, 1.0)[:-SPRING_PASSES] == pytest.approx(
        [0.2, 0.4 * math.sqrt(0.5), 0.4 * math.sqrt(0.75), 0.4]
    )


def test_flanks_of_twenty_degrees_and_more_are_fed_by_the_slide() -> None:
    assert infeed(1.0, 2.0, 19.9).slide_angle is None
    assert infeed(1.0, 2.0, 20.0).slide_angle == pytest.approx(9.5)
    assert infeed(1.0, 2.0, 0.0).depths == turned(1.0, 2.0, parallel=True)
    assert infeed(1.0, 2.0, 29.0).depths == turned(1.0, 2.0)
    assert infeed(1.0, 2.0, 29.0).spring == 2
    assert not infeed(1.0, 2.0, 29.0).rotating
