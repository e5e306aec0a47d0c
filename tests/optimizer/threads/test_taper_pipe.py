"""Taper pipe threads against the tables of their standards, and wires on a drawn cone."""

from __future__ import annotations

import math

import pytest
from scipy.optimize import brentq

from gearchest.catalogs.threads import find_size, sizes
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.taper_pipe import (
    gauge_plane,
    half_angle,
    lead_when_set_over,
    over_wires,
    set_over,
)


@pytest.mark.parametrize(
    ("size", "pitch_diameter", "hand_tight", "useful"),
    [
        ("1/8", 0.37360, 0.162, 0.2639), ("1/4", 0.49163, 0.228, 0.4018),
        ("3/8", 0.62701, 0.240, 0.4078), ("1/2", 0.77843, 0.320, 0.5337),
        ("3/4", 0.98887, 0.339, 0.5457), ("1", 1.23863, 0.400, 0.6828),
        ("1 1/4", 1.58338, 0.420, 0.7068), ("2", 2.29627, 0.436, 0.7565),
        ("2 1/2", 2.76215, 0.682, 1.1375), ("3", 3.38850, 0.766, 1.2000),
        ("4", 4.38712, 0.844, 1.3000), ("6", 6.50597, 0.958, 1.5125),
        # the rest from memory
        ("5", 5.44929, 0.937, 1.4063), ("1/16", 0.28118, 0.160, 0.2611),
        ("1 1/2", 1.82234, 0.420, 0.7235), ("3 1/2", 3.88881, 0.821, 1.2500),
        ("8", 8.50003, 1.063, 1.7125), ("10", 10.62094, 1.210, 1.9250),
        ("12", 12.61781, 1.360, 2.1250),
    ],
)  # fmt: skip
def test_npt_gauge_plane(
    size: str, pitch_diameter: float, hand_tight: float, useful: float
) -> None:
    """ASME B1.20.1, table of a pipe stockholder (unifiedalloys.com), read; inches."""
    plane = gauge_plane(find_size(f"{size} NPT"))
    assert plane is not None
    assert plane.pitch_diameter / 25.4 == pytest.approx(pitch_diameter, abs=2e-5)
    assert plane.from_end / 25.4 == pytest.approx(hand_tight, abs=6e-4)
    assert plane.useful / 25.4 == pytest.approx(useful, abs=6e-5)
    assert plane.turns == 1


@pytest.mark.parametrize(
    ("size", "length"),
    [
        ("1/8", 4.0), ("1/4", 6.0), ("3/8", 6.4), ("1/2", 8.2), ("3/4", 9.5), ("1", 10.4),
        ("1 1/4", 12.7), ("2", 15.9), ("2 1/2", 17.5), ("3", 20.6), ("5", 28.6),
        ("1/16", 4.0), ("1 1/2", 12.7), ("4", 25.4), ("6", 28.6),  # from memory
    ],
)  # fmt: skip
def test_r_gauge_length(size: str, length: float) -> None:
    """ISO 7-1, table at liquisearch.com, read; pitch diameters are those of ISO 228-1."""
    plane = gauge_plane(find_size(f"R {size}"))
    same = find_size(f"G {size}")
    assert plane is not None
    assert plane.from_end == length
    assert plane.pitch_diameter == pytest.approx(
        float(same.major_mm or 0) - 0.640327 * same.pitch.mm, abs=1e-6
    )


@pytest.mark.parametrize("thread", sizes("pipe-r"), ids=lambda thread: thread.name)
def test_r_useful_thread_is_the_gauge_length_and_so_many_turns_to_be_screwed_in(
    thread: Thread,
) -> None:
    """ISO 7-1's fitting allowance in turns, its millimetres rounded to tenths (from memory)."""
    turns = {"2": 3.25, "2 1/2": 4.0, "3": 4.0, "4": 4.5, "5": 5.0, "6": 5.0}
    plane = gauge_plane(thread)
    assert plane is not None
    allowance = turns.get(thread.name.removeprefix("R "), 2.75) * thread.pitch.mm
    assert plane.useful - plane.from_end == pytest.approx(allowance, abs=0.052)


def test_every_taper_size_has_a_gauge_plane_and_no_other_has() -> None:
    for name in ("pipe-npt", "pipe-r"):
        for thread in sizes(name):
            plane = gauge_plane(thread)
            assert plane is not None, thread.name
            assert plane.from_end < plane.useful, thread.name
    assert gauge_plane(find_size("G 1/2")) is None
    assert gauge_plane(find_size("M10")) is None


def test_how_the_taper_is_made() -> None:
    degrees = half_angle(1 / 16)
    assert degrees == pytest.approx(1 + 47 / 60 + 24 / 3600, abs=1 / 7200)
    assert set_over(1 / 16, 160) == pytest.approx(5.0)
    assert lead_when_set_over(1 / 16) == pytest.approx(-0.000488, abs=1e-6)


def test_wires_by_the_handbook() -> None:
    """M = (E - 0.86603 P + 3.00049 W) / 1.00049, Machinery's Handbook."""
    for middle, pitch, wire in ((19.772, 25.4 / 14, 1.05), (60.0, 25.4 / 8, 1.8)):
        found = over_wires(middle, pitch, wire, 60.0, 1 / 16)
        handbook = (middle - 0.86603 * pitch + 3.00049 * wire) / 1.00049
        assert found == pytest.approx(handbook, abs=2e-4)


@pytest.mark.parametrize("angle", [55.0, 60.0])
def test_wires_laid_in_a_drawn_taper_thread(angle: float) -> None:
    """Circles in grooves square to the axis, two above and one below; parallel anvils, the upper
    one on the two. The flanks of a groove cross the sloping pitch line half a pitch apart, so
    they meet P/4 (cot a - tan^2 t tan a) under it (ASME B1.20.1, height of the sharp thread)."""
    taper, pitch, wire, middle = 1 / 16, 2.0, 1.2, 30.0
    tangent, slope = math.tan(math.radians(angle / 2)), taper / 2
    left, right = (
        brentq(lambda x, way=way: slope * x + height(tangent, slope, pitch) - way * x / tangent,
               *sorted((0.0, way * pitch)))
        for way in (-1, 1)
    )  # fmt: skip
    assert right - left == pytest.approx(pitch / 2)

    def centre(at: float) -> float:
        """Radius at which a wire in the groove at `at` has its centre."""
        bottom = middle / 2 + slope * at - height(tangent, slope, pitch)
        return bottom + wire / 2 / math.sin(math.radians(angle / 2))

    side = math.atan(slope)
    upper = -math.sin(side) * pitch / 2 + math.cos(side) * centre(pitch / 2) + wire / 2
    assert upper == pytest.approx(
        math.sin(side) * pitch / 2 + math.cos(side) * centre(-pitch / 2) + wire / 2
    )
    lower = -math.cos(side) * centre(0.0) - wire / 2
    assert over_wires(middle, pitch, wire, angle, taper) == pytest.approx(upper - lower, abs=6e-4)


def height(tangent: float, slope: float, pitch: float) -> float:
    """From the sharp root to the pitch line."""
    return pitch / 4 * (1 / tangent - slope**2 * tangent)
