"""Limits of size against published tables, and what a lead error leaves of them."""

from __future__ import annotations

import csv
import math
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from gearchest.catalogs.threads import find_size, series_names, sizes
from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads import (
    british_limits,
    metric_limits,
    pipe_limits,
    trapezoidal_limits,
)
from gearchest.optimizer.threads.forms import dimensions
from gearchest.optimizer.threads.limit_classes import classes, limits_of
from gearchest.optimizer.threads.limits import Limits, target
from gearchest.optimizer.threads.preferred import preferred

PITCHES = (
    0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1, 1.25,
    1.5, 1.75, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6, 8,
)  # fmt: skip
"""mm: ISO 261."""

CHECKS = Path(__file__).parents[2] / "checks"


def limits(size: str, class_name: str = "", *, inside: bool = False) -> Limits:
    found = limits_of(find_size(size), inside=inside, class_name=class_name).limits
    assert found is not None, size
    return found


def rows(name: str) -> list[dict[str, str]]:
    with (CHECKS / f"{name}.csv").open(newline="") as file:
        return list(csv.DictReader(file))


def named(outside: Limits, inside: Limits) -> dict[str, float | None]:
    """Every limit by the name the tables give it."""
    values = (
        *outside.major, *outside.pitch_diameter, *outside.minor,
        *inside.major, *inside.pitch_diameter, *inside.minor,
    )  # fmt: skip
    names = "d_min d_max d2_min d2_max d3_min d3_max D4_min D_max D2_min D2_max D1_min D1_max"
    return dict(zip(names.split(), values, strict=True))


def check(row: dict[str, str], found: dict[str, float | None], unit: float, near: float) -> int:
    """Compare every figure of a row; minor diameters outside are rounded from rounded sizes."""
    seen = 0
    for name, published in row.items():
        if name not in found or not published:
            continue
        value, seen = found[name], seen + 1
        assert value is not None, f"{row['thread']} {name}"
        slack = 10**-3 * (1 if unit == 1 else 0.1) + 1e-9 if name.startswith("d3") else near
        assert value / unit == pytest.approx(float(published), abs=slack), f"{row['thread']} {name}"
    return seen


@pytest.mark.parametrize("row", rows("iso965_limits"), ids=lambda row: row["thread"])
def test_iso_965(row: dict[str, str]) -> None:
    found = named(limits(row["thread"]), limits(row["thread"], inside=True))
    assert check(row, found, 1, 1e-9) >= 4


@pytest.mark.parametrize("row", rows("iso2903_limits"), ids=lambda row: row["thread"])
def test_iso_2903(row: dict[str, str]) -> None:
    found = named(limits(row["thread"]), limits(row["thread"], inside=True))
    assert check(row, found, 1, 1e-9) >= 5


@pytest.mark.parametrize(
    "row", rows("unified_limits"), ids=lambda row: f"{row['thread']} {row['class']}"
)
def test_asme_b1_1(row: dict[str, str]) -> None:
    """To the last place for UNC, UNF and UNS; constant pitch series are printed with tolerances
    of a whole group of diameters, up to 0.0001 in apart."""
    outside = limits(row["thread"], f"{row['class']}A")
    inside = limits(row["thread"], f"{row['class']}B", inside=True)
    group = row["thread"].endswith((" UN", " UNEF"))
    assert check(row, named(outside, inside), 25.4, 1.01e-4 if group else 1e-9) >= 8


