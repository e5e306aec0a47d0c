"""Thread forms against the dimensions their standards print."""

from __future__ import annotations

import csv
import math
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.flanks import Flanks
from gearchest.optimizer.threads.forms import FORMS, dimensions, profile, wood
from gearchest.optimizer.threads.outline import outline

CHECKS = Path(__file__).parents[2] / "checks"
STRAIGHT = [name for name, form in FORMS.items() if form.flanks]
ALIKE = [name for name in STRAIGHT if not name.startswith("buttress")]
BUTTRESS = {"buttress": (3, 30), "buttress-7-45": (7, 45)}
ROUNDED_CREST = ["whitworth", "ba", "cycle"]
ROUNDED_ROOT = [*ROUNDED_CREST, "iso", "unified"]


def rows(name: str) -> list[dict[str, str]]:
    with (CHECKS / name).open(newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows("iso724_basic_diameters.csv"), ids=lambda row: row["thread"])
def test_basic_diameters_of_iso_724_to_a_micrometre(row: dict[str, str]) -> None:
    sizes = dimensions(find_size(row["thread"]))
    found = (sizes.pitch_diameter_mm, sizes.minor_mm, sizes.nut_minor_mm)
    published = tuple(float(row[column]) for column in ("d2_mm", "d3_mm", "D1_mm"))
    assert found == pytest.approx(published, abs=1e-3)


@pytest.mark.parametrize(
    ("form", "angle", "depth", "addendum"),
    [
        # Iso: h3 = 0.61343 P, d2 = d - 0.64952 P (tap table after ISO 724, read).
        ("iso", 60, 0.61343, 0.64952 / 2),
        # Unified: external thread 0.59539 P deep (ASME B1.1, UNR).
        ("unified", 60, 0.59539, 0.64952 / 2),
        # Machinery's Handbook 31, table 2, p. 2087: h = 0.640327 p.
        ("whitworth", 55, 0.640327, 0.640327 / 2),
        ("whitworth-taper", 55, 0.640327, 0.640327 / 2),
        # Thread data sheet on scribd.com, 36661779: BA depth 0.6 P.
        ("ba", 47.5, 0.6, 0.3),
        # BS 811: 0.5327 P.
        ("cycle", 60, 0.5327, 0.5327 / 2),
        # ASME B1.20.1: 0.8 P.
        ("npt", 60, 0.8, 0.4),
        # DIN 513: h3 = 0.867767 P, d2 = d - 0.75 P, from memory; core d - 1.72 P seen.
        ("buttress", 33, 0.86777, 0.375),
        # ASME B1.9: h = 0.66271 p, engagement 0.6 p.
        ("buttress-7-45", 52, 0.66271, 0.3),
        # Books on turning: depth and width half the pitch.
        ("square", 0, 0.5, 0.25),
    ],
)
def test_depth_and_angle_of_each_form(
    form: str, angle: float, depth: float, addendum: float
) -> None:
    assert FORMS[form].included_angle_deg == angle
    assert profile(FORMS[form], 1.0).depth_mm == pytest.approx(depth, abs=6e-5)
    assert FORMS[form].addendum == pytest.approx(addendum, abs=6e-5)


@pytest.mark.parametrize("tpi", [4, 8, 20, 40])
def test_whitworth_depth(tpi: int) -> None:
    pitch = 25.4 / tpi
    assert profile(FORMS["whitworth"], pitch).depth_mm == pytest.approx(0.640327 * pitch)


@pytest.mark.parametrize(
    ("size", "external_minor", "nut_minor"),
    [("1/4-20", 0.1905, 0.1959), ("1/2-13", 0.4084, 0.4167), ("1-8", 0.8512, 0.8647),
     ("4-4 UNC", 3.7023, 3.7294), ("#4-40", 0.0822, 0.0849)],
)  # fmt: skip
def test_unified_minor_diameters(size: str, external_minor: float, nut_minor: float) -> None:
    """Machinery's Handbook 31, table 4a, p. 1978, inches."""
    sizes = dimensions(find_size(size))
    assert (sizes.minor_mm or 0) / 25.4 == pytest.approx(external_minor, abs=6e-5)
    assert (sizes.nut_minor_mm or 0) / 25.4 == pytest.approx(nut_minor, abs=6e-5)


