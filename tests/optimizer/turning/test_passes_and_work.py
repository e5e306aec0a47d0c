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
from gearchest.optimizer.turning.passes import SPRING_PASSES, infeed, routed, turned
from gearchest.optimizer.turning.speed import overrun, speed
from gearchest.optimizer.turning.work import bed_fit, starts, tool_clearance


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


@given(depth=st.floats(0.05, 12))
def test_routed_passes_never_bite_more_than_they_may(depth: float) -> None:
    depths = (0.0, *routed(depth))
    bites = [b - a for a, b in itertools.pairwise(depths)]
    assert max(bites) <= 1.5 + 1e-9
    assert bites[-1] <= 0.3 + 1e-9
    assert depths[-1] == pytest.approx(depth)


def test_slide_reading_reaches_the_depth() -> None:
    """At 29.5 degrees for a 60 degree thread; reading x cos(angle) is the depth."""
    feed = infeed(0.92, 1.5, 60, rotating=False)
    assert feed.slide_angle == pytest.approx(29.5)
    cosine = math.cos(math.radians(29.5))
    assert [r * cosine for r in feed.slide_readings] == pytest.approx(feed.depths)


def test_square_thread_is_fed_straight() -> None:
    assert infeed(4, 8, 0, rotating=False).slide_angle is None
    assert infeed(4, 8, None, rotating=False).slide_angle is None
    assert infeed(4, 8, 90, rotating=True).slide_readings == ()


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


@given(length=st.floats(91, 280), lead=st.sampled_from((2.0, 6.0)))
def test_moving_the_tool_reaches_the_rest_in_the_same_groove(length: float, lead: float) -> None:
    fit = bed_fit(Bed(carriage_travel=100), length, lead, 2, 4)
    assert fit.fits is False
    assert fit.shift is not None
    assert fit.shift_leads is not None
    assert fit.needed is not None
    assert fit.shift == pytest.approx(fit.shift_leads * lead)
    assert 100 + (fit.settings - 1) * fit.shift >= fit.needed - 1e-6
    assert fit.settings == 2 or 100 + (fit.settings - 2) * 100 < fit.needed


def train(first: int, turns: Fraction) -> Train:
    gears = (Gear(first, Fraction(1)),), (Gear(60, Fraction(1)),), ((),)
    return Train(LAYOUTS[0], *gears, Setting(turns))


def test_starts_by_the_teeth_of_the_first_driver() -> None:
    """A third of a spindle turn must move the first driver on by whole teeth."""
    assert starts(train(45, Fraction(1)), 3, 2.0).teeth == 15
    assert starts(train(40, Fraction(1)), 3, 2.0).teeth is None
    assert starts(train(45, Fraction(1, 2)), 3, 2.0).teeth is None
    assert starts(train(40, Fraction(1, 2)), 2, 2.0).teeth == 10


def test_speed_keeps_the_overrun() -> None:
    """60 rpm and 0.5 s: half a turn, half a lead."""
    assert overrun(8, 60, 0.5) == pytest.approx(4)
    found = speed(8, 0.5, 4.0, 60)
    assert found.highest_rpm == pytest.approx(60)
    assert found.overrun_at_lowest == pytest.approx(4)
    assert found.carriage_at_lowest == pytest.approx(480)
    assert found.slow_enough is True
    assert speed(8, 0.5, 3.9, 60).slow_enough is False
    assert speed(8, 0.5, 4.0, None).slow_enough is None