@pytest.mark.parametrize(
    ("size", "class_name", "inside", "quantity", "published", "source"),
    [
        ("M10", "6g", False, "minor", (7.938, 8.128), "obliczenia.icad.pl, M10-6g, read"),
        ("M10", "6g", False, "pitch", (8.862, 8.994), "obliczenia.icad.pl, M10-6g, read"),
        ("Tr10x2", "8c", False, "pitch", (8.614, 8.850), "obliczenia.icad.pl, Tr10x2-8c, read"),
        ("Tr10x2", "8c", False, "minor", (7.055, 7.500), "obliczenia.icad.pl, Tr10x2-8c, read"),
        ("G 1/2", "A", False, "pitch", (19.651, 19.793), "threadlib BSPP_thread.csv, read"),
        ("G 1/2", "B", False, "pitch", (19.509, 19.793), "ISO 228-1: class B has twice class A's"),
        ("G 1/2", "", True, "minor", (18.631, 19.172), "threadlib BSPP_thread.csv, read"),
        ("G 3", "A", False, "major", (87.450, 87.884), "threadlib BSPP_thread.csv, read"),
        ("M5", "4H", True, "pitch", (4.480, 4.560), "TD2 80 um: iso965_pitch_diameter_tolerance"),
        ("M2.5", "5H", True, "pitch", (2.208, 2.283), "TD2 75 um: the same table"),
        ("M10", "6e", False, "pitch", (8.827, 8.959), "ISO 965-1: e is 67 um at 1.5 mm, memory"),
        ("M10", "6G", True, "pitch", (9.058, 9.238), "ISO 965-1: G is 32 um at 1.5 mm, icad"),
    ],
)
def test_other_classes(
    size: str, class_name: str, inside: bool, quantity: str, published: tuple[float, float],
    source: str,
) -> None:  # fmt: skip
    found = limits(size, class_name, inside=inside)
    value = {"pitch": found.pitch_diameter, "minor": found.minor, "major": found.major}[quantity]
    assert value == pytest.approx(published, abs=1e-9), source


@pytest.mark.parametrize(
    ("size", "inside", "tolerances"),
    [
        ("M10", False, {"3": 67, "4": 85, "5": 106, "6": 132, "7": 170, "8": 212, "9": 265}),
        ("M10", True, {"4": 112, "5": 140, "6": 180, "7": 224, "8": 280}),
        ("Tr40x7", False, {"7": 355, "8": 450, "9": 560}),
        ("Tr40x7", True, {"7": 475, "8": 600, "9": 750}),
    ],
)
def test_every_grade_of_the_pitch_diameter(
    size: str, inside: bool, tolerances: dict[str, int]
) -> None:
    """ISO 965-1, 5.6 to 11.2 mm at 1.5 mm, and ISO 2903, 22.4 to 45 mm at 7 mm, from memory."""
    for grade, um in tolerances.items():
        if inside:
            name = f"{grade}H"
        elif size == "M10":
            name = f"{grade}h6h"
        else:
            name = f"{grade}{'c' if grade == '9' else 'e'}"
        least, most = limits(size, name, inside=inside).pitch_diameter
        assert least is not None
        assert most is not None
        assert 1000 * (most - least) == pytest.approx(um, abs=0.01), name


@pytest.mark.parametrize(
    ("major", "pitch", "um"), [(4, 0.5, 75), (64, 5, 250), (200, 3, 250), (200, 4, 280)]
)
def test_tolerances_printed_otherwise_than_the_formula_rounds(
    major: float, pitch: float, um: int
) -> None:
    """ISO 965-1, Td2 of grade 6, from memory."""
    found = metric_limits.limits(major, pitch, "6h", inside=False)
    assert found is not None
    least, most = found.pitch_diameter
    assert least is not None
    assert most is not None
    assert 1000 * (most - least) == pytest.approx(um, abs=0.01)


def test_several_starts_widen_the_tolerance() -> None:
    """ISO 2903, from memory: 1.12, 1.25, 1.4 and, from five starts on, 1.6 of one start's."""
    widths = []
    for starts in range(1, 8):
        found = trapezoidal_limits.limits(40, 7, "7e", inside=False, starts=starts)
        assert found is not None
        least, most = found.pitch_diameter
        assert least is not None
        assert most is not None
        widths.append(most - least)
    shares = [width / widths[0] for width in widths]
    assert shares == pytest.approx([1, 1.12, 1.25, 1.4, 1.6, 1.6, 1.6], abs=0.003)


def test_british_classes_are_two_thirds_and_half_again_of_the_medium_one() -> None:
    """BS 84; limits are rounded to 0.0001 in."""
    for inside, names in (
        (False, ("close", "medium", "free")),
        (True, ("close", "medium", "normal")),
    ):
        widths = []
        for name in names:
            least, most = limits("1/2 BSW", name, inside=inside).pitch_diameter
            assert least is not None
            assert most is not None
            widths.append((most - least) / 25.4)
        for width, share in zip(widths, (2 / 3, 1, 3 / 2), strict=True):
            assert width == pytest.approx(share * widths[1], abs=1.01e-4)