@pytest.mark.parametrize(
    ("size", "d2", "d3", "nut_minor", "nut_major"),
    [
        ("Tr8x1.5", 7.25, 6.2, 6.5, 8.3), ("Tr16x4", 14, 11.5, 12, 16.5),
        ("Tr28x5", 25.5, 22.5, 23, 28.5), ("Tr30x6", 27, 23, 24, 31),
        ("Tr40x7", 36.5, 32, 33, 41), ("Tr44x12", 38, 31, 32, 45), ("Tr55x14", 48, 39, 41, 57),
        ("Tr210x36", 192, 172, 174, 212),
    ],
)  # fmt: skip
def test_trapezoidal_diameters_with_each_clearance(
    size: str, d2: float, d3: float, nut_minor: float, nut_major: float
) -> None:
    """threadlib design/TR.csv, read: both sides of each step of the clearance a_c of ISO 2904."""
    sizes = dimensions(find_size(size))
    found = (sizes.pitch_diameter_mm, sizes.minor_mm, sizes.nut_minor_mm, sizes.nut_major_mm)
    assert found == pytest.approx((d2, d3, nut_minor, nut_major))


@pytest.mark.parametrize(
    ("tpi", "height", "crest", "root"),
    [(16, 0.0238, 0.0264, 0.0238), (12, 0.0300, 0.0352, 0.0326), (10, 0.0400, 0.0422, 0.0370),
     (8, 0.0475, 0.0528, 0.0476), (5, 0.0700, 0.0845, 0.0793), (2, 0.1600, 0.2112, 0.2060)],
)  # fmt: skip
def test_stub_acme_form(tpi: int, height: float, crest: float, root: float) -> None:
    """Machinery's Handbook 27, table 13, p. 1844, inches: total height, flats of crest and root."""
    ridge = profile(FORMS["stub-acme"], 25.4 / tpi)
    assert ridge.depth_mm / 25.4 == pytest.approx(height, abs=6e-5)
    assert ridge.crest_flat_mm / 25.4 == pytest.approx(crest, abs=6e-5)
    assert ridge.root_flat_mm / 25.4 == pytest.approx(root, abs=1e-4)  # of rounded figures


@pytest.mark.parametrize(
    ("size", "d2", "minor", "height"),
    [("1/4-16 Acme", 0.21875, 0.1875, 0.03625), ("1-5 Acme", 0.9, 0.8, 0.11),
     ("2-4 Acme", 1.875, 1.75, 0.135)],
)  # fmt: skip
def test_acme_diameters(size: str, d2: float, minor: float, height: float) -> None:
    """ASME B1.5 by its formulas: D - P/2, D - P, P/2 and half the allowance; inches."""
    sizes = dimensions(find_size(size))
    found = (sizes.pitch_diameter_mm, sizes.nut_minor_mm, sizes.profile.depth_mm)
    assert found == pytest.approx((d2 * 25.4, minor * 25.4, height * 25.4))


@pytest.mark.parametrize(
    ("size", "minor"),
    [(0, 4.80), (1, 4.22), (2, 3.73), (4, 2.81), (7, 1.92), (10, 1.28), (13, 0.90), (16, 0.56)],
)
def test_ba_minor_diameters(size: int, minor: float) -> None:
    """Machinery's Handbook 31, p. 2115 (BS 93)."""
    assert dimensions(find_size(f"{size} BA")).minor_mm == pytest.approx(minor, abs=6e-3)


def test_the_pipe_taper_and_its_plane_are_told() -> None:
    """Pitch diameter 0.75843 in at the small end of 1/2 NPT: ASME B1.20.1, from memory; read in
    mm in thread_sizes.csv."""
    sizes = dimensions(find_size("1/2 NPT"))
    assert (sizes.pitch_diameter_mm or 0) / 25.4 == pytest.approx(0.75843, abs=6e-6)
    assert sizes.plane == "at the small end"
    assert FORMS["npt"].taper == FORMS["whitworth-taper"].taper == 1 / 16
    assert dimensions(find_size("R 1/2")).plane == "in the gauge plane"


def test_several_starts_steepen_the_lead_angle_but_not_the_ridge() -> None:
    one, two = dimensions(find_size("Tr40x7")), dimensions(find_size("Tr40x14 P7"))
    assert two.profile == one.profile
    assert two.minor_mm == one.minor_mm
    assert math.tan(math.radians(two.lead_angle_deg or 0)) == pytest.approx(
        2 * math.tan(math.radians(one.lead_angle_deg or 0))
    )


