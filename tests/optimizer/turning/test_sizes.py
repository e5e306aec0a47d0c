"""The sizes of a thread outside and inside by its standard's tables; and what wood to take."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Use, Want
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.turning.sizes import NoInternalThread, Sizes, sizes
from gearchest.optimizer.turning.wood import Nut, Wood, rounding, wood


def of(size: str, form: str = "", **more: bool) -> Sizes:
    thread = find_size(size)
    want = Want(size, thread.pitch, Allowance(Fraction(1)), thread=thread, **more)
    return sizes(want, form)


@pytest.mark.parametrize(
    ("size", "inside", "major", "middle", "minor", "depth", "flats", "radius"),
    [
        # ISO 724: D2 9.026, D1 8.376, d3 8.160; depths 17/24 and 5/8 of H; radius H/6, crest P/8
        ("M10", False, 10.0, 9.026, 8.160, 0.920, (0.1875, 0.0), 0.2165),
        ("M10", True, 10.0, 9.026, 8.376, 0.812, (0.1875, 0.0), 0.2165),
        # ISO 2904: d2 18, d3 15.5, D4 20.5, D1 16; flats 0.366 P, the root's less 0.536 x 0.25
        ("Tr20x4", False, 20.0, 18.0, 15.5, 2.25, (1.464, 1.330), 0.0),
        ("Tr20x4", True, 20.5, 18.0, 16.0, 2.25, (1.464, 1.330), 0.0),
        # BS 84: 0.640327 P deep, radii 0.137329 P
        ("1/2 BSW", False, 12.7, 11.345, 9.990, 1.355, (0.0, 0.0), 0.2907),
        ("1/2 BSW", True, 12.7, 11.345, 9.990, 1.355, (0.0, 0.0), 0.2907),
    ],
)
def test_sizes_outside_and_inside_by_the_tables(
    size: str, inside: bool, major: float, middle: float, minor: float, depth: float,
    flats: tuple[float, float], radius: float,
) -> None:  # fmt: skip
    found = of(size, inside=inside)
    assert found.major == pytest.approx(major, abs=1e-3)
    assert found.pitch_diameter == pytest.approx(middle, abs=1e-3)
    assert found.minor == pytest.approx(minor, abs=1e-3)
    assert found.depth == pytest.approx(depth, abs=1e-3)
    assert (found.crest_flat, found.root_flat) == pytest.approx(flats, abs=1e-3)
    assert found.root_radius == pytest.approx(radius, abs=1e-3)
    lead = float(find_size(size).pitch.lead_mm)
    assert found.lead_angle == pytest.approx(math.degrees(math.atan(lead / math.pi / middle)), 1e-3)
    assert (found.inside, found.left, found.taper, found.plane) == (inside, False, 0.0, "")
    assert (found.assumed, found.form) == ("", FORMS[found.form_name].title)
    assert found.nut_bore == pytest.approx(
        {"M10": 8.376, "Tr20x4": 16.0}.get(size, minor), abs=1e-3
    )
    assert found.wires is not None


@pytest.mark.parametrize("inside", [False, True])
def test_a_taper_thread_is_sized_at_its_small_end_and_its_nut_at_the_face(inside: bool) -> None:
    """1/2-14 NPT (ASME B1.20.1), inches: E0 0.75843 and E1 0.77843, crests and roots 0.4 P off."""
    found = of("1/2 NPT", inside=inside)
    middle = 0.77843 if inside else 0.75843
    assert (found.pitch_diameter or 0) / 25.4 == pytest.approx(middle, abs=3e-5)
    assert (found.major or 0) / 25.4 == pytest.approx(middle + 0.8 / 14, abs=3e-5)
    assert (found.minor or 0) / 25.4 == pytest.approx(middle - 0.8 / 14, abs=3e-5)
    assert found.taper == 1 / 16
    assert found.plane == ("at the face" if inside else "at the small end")


def test_a_form_named_goes_before_that_of_the_size_and_leaves_its_standard() -> None:
    assert of("M10", "trapezoidal").form_name == "trapezoidal"
    assert of("M10", "trapezoidal").thread.standard == ""
    assert of("M10", "iso").thread.standard == of("M10").thread.standard == "ISO 965-1"
    assert of("M10", left=True).left
    for form in ("worm", "bottle"):
        assert of("M10", form).form_name == form
        with pytest.raises(NoInternalThread, match="no internal thread"):
            of("M10", form, inside=True)
    with pytest.raises(KeyError):
        of("M10", "unheard of")


def test_a_size_without_a_diameter_or_figures_has_none() -> None:
    plain = sizes(Want("w", mm(2), Allowance(Fraction(1))))
    assert (plain.major, plain.pitch_diameter, plain.minor, plain.lead_angle) == (None,) * 4
    assert plain.depth == pytest.approx(0.61343 * 2, abs=1e-4)
    assert of("28-400 bottle").depth is None
    assert of("28-400 bottle").included_angle is None


def test_wood_for_a_screw_and_for_its_nut() -> None:
    """50 mm: 2 % of play let the nut out, its block two diameters wide and one long; the screw is
    turned from stock 3 mm thicker, sawn to eight or twelve sides."""
    nut = Nut(bore=45.0, across=51.0, clearance=1.0, block=100.0, thick=50.0)
    assert wood(50.0, 44.0, 50.0, inside=False) == Wood(1.0, nut, 53.0, (rounding(8), rounding(12)))
    assert wood(50.0, 44.0, 50.0, inside=True) == Wood(1.0, nut)
    assert wood(20.0, None, 20.0, inside=True) == Wood(0.5, None)
    assert wood(20.0, 16.0, None, inside=True) == Wood(0.5, None)
    assert (rounding(8).cuts, rounding(8).angle) == (4, 45.0)
    assert (rounding(12).cuts, rounding(12).angle) == (8, 30.0)


def test_a_wooden_nut_is_bored_a_quarter_of_the_pitch_above_its_root() -> None:
    found = sizes(Want("w", mm(9), Allowance(Fraction(1)), use=Use.WOOD, diameter=Fraction(50)))
    assert found.minor == pytest.approx(50 - 2 * 3.375)
    assert found.nut_bore == pytest.approx(50 - 2 * 3.375 + 9 / 4)