@pytest.mark.parametrize(("position", "least"), [("g", 15), ("f", 30), ("e", 50)])
def test_positions_lie_where_the_formulas_put_them(position: str, least: int) -> None:
    """ISO 965-1: g, f and e lie 15, 30 and 50 + 11 P um below the basic size, printed as preferred
    numbers, up to 4 % off; the finest e and one g are further off (the tables, from memory)."""
    apart = {("g", 0.75): 22, ("e", 0.5): 50, ("e", 0.6): 53}
    printed = 0
    for pitch in PITCHES:
        try:
            found = metric_limits.limits(100, pitch, f"6{position}", inside=False)
        except ValueError:
            continue  # ISO 965-1 has no such position at this pitch
        assert found is not None
        lies, formula = 1000 * (100 - found.major[1]), least + 11 * pitch
        off = 1e-6 if (position, pitch) in apart else 0.041 * formula
        assert lies == pytest.approx(apart.get((position, pitch), formula), abs=off)
        printed += 1
    assert printed == {"g": 25, "f": 22, "e": 19}[position]


@pytest.mark.parametrize(
    ("name", "least"), [("6g8g", 0.8), ("7g6g", 0.35), ("6g", 0.2), ("8g6g", 0.8)]
)
def test_each_grade_of_a_class_has_its_finest_pitch(name: str, least: float) -> None:
    """Grades of pitch diameter and of crest alike (ISO 965-1, from memory)."""
    assert metric_limits.limits(30, least, name, inside=False) is not None
    if least > 0.2:
        with pytest.raises(ValueError, match=f"from a pitch of {least:g} mm"):
            metric_limits.limits(30, least - 0.05, name, inside=False)


def test_acme_in_inches() -> None:
    """Handbook tables of class 2G, from memory; the allowances and clearances also in
    Machinery's Handbook 27, table 10 and 12 (read)."""
    screw, nut = limits("1-5 Acme"), limits("1-5 Acme", inside=True)
    inches = {name: None if v is None else v / 25.4 for name, v in named(screw, nut).items()}
    assert inches == pytest.approx({
        "d_min": 0.99, "d_max": 1, "d2_min": 0.8726, "d2_max": 0.8920, "d3_min": 0.7509,
        "d3_max": 0.78, "D4_min": 1.02, "D_max": 1.04, "D2_min": 0.9, "D2_max": 0.9194,
        "D1_min": 0.8, "D1_max": 0.81,
    }, abs=1e-6)  # fmt: skip
    half = limits("1/2-10 Acme")
    assert [v / 25.4 for v in half.pitch_diameter] == pytest.approx([0.4306, 0.4443], abs=1e-6)


def test_ba_by_its_formulas() -> None:
    """BS 93, normal and close class, worked by hand from the formulas in Machinery's Handbook 31,
    p. 2115; basic sizes of 2 BA there: 4.70, 4.215, 3.73."""
    bolt, nut = limits("2 BA"), limits("2 BA", inside=True)
    assert bolt.major == pytest.approx((4.675 - 0.162, 4.675))
    assert bolt.pitch_diameter == pytest.approx((4.190 - 0.106, 4.190))
    assert bolt.minor == pytest.approx((3.705 - 0.212, 3.705))
    assert nut.pitch_diameter == pytest.approx((4.215, 4.215 + 0.1272))
    assert nut.minor == pytest.approx((3.73, 3.73 + 0.3038), abs=1e-4)
    assert limits("2 BA", "close").major == pytest.approx((4.7 - 0.1215, 4.7))
    with pytest.raises(ValueError, match="0 to 10 BA"):
        limits("12 BA", "close")


@pytest.mark.parametrize(
    ("size", "tolerance", "allowance"),
    # Worked by hand: T = 0.002 D^(1/3) + 0.003 D^(1/2) + 0.005 P^(1/2).
    [("1/4 BSW", 0.003878, 0.001163), ("1/2 BSW", 0.005152, 0.001546), ("1 BSW", 0.006768, 0)],
)
def test_whitworth_by_its_formulas(size: str, tolerance: float, allowance: float) -> None:
    basic = (dimensions(find_size(size)).pitch_diameter_mm or 0) / 25.4
    for name, share in (("close", 2 / 3), ("medium", 1), ("free", 3 / 2)):
        least, most = (v / 25.4 for v in limits(size, name).pitch_diameter)
        below = 0 if name == "close" else allowance
        assert most == pytest.approx(basic - below, abs=6e-5)
        assert most - least == pytest.approx(share * tolerance, abs=1.1e-4)
    nut = limits(size, inside=True)
    assert nut.minor[0] is not None
    assert nut.minor[1] is not None
    pitch = find_size(size).pitch.mm / 25.4
    width = (nut.minor[1] - nut.minor[0]) / 25.4
    assert width == pytest.approx(0.2 * pitch + 0.007, abs=1.1e-4)