def test_the_lead_angle_of_a_worked_example() -> None:
    """Mott, Machine Elements, example 17-1 (screw_mechanics.csv): Acme with a pitch diameter
    of 1.3429 in and a lead of 0.25 in, 3.39 degrees; here the basic pitch diameter, 1.375 in."""
    sizes = dimensions(find_size("1 1/2-4 Acme"))
    tangent = math.tan(math.radians(sizes.lead_angle_deg or 0)) * 1.375 / 1.3429
    assert math.degrees(math.atan(tangent)) == pytest.approx(3.39, abs=0.005)


def test_a_thread_without_a_diameter_has_a_ridge_and_no_diameters() -> None:
    sizes = dimensions(Thread("worm", Pitch(Fraction(1), pi=True), form="worm"))
    assert sizes.profile.depth_mm == pytest.approx(2.2)
    assert sizes.major_mm is sizes.pitch_diameter_mm is sizes.nut_bore_mm is None


def test_the_flats_of_a_worm_are_what_its_flanks_leave() -> None:
    """Of half a pitch at the pitch line the flanks take 2 h tan 20 degrees on their way to the
    crest, an addendum of 1 module away, and to the root, 1.2 modules away."""
    worm, module = FORMS["worm"], 1 / math.pi
    slope = math.tan(math.radians(20))
    assert worm.crest == pytest.approx(0.5 - 2 * module * slope)
    assert worm.root == pytest.approx(0.5 - 2 * 1.2 * module * slope)
    assert 0 < worm.root < worm.crest < 0.5


def test_a_square_thread_is_half_a_pitch_wide_and_deep() -> None:
    """Nominal, as books on turning have it: ridge and groove alike, the flanks upright."""
    ridge = profile(FORMS["square"], 6.0)
    assert (ridge.depth_mm, ridge.crest_flat_mm, ridge.root_flat_mm) == (3, 3, 3)


@pytest.mark.parametrize(
    ("size", "title"),
    [
        ("M10", "ISO metric"),
        ("M10x1", "ISO metric"),
        ("1/4-20 UNC", "Unified"),
        ("1/2 BSW", "Whitworth"),
        ("R 1/2", "Whitworth, taper 1:16"),
        ("2 BA", "British Association"),
        ("1/2 NPT", "NPT, taper 1:16"),
        ("Tr20x4", "ISO trapezoidal"),
        ("1-5 Acme", "Acme"),
    ],
)
def test_each_thread_has_the_title_of_its_own_form(size: str, title: str) -> None:
    assert FORMS[find_size(size).form or ""].title == title


def test_a_worm_has_no_nut_to_bore() -> None:
    sizes = dimensions(Thread("worm", Pitch(Fraction(2), pi=True), Fraction(40), form="worm"))
    assert (sizes.pitch_diameter_mm, sizes.minor_mm) == pytest.approx((36, 40 - 8.8))
    assert sizes.nut_bore_mm is None


def test_a_bottle_neck_promises_no_diameters() -> None:
    sizes = dimensions(find_size("PCO-1881"))
    assert sizes.major_mm == pytest.approx(27.4)
    assert sizes.pitch_diameter_mm is None


def test_wood_is_bored_as_the_tap_made_from_a_bolt_wants() -> None:
    """1 in, 8 to the inch, 60 degrees: bore 7/8 in (article on tools for threading wood)."""
    tap = Thread("tap", mm(Fraction(127, 40)), Fraction(127, 5), form="wood-60")
    assert dimensions(tap).nut_bore_mm == pytest.approx(7 / 8 * 25.4, abs=0.2)


@given(st.floats(60, 90), st.floats(0, 0.45), st.floats(0.5, 30))
@settings(max_examples=40)
def test_a_wooden_v_closes_at_its_angle(angle: float, flat: float, pitch: float) -> None:
    """The V that the flats cut short is as deep as its angle says: (P - 2 flat)/2 = depth tan."""
    ridge = profile(wood(angle, flat), pitch)
    run = ridge.depth_mm * math.tan(math.radians(angle / 2))
    assert 2 * run + ridge.crest_flat_mm + ridge.root_flat_mm == pytest.approx(pitch)


@pytest.mark.parametrize(("angle", "flat"), [(59, 0.1), (91, 0.1), (60, 0.5), (60, -0.1)])
def test_a_wooden_v_out_of_range_is_refused(angle: float, flat: float) -> None:
    with pytest.raises(ValueError, match="not"):
        wood(angle, flat)