def test_small_sizes_have_the_usual_class_of_iso_965_2() -> None:
    assert limits("M1.4").class_name == "6h"
    assert limits("M1.4", inside=True).class_name == "5H"
    assert limits("M1.6").class_name == "6g"


def test_several_starts_widen_trapezoidal_tolerances() -> None:
    one, two = limits("Tr40x7"), limits("Tr40x14 P7")
    single = one.pitch_diameter[1] - one.pitch_diameter[0]
    assert two.pitch_diameter[1] == one.pitch_diameter[1]
    assert two.pitch_diameter[1] - two.pitch_diameter[0] == pytest.approx(1.12 * single, abs=1e-3)


@pytest.mark.parametrize(
    "thread",
    [
        find_size("1/2 NPT"), find_size("R 1/2"), find_size("E27 lamp"), find_size("5/8-26 BSC"),
        find_size("RMS"), Thread("coarse", mm(9), Fraction(50)), Thread("bare", mm(1)),
    ],
    ids=lambda thread: thread.name,
)  # fmt: skip
def test_no_limits_rather_than_wrong_ones(thread: Thread) -> None:
    for inside in (False, True):
        found = limits_of(thread, inside=inside)
        assert found.limits is None
        assert found.why


@pytest.mark.parametrize(
    ("size", "name", "inside", "says"),
    [
        ("M10", "6H", False, "no class of external"), ("M10", "6g", True, "no class of internal"),
        ("M10", "5g", False, "no such grade"), ("M4", "8g", False, "from a pitch of 0.8 mm"),
        ("M2", "6e", False, "no position e"), ("M10", "2A", False, "no class"),
        ("1/4-20 UNC", "2B", False, "no class of external"),
        ("Tr20x4", "6e", False, "no class of external"),
        ("Tr20x4", "7e", True, "no class of internal"), ("G 1/2", "A", True, "class of internal"),
        ("1/4-20 UNC", "2A", True, "no class of internal"), ("2 BA", "close", True, "of nuts"),
        ("11 BA", "close", False, "for 0 to 10 BA only"),
        ("1/2 BSW", "free", True, "no class of nuts"), ("G 1/2", "C", False, "no class"),
        ("1/2-10 Acme", "5G", False, "no class"),
    ],
)  # fmt: skip
def test_classes_that_do_not_exist(size: str, name: str, inside: bool, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        limits_of(find_size(size), inside=inside, class_name=name)


TOLERANCED = [
    name for name in series_names()
    if name.startswith(("iso", "unif", "acme", "stub", "ba", "brass", "whit", "model", "pipe-g"))
]  # fmt: skip


@pytest.mark.parametrize("name", TOLERANCED)
def test_every_size_goes_together_and_has_metal_to_spare(name: str) -> None:
    """In the usual class: limits in their order, and the largest screw in the smallest nut."""
    for thread in sizes(name):
        screw = limits_of(thread, inside=False).limits
        nut = limits_of(thread, inside=True).limits
        if screw is None or nut is None:
            assert screw is nut
            continue
        for one in (screw, nut):
            for least, most in (one.major, one.pitch_diameter, one.minor):
                assert least is None or most is None or least < most, thread.name
        assert screw.pitch_diameter[1] <= nut.pitch_diameter[0] + 1e-9, thread.name
        assert (screw.major[1] or 0) <= (nut.major[0] or 0) + 1e-9, thread.name
        assert (screw.minor[1] or 0) <= (nut.minor[0] or 0) + 0.02, thread.name
        assert (screw.class_name, nut.class_name) == (
            classes(thread, inside=False)[0], classes(thread, inside=True)[0],
        )  # fmt: skip


@pytest.mark.parametrize(("inside", "sign"), [(False, 1), (True, -1)])
def test_what_is_left_still_goes_together(inside: bool, sign: int) -> None:
    """A ridge every (1 + e) P against grooves every P: cut to the limit that is left, it just
    touches over the engaged length, and 10 um beyond it strikes. Flanks as points in a plane."""
    error, engaged = 1.5e-3, 10.05
    found = limits("M10", inside=inside)
    left = target(found, error, engaged, 60.0)
    assert left.pitch_diameter is not None
    mate = found.pitch_diameter[0 if inside else 1]
    limit = left.pitch_diameter[0 if inside else 1]
    half = math.tan(math.radians(30))
    for beyond, goes in ((0.0, True), (0.010, False)):
        cut = limit + sign * beyond
        # Room of a ridge in its groove, on each side, from the two pitch diameters.
        room = sign * (mate - cut) / 2 * half
        shift = np.linspace(0, engaged, 400) * error  # of the ridge against its groove
        play = 2 * room - (shift.max() - shift.min())
        assert bool(play >= -1e-9) is goes


def test_a_lead_error_too_large_for_the_length_leaves_nothing() -> None:
    left = target(limits("M10"), -0.01, 10.0, 60.0)
    assert left.pitch_diameter is None
    assert left.longest is not None
    again = target(limits("M10"), -0.01, left.longest * 0.999, 60.0)
    assert again.pitch_diameter is not None
    assert target(limits("M10"), 0.0, 10.0, 60.0).pitch_diameter == limits("M10").pitch_diameter
    assert target(limits("M10"), 0.0, 10.0, 60.0).longest is None


def test_a_plain_pitch_is_judged_by_its_form() -> None:
    plain = limits_of(Thread("x", mm("1.25"), Fraction(9), form="iso"), inside=False).limits
    assert plain is not None
    assert plain.pitch_diameter == limits("M9x1.25").pitch_diameter
    odd = limits_of(Thread("x", mm("1.3"), Fraction(9), form="iso"), inside=False).limits
    assert odd is not None
    assert "beyond its tables" in odd.note
    inch = limits_of(Thread("x", tpi(14), Fraction(127, 5), form="unified"), inside=False).limits
    assert inch is not None
    assert inch.pitch_diameter == limits("1-14 UNS").pitch_diameter
    feed = Thread("x", tpi(8), Fraction(5, 8) * Fraction(127, 5), form="acme")
    found = limits_of(feed, inside=False).limits
    assert found is not None
    assert found.pitch_diameter == limits("5/8-8 Acme").pitch_diameter
    several = Thread("x", Pitch(Fraction(1), starts=2), Fraction(9), form="iso")
    found = limits_of(several, inside=False).limits
    assert found is not None
    assert "single start" in found.note


def test_preferred_numbers() -> None:
    """R40 of ISO 3; halves to the even side, as in ISO 965-1 (M2: Td2 of grade 4 is 42)."""
    assert [preferred(v) for v in (98.7, 110.7, 121, 130.2)] == [100, 112, 118, 132]
    assert preferred(67, -8) == 42
    assert preferred(112, 9) == 190
    with pytest.raises(ValueError, match="outside"):
        preferred(0.5)


R40 = (
    10, 10.6, 11.2, 11.8, 12.5, 13.2, 14, 15, 16, 17, 18, 19, 20, 21.2, 22.4, 23.6, 25, 26.5, 28,
    30, 31.5, 33.5, 35.5, 37.5, 40, 42.5, 45, 47.5, 50, 53, 56, 60, 63, 67, 71, 75, 80, 85, 90, 95,
)  # fmt: skip
"""ISO 3."""


def in_r40(number: float) -> bool:
    """Whether this is a preferred number, or one rounded to a whole one."""
    decade = 10.0 ** (len(str(number)) - 2)
    return any(abs(one * decade - number) <= 0.5 for one in R40)


@pytest.mark.parametrize("pitch", PITCHES)
@pytest.mark.parametrize(("position", "base"), [("g", 15), ("f", 30), ("e", 50)])
def test_deviations_are_the_formula_rounded_to_preferred_numbers(
    pitch: float, position: str, base: int
) -> None:
    """ISO 965-1: es = -(base + 11 P)."""
    found = metric_limits._DEVIATIONS[pitch]["gfe".index(position)]
    if not found:
        assert position != "g"
        assert pitch < (0.35 if position == "f" else 0.5)
        return
    assert in_r40(found) or (pitch, found) in ((2, 52), (2.5, 58), (3.5, 70))  # as published
    assert found == pytest.approx(base + 11 * pitch, rel=0.11)


@pytest.mark.parametrize("pitch", trapezoidal_limits._BY_PITCH)
def test_trapezoidal_tolerances_are_those_of_iso_965_grade_4(pitch: float) -> None:
    """Grade 4 is 0.63 of grade 6. The deviation of c is about twice that of e, and from P = 8 on
    they grow as the pitch's root. All are preferred numbers, within half a step or so."""
    e, c, major, minor = trapezoidal_limits._BY_PITCH[pitch]
    assert all(map(in_r40, (e, c, major, minor)))
    by_formula = 0.63 * (180 * pitch ** (2 / 3) - 3.15 / pitch**0.5)
    assert major == pytest.approx(by_formula, rel=0.055)
    assert minor == pytest.approx(0.63 * 230 * pitch**0.7, rel=0.035)
    assert 1.97 <= c / e <= 2.12
    grows = 50 + 11 * pitch if pitch < 8 else 132 * (pitch / 8) ** 0.5
    assert e == pytest.approx(grows, rel=0.035)


@pytest.mark.parametrize(
    ("major", "pitch", "some"),
    [(1.0, 0.25, True), (0.99, 0.25, False), (355, 6, True), (355.1, 6, False),
     (10, 0.2, True), (10, 0.19, False), (200, 8, True), (200, 8.01, False)],
)  # fmt: skip
def test_iso_965_ends_where_its_formulas_do(major: float, pitch: float, some: bool) -> None:
    assert (metric_limits.limits(major, pitch, "6h", inside=False) is not None) == some


def test_standards_have_their_own_sizes_and_classes() -> None:
    assert trapezoidal_limits.limits(8, 1.5, "7e", inside=False) is not None
    assert trapezoidal_limits.limits(7.9, 1.5, "7e", inside=False) is None
    assert trapezoidal_limits.limits(300, 24, "7e", inside=False) is not None
    assert trapezoidal_limits.limits(301, 24, "7e", inside=False) is None
    assert trapezoidal_limits.limits(40, 6.5, "7e", inside=False) is None
    assert pipe_limits.limits(20.955, 25.4 / 14, "A", inside=False) is not None
    for pitch in (25.4 / 13, 25.4 / 14.01):
        assert pipe_limits.limits(20.955, pitch, "A", inside=False) is None
    with pytest.raises(ValueError, match="6g is no class of bolts in BS 93"):
        british_limits.association(4.7, 0.81, "6g", inside=False)


@pytest.mark.parametrize(
    ("inside", "name", "least"),
    [
        (True, "5H", 0.25), (True, "6H", 0.3), (True, "7H", 0.5), (True, "8H", 0.8),
        (True, "4H", 0.2), (False, "6g", 0.2), (False, "7h6h", 0.35), (False, "8h6h", 0.8),
        (False, "9h8h", 0.8), (False, "6f", 0.35), (False, "6e", 0.5),
    ],
)  # fmt: skip
def test_each_class_begins_at_its_finest_pitch(inside: bool, name: str, least: float) -> None:
    """ISO 965-1, from memory."""
    for pitch in PITCHES:
        if pitch >= least:
            assert metric_limits.limits(100, pitch, name, inside=inside) is not None
        else:
            with pytest.raises(ValueError, match="ISO 965-1 has"):
                metric_limits.limits(100, pitch, name, inside=inside)


@pytest.mark.parametrize(
    ("major", "pitch", "tolerance"),
    [(3, 0.5, 75), (64, 5, 250), (200, 3, 250), (200, 4, 280), (355, 4, 280)],
)
def test_pitch_diameters_of_6h_where_the_table_leaves_the_formula(
    major: float, pitch: float, tolerance: int
) -> None:
    """ISO 965-1, tolerances of the pitch diameter of external threads, grade 6, um; from
    memory."""
    found = metric_limits.limits(major, pitch, "6h", inside=False)
    assert found
    assert found.pitch_diameter
    low, high = found.pitch_diameter
    assert round(1000 * (high - low)) == tolerance