@pytest.mark.parametrize("name", STRAIGHT)
def test_an_outline_is_one_pitch_of_the_profile(name: str) -> None:
    form, pitch = FORMS[name], 3.0
    line = outline(form, pitch)
    ridge = profile(form, pitch)
    axial, radial = zip(*line, strict=True)
    assert axial[-1] - axial[0] == pytest.approx(pitch)
    assert list(axial) == sorted(axial)
    assert max(radial) == radial[0] == radial[-1] == pytest.approx(form.addendum * pitch)
    assert max(radial) - min(radial) == pytest.approx(ridge.depth_mm)
    if name in ALIKE:
        assert axial[0] == 0.0
        assert radial == pytest.approx(tuple(reversed(radial)))


@pytest.mark.parametrize("name", STRAIGHT)
def test_the_flanks_of_an_outline_cross_the_pitch_line_at_their_angle(name: str) -> None:
    form, pitch = FORMS[name], 2.0
    line = outline(form, pitch)
    (x0, y0), (x1, y1) = next((a, b) for a, b in pairwise(line) if a[1] >= 0 > b[1])
    (x3, y3), (x2, y2) = next((b, a) for a, b in pairwise(line) if a[1] < 0 <= b[1])
    load, other = BUTTRESS.get(name, 2 * ((form.included_angle_deg or 0) / 2,))
    falls, rises = math.tan(math.radians(load)), math.tan(math.radians(other))
    assert (x1 - x0) / (y0 - y1) == pytest.approx(falls, rel=1e-4)
    assert (x3 - x2) / (y3 - y2) == pytest.approx(rises, rel=1e-4)
    assert x0 + y0 * falls == pytest.approx(pitch / 4, rel=1e-4)
    assert x3 - y3 * rises == pytest.approx(3 * pitch / 4, rel=1e-4)


@pytest.mark.parametrize("name", ROUNDED_ROOT)
def test_published_radii_are_tangent_to_the_flanks(name: str) -> None:
    """Depth, angle and radius are three published figures; they must close into one curve."""
    form, pitch = FORMS[name], 1.0
    half = math.radians((form.included_angle_deg or 0) / 2)
    line = outline(form, pitch, arc_points=5)
    root = [(x, y) for x, y in line if x <= pitch / 2][-5]  # where the root's arc begins
    assert root[1] == pytest.approx((pitch / 4 - root[0]) / math.tan(half), abs=2e-5)
    if name in ROUNDED_CREST:
        crest = line[4]
        assert crest[1] == pytest.approx((pitch / 4 - crest[0]) / math.tan(half), abs=2e-5)


STRAIGHT = [name for name, form in FORMS.items() if form.flanks]


@pytest.mark.parametrize("name", STRAIGHT)
def test_ridge_and_groove_are_half_a_pitch_wide_on_the_pitch_line(name: str) -> None:
    """So flats follow from heights; and the nut's root lies where the screw's crest is."""
    form = FORMS[name]
    assert form.flanks is not None
    load, other = form.flanks.load, form.flanks.other
    slopes = math.tan(math.radians(load)) + math.tan(math.radians(other))
    if form.crest:
        assert form.crest == pytest.approx(1 / 2 - form.addendum * slopes, abs=2e-4)
    if form.root:
        dedendum = form.depth - form.addendum
        assert form.root == pytest.approx(1 / 2 - dedendum * slopes, abs=2e-4)
    if form.has_nut and name != "buttress-7-45":  # whose nut has a root of the same roundness
        assert form.nut_depth - form.nut_addendum == pytest.approx(form.addendum, abs=1e-9)
        assert form.nut_addendum <= form.depth - form.addendum + 1e-9


@pytest.mark.parametrize(("name", "height"), [("buttress", 0.75), ("buttress-7-45", 0.6)])
def test_buttress_threads_engage_as_high_as_their_standards_say(name: str, height: float) -> None:
    """DIN 513: 0.75 P; ASME B1.9: 0.6 P, half of it on either side of the pitch line."""
    form = FORMS[name]
    assert form.addendum == form.nut_addendum == pytest.approx(height / 2)


@pytest.mark.parametrize("name", BUTTRESS)
def test_published_figures_of_buttress_threads_close_into_one_curve(name: str) -> None:
    """Depth, crest flat and root radius are published each for itself; with both angles any two
    give the third: the flanks meet the crest where the flat ends, and touch the root's circle."""
    form = FORMS[name]
    assert form.root_radius > 0
    load, other = (math.tan(math.radians(angle)) for angle in BUTTRESS[name])
    assert form.crest == pytest.approx(1 / 2 - form.addendum * (load + other), abs=5e-6)
    line = outline(form, 1.0, arc_points=400)
    centre_y = form.addendum - form.depth + form.root_radius
    lowest = min(line, key=lambda point: point[1])
    for slope, at in ((load, 1 / 4), (other, 3 / 4)):
        # distance of the circle's centre from the line through (at, 0) of this slope
        side = 1 if at < 1 / 2 else -1
        away = side * (lowest[0] - at) + centre_y * slope
        assert away / math.hypot(1, slope) == pytest.approx(form.root_radius, abs=2e-5)


@given(st.floats(0, 60), st.floats(0, 60), st.floats(0.1, 20))
@settings(max_examples=60)
def test_a_circle_of_the_seat_touches_both_flanks(load: float, other: float, radius: float) -> None:
    """Distances from a point to two lines through the origin, the one of the circle's radius."""
    assume(load + other > 1)
    flanks = Flanks(load, other)
    a, b = math.radians(load), math.radians(other)
    y = flanks.seat * radius
    x = (radius - y * math.sin(b)) / math.cos(b)  # so far from the other flank on the left
    assert y * math.sin(a) - x * math.cos(a) == pytest.approx(radius, rel=1e-9)


def test_a_form_without_flanks_has_no_outline() -> None:
    with pytest.raises(ValueError, match="no straight flanks"):
        outline(FORMS["edison"], 3.6)


@pytest.mark.parametrize(
    ("name", "arcs"), [("whitworth", 4), ("iso", 2), ("acme", 0), ("square", 0), ("npt", 0)]
)
def test_each_rounding_is_nine_points_unless_said(name: str, arcs: int) -> None:
    """Crest and root in two halves each, the root's middle once; a flat has its two ends."""
    for said, points in ((None, 9), (5, 5)):
        line = outline(FORMS[name], 2.0) if said is None else outline(FORMS[name], 2.0, said)
        assert len(line) == arcs * points + (4 - arcs) * 2 - 1


def test_a_thread_without_a_form_is_taken_as_iso_metric() -> None:
    plain = Thread("plain", mm("1.5"), Fraction(10))
    assert dimensions(plain) == dimensions(replace(plain, form="iso"))
    assert dimensions(plain).pitch_diameter_mm == pytest.approx(9.026, abs=1e-3)


@pytest.mark.parametrize(("tpi", "gap"), [(9, 0.010), (10, 0.010), (10.5, 0.005), (11, 0.005)])
def test_acme_threads_finer_than_ten_to_the_inch_have_half_the_clearance(
    tpi: float, gap: float
) -> None:
    """ASME B1.5, inches, radially."""
    for name in ("acme", "stub-acme"):
        assert FORMS[name].clearance_mm(25.4 / tpi) == pytest.approx(gap * 25.4)


def test_flanks_by_their_two_angles() -> None:
    """3 and 30 degrees: a groove widens by tan 3 + tan 30 a millimetre, as one between two flanks
    of 17.48 degrees does. 30 and 30: as a thread of 60 degrees."""
    uneven = Flanks(3, 30)
    mean = (math.tan(math.radians(3)) + math.tan(math.radians(30))) / 2
    assert (uneven.included, uneven.alike) == (33, False)
    assert uneven.slope == pytest.approx(mean)
    assert uneven.as_alike == pytest.approx(2 * math.degrees(math.atan(mean)))
    assert uneven.sharp(2.0) == pytest.approx(0.5 / mean)
    even = Flanks(30, 30)
    assert (even.included, even.as_alike, even.alike) == (60, 60, True)
    assert even.seat == pytest.approx(2)
    assert even.sharp(2.0) == pytest.approx(0.5 * math.sqrt(3))
    assert math.isinf(Flanks(0, 0).sharp(2.0))


@pytest.mark.parametrize(
    ("pitch", "gap"),
    [(1.5, 0.15), (2, 0.25), (5, 0.25), (6, 0.5), (12, 0.5), (12.5, 1.0), (14, 1.0)],
)
def test_trapezoidal_threads_have_four_clearances(pitch: float, gap: float) -> None:
    """ISO 2904's a_c, mm; between the pitches it has, that of the coarser."""
    assert FORMS["trapezoidal"].clearance_mm(pitch) == gap
