"""Limits of every class, worked out again from the formulas that the standards give."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from gearchest.catalogs.threads import find_size, sizes
from gearchest.optimizer.domain.pitch import MM_PER_INCH, tpi
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads import metric_limits, pipe_limits, trapezoidal_limits
from gearchest.optimizer.threads.limit_classes import limits_of
from gearchest.optimizer.threads.limits import Limits
from gearchest.optimizer.threads.preferred import preferred
from gearchest.optimizer.threads.taper_pipe import gauge_plane

Ends = tuple[float, float]


def limits(size: str, class_name: str, *, inside: bool = False) -> Limits:
    found = limits_of(find_size(size), inside=inside, class_name=class_name).limits
    assert found is not None
    return found


def inches(ends: tuple[float | None, float | None]) -> tuple[float | None, ...]:
    return tuple(None if end is None else end / 25.4 for end in ends)


@pytest.mark.parametrize(
    ("size", "d", "p"),
    [("3/16-24 BSW", 3 / 16, 1 / 24), ("1/4 BSW", 1 / 4, 1 / 20), ("1/4-26 BSF", 1 / 4, 1 / 26),
     ("5/16 BSF", 5 / 16, 1 / 22), ("3/4 BSW", 3 / 4, 1 / 10), ("7/8 BSW", 7 / 8, 1 / 9)],
)  # fmt: skip
def test_whitworth_bolts_and_nuts(size: str, d: float, p: float) -> None:
    """BS 84: T = 0.002 D^(1/3) + 0.003 D^(1/2) + 0.005 p^(1/2). Bolts: effective 2/3, 1, 3/2 of
    T; major that + 0.01 p^(1/2); minor that + 0.013 (close) or 0.02 p^(1/2). Medium and free
    bolts stay 0.3 T below up to 3/4 in, T of 1/4 BSW below 1/4 in. Bore of the nut 0.2 p + 0.004
    in from 26 threads to the inch, + 0.005 at 24 and 22, + 0.007 from 20 down."""

    def medium(d: float, p: float) -> float:
        return 0.002 * d ** (1 / 3) + 0.003 * d**0.5 + 0.005 * p**0.5

    depth, wide = 0.640327 * p, medium(d, p)
    allowed = 0.3 * (medium(1 / 4, 1 / 20) if d < 0.25 else wide) if d <= 0.75 else 0.0
    for name, share in (("close", 2 / 3), ("medium", 1), ("free", 3 / 2)):
        found, width = limits(size, name), share * wide
        below = 0.0 if name == "close" else allowed
        more = (0.01, 0.0, 0.013 if name == "close" else 0.02)
        basic = (d, d - depth, d - 2 * depth)
        for ends, at, add in zip(
            (found.major, found.pitch_diameter, found.minor), basic, more, strict=True
        ):
            least = at - below - width - add * p**0.5
            printed = round(least, 4), round(at - below, 4)
            assert inches(ends) == pytest.approx(printed, abs=1e-9), name
    bore = 0.2 * p + {26: 0.004, 24: 0.005, 22: 0.005}.get(round(1 / p), 0.007)
    for name, share in (("close", 2 / 3), ("medium", 1), ("normal", 3 / 2)):
        nut = limits(size, name, inside=True)
        assert inches(nut.minor) == pytest.approx((d - 2 * depth, d - 2 * depth + bore), abs=6e-5)
        assert inches(nut.pitch_diameter) == pytest.approx(
            (d - depth, d - depth + share * wide), abs=6e-5
        )
        assert inches(nut.major) == (pytest.approx(d, abs=6e-5), None)


@pytest.mark.parametrize(
    ("number", "d", "p", "depth"),
    [(0, 6.0, 1.0, 0.6), (10, 1.7, 0.35, 0.21), (11, 1.5, 0.31, 0.185), (16, 0.79, 0.19, 0.115)],
)
def test_association_bolts_and_nuts(number: int, d: float, p: float, depth: float) -> None:
    """BS 93, mm. Normal bolts 0 to 10: 0.025 below, 0.2 p, 0.1 p + 0.025 and twice that; from 11
    on nothing below and 0.25 p. Close bolts 0 to 10: 0.15 p, 0.08 p + 0.02 and twice that. Nuts
    0.12 p + 0.03 and 0.375 p. Depth 0.6 p in steps of 0.005."""
    below, crest = (0.025, 0.2) if number <= 10 else (0.0, 0.25)
    basic = (d, d - depth, d - 2 * depth)
    classes = {"normal": (below, crest * p, 0.1 * p + 0.025)}
    if number <= 10:
        classes["close"] = (0.0, 0.15 * p, 0.08 * p + 0.02)
    for name, (below, crest, width) in classes.items():
        found = limits(f"{number} BA", name)
        for ends, at, wide in zip(
            (found.major, found.pitch_diameter, found.minor), basic,
            (crest, width, 2 * width), strict=True,
        ):  # fmt: skip
            assert ends == pytest.approx((at - below - wide, at - below), abs=6e-5), name
    if number > 10:
        with pytest.raises(ValueError, match="0 to 10 BA"):
            limits(f"{number} BA", "close")
    nut = limits(f"{number} BA", "normal", inside=True)
    assert nut.major == (pytest.approx(d), None)
    assert nut.pitch_diameter == pytest.approx((d - depth, d - depth + 0.12 * p + 0.03), abs=6e-5)
    assert nut.minor == pytest.approx((d - 2 * depth, d - 2 * depth + 0.375 * p), abs=6e-5)


@pytest.mark.parametrize(
    ("size", "class_name", "major", "pitch_diameter", "minor"),
    [
        ("1/4-20 UNC", "1A", (0.2367, 0.2489), (0.2108, 0.2164), None),
        ("1/2-13 UNC", "1A", (0.4822, 0.4985), (0.4411, 0.4485), None),
        ("1/4-20 UNC", "1B", None, (0.2175, 0.2248), (0.196, 0.207)),
        ("1/2-13 UNC", "1B", None, (0.4500, 0.4597), (0.417, 0.434)),
        ("#12-32 UNEF", "2B", None, (0.1957, 0.1998), (0.182, 0.190)),
        ("1-5 Acme", "3G", (0.99, 1.0), (0.8849, 0.8940), (0.7664, 0.78)),
        ("1-5 Acme", "4G", (0.99, 1.0), (0.8895, 0.8960), (0.7703, 0.78)),
    ],
)  # fmt: skip
def test_classes_less_in_use(
    size: str, class_name: str, major: Ends | None, pitch_diameter: Ends, minor: Ends | None
) -> None:
    """ASME B1.1 and B1.5, printed tables, from memory; inches."""
    found = limits(size, class_name, inside=class_name[1] == "B")
    if major is not None:
        assert inches(found.major) == pytest.approx(major, abs=6e-5)
    assert inches(found.pitch_diameter) == pytest.approx(pitch_diameter, abs=6e-5)
    if minor is not None:
        assert inches(found.minor) == pytest.approx(minor, abs=1.1e-4)


@pytest.mark.parametrize(
    ("class_name", "by_pitch", "by_size", "allowance"),
    [("2G", 0.030, 0.006, 0.008), ("3G", 0.014, 0.0028, 0.006), ("4G", 0.010, 0.002, 0.004)],
)
@pytest.mark.parametrize(
    ("size", "d", "p"), [("1/4-16 Acme", 0.25, 1 / 16), ("2-4 Acme", 2, 1 / 4)]
)
def test_acme_screws_and_nuts(
    class_name: str, by_pitch: float, by_size: float, allowance: float,
    size: str, d: float, p: float,
) -> None:  # fmt: skip
    """ASME B1.5: a x p^(1/2) + b x D^(1/2), c x D^(1/2) below basic; crests 0.05 p, at least
    0.005 in; clearance 0.010 in, above 10 threads to the inch 0.005 in; roots have 1.5 times."""
    screw, nut = limits(size, class_name), limits(size, class_name, inside=True)
    width, crest = by_pitch * p**0.5 + by_size * d**0.5, max(0.05 * p, 0.005)
    gap, most = 0.02 if 1 / p <= 10 else 0.01, d - p / 2 - allowance * d**0.5
    assert inches(screw.major) == pytest.approx((d - crest, d), abs=6e-5)
    assert inches(screw.pitch_diameter) == pytest.approx((most - width, most), abs=6e-5)
    root = d - p - gap
    assert inches(screw.minor) == pytest.approx((root - 1.5 * width, root), abs=6e-5)
    assert inches(nut.major) == pytest.approx((d + gap, d + 2 * gap), abs=6e-5)
    assert inches(nut.pitch_diameter) == pytest.approx((d - p / 2, d - p / 2 + width), abs=6e-5)
    assert inches(nut.minor) == pytest.approx((d - p, d - p + crest), abs=6e-5)


def test_stub_acme_screws_and_nuts() -> None:
    """ASME B1.8, 1/2-10: 0.3 p high, fit and tolerances of class 2G, no limit of the nut's root."""
    screw, nut = limits("1/2-10 Stub Acme", "2G"), limits("1/2-10 Stub Acme", "2G", inside=True)
    width = 0.03 * 0.1**0.5 + 0.006 * 0.5**0.5
    most = 0.5 - 0.03 - 0.008 * 0.5**0.5
    assert inches(screw.pitch_diameter) == pytest.approx((most - width, most), abs=6e-5)
    assert inches(screw.minor) == pytest.approx((0.42 - 1.5 * width, 0.42), abs=6e-5)
    assert inches(nut.major) == (pytest.approx(0.52), None)
    assert inches(nut.minor) == pytest.approx((0.44, 0.445), abs=6e-5)
    with pytest.raises(ValueError, match="3G is no class of ASME"):
        limits("1/2-10 Stub Acme", "3G")


@pytest.mark.parametrize("thread", sizes("pipe-g"), ids=lambda thread: thread.name)
def test_parallel_pipe_threads(thread: Thread) -> None:
    """ISO 228-1: tolerances by the pitch, those of the pitch diameter larger above G 2; class B
    has twice class A's, the major diameter twice class A's in both. From memory."""
    tpi, d = round(25.4 / thread.pitch.mm), float(thread.major_mm or 0)
    effective, bore = {28: (107, 282), 19: (125, 445), 14: (142, 541), 11: (180, 640)}[tpi]
    if d > 60:
        effective = 217
    depth = 0.640327 * thread.pitch.mm
    for name, times in (("A", 1), ("B", 2)):
        found = pipe_limits.limits(d, thread.pitch.mm, name, inside=False)
        assert found is not None
        assert found.major == pytest.approx((d - 2 * effective / 1000, d), abs=6e-4)
        middle = (d - depth - times * effective / 1000, d - depth)
        assert found.pitch_diameter == pytest.approx(middle, abs=1.1e-3)
    nut = pipe_limits.limits(d, thread.pitch.mm, "one class", inside=True)
    assert nut is not None
    assert nut.minor == pytest.approx((d - 2 * depth, d - 2 * depth + bore / 1000), abs=1.6e-3)
    assert nut.minor[0] is not None
    assert nut.minor[1] is not None
    assert nut.minor[1] - nut.minor[0] == pytest.approx(bore / 1000, abs=1e-6)
    middle = (d - depth, d - depth + effective / 1000)
    assert nut.pitch_diameter == pytest.approx(middle, abs=1.1e-3)


@pytest.mark.parametrize("thread", sizes("pipe-r"), ids=lambda thread: thread.name)
def test_the_plane_of_large_taper_pipes_may_lie_a_turn_and_a_half_off(thread: Thread) -> None:
    """ISO 7-1, from memory: up to R 2 one turn."""
    plane = gauge_plane(thread)
    assert plane is not None
    large = thread.name.removeprefix("R ") in ("2 1/2", "3", "4", "5", "6")
    assert plane.turns == (1.5 if large else 1.0)
    depth = 0.640327 * thread.pitch.mm
    assert (plane.major, plane.minor) == pytest.approx(
        (plane.pitch_diameter + depth, plane.pitch_diameter - depth), abs=1e-6
    )


@pytest.mark.parametrize(
    ("inside", "position", "um"),
    [(False, "h", {4: 150, 6: 236, 8: 375}),
     (True, "H", {4: 190, 5: 236, 6: 300, 7: 375, 8: 475})],
)  # fmt: skip
def test_every_grade_of_the_crest(inside: bool, position: str, um: dict[int, int]) -> None:
    """ISO 965-1 at 1.5 mm, from memory."""
    for grade, wide in um.items():
        found = limits("M10", f"6{position}{grade}{position}", inside=inside)
        least, most = found.minor if inside else found.major
        assert least is not None
        assert most is not None
        assert 1000 * (most - least) == pytest.approx(wide, abs=0.01)


def test_pitch_diameter_and_crest_have_positions_of_their_own() -> None:
    """M10: pitch diameter 9.026, bore 8.376, g and G 32 um, e 67 um off (ISO 965-1)."""
    bolt = limits("M10", "6e6g")
    assert (bolt.major[1], bolt.pitch_diameter[1]) == pytest.approx((9.968, 8.959))
    bolt = limits("M10", "6h6e")
    assert (bolt.major[1], bolt.pitch_diameter[1]) == pytest.approx((9.933, 9.026))
    nut = limits("M10", "6H6G", inside=True)
    assert (nut.minor[0], nut.pitch_diameter[0], nut.major[0]) == pytest.approx((8.408, 9.026, 10))
    nut = limits("M10", "6G6H", inside=True)
    assert (nut.minor[0], nut.pitch_diameter[0]) == pytest.approx((8.376, 9.058))
    assert nut.major[0] == pytest.approx(10.032)


PRINTED = {
    "g": {0.2: 17, 0.25: 18, 0.3: 18, 0.35: 19, 0.4: 19, 0.45: 20, 0.5: 20, 0.6: 21, 0.7: 22,
          0.75: 22, 0.8: 24, 1: 26, 1.25: 28, 1.5: 32, 1.75: 34, 2: 38, 2.5: 42, 3: 48, 3.5: 53,
          4: 60, 4.5: 63, 5: 71, 5.5: 75, 6: 80, 8: 100},
    "f": {0.35: 34, 0.4: 34, 0.45: 35, 0.5: 36, 0.6: 36, 0.7: 38, 0.75: 38, 0.8: 38, 1: 40,
          1.25: 42, 1.5: 45, 1.75: 48, 2: 52, 2.5: 58, 3: 63, 3.5: 70, 4: 75, 4.5: 80, 5: 85,
          5.5: 90, 6: 95, 8: 118},
    "e": {0.5: 50, 0.6: 53, 0.7: 56, 0.75: 56, 0.8: 60, 1: 60, 1.25: 63, 1.5: 67, 1.75: 71, 2: 71,
          2.5: 80, 3: 85, 3.5: 90, 4: 95, 4.5: 100, 5: 106, 5.5: 112, 6: 118, 8: 140},
}  # fmt: skip
"""Fundamental deviations, um: ISO 965-1, table 1, from memory."""


@pytest.mark.parametrize("position", PRINTED)
def test_bolts_stay_as_far_below_as_the_table_prints(position: str) -> None:
    for pitch, um in PRINTED[position].items():
        found = metric_limits.limits(100, pitch, f"6{position}", inside=False)
        assert found is not None
        assert 1000 * (100 - found.major[1]) == pytest.approx(um, abs=0.01)
        assert not found.note


@pytest.mark.parametrize("pitch", trapezoidal_limits._BY_PITCH)
def test_trapezoidal_limits_to_a_micrometre(pitch: float) -> None:
    """ISO 2903: the crests have grade 4, position h and H; e and c lie below the basic size, 0.5
    P below the diameter; the screw's root is 1.25 times as wide and as far below."""
    e, c, major, minor = trapezoidal_limits._BY_PITCH[pitch]
    d, gap = 100.0, 0.15 if pitch == 1.5 else 0.25 if pitch <= 5 else 0.5 if pitch <= 12 else 1.0
    for name, um in (("8e", e), ("8c", c)):
        screw = trapezoidal_limits.limits(d, pitch, name, inside=False)
        assert screw is not None
        least, most = screw.pitch_diameter
        assert most == pytest.approx(d - pitch / 2 - um / 1000, abs=1e-6)
        assert screw.major == pytest.approx((d - major / 1000, d), abs=1e-6)
        root = d - pitch - 2 * gap
        low = root - 1.25 * (most - least) - um / 1000
        assert screw.minor == pytest.approx((low, root), abs=1.2e-3)
    nut = trapezoidal_limits.limits(d, pitch, "8H", inside=True)
    assert nut is not None
    assert nut.minor == pytest.approx((d - pitch, d - pitch + minor / 1000), abs=1e-6)
    assert nut.major == (pytest.approx(d + 2 * gap), None)
    assert nut.pitch_diameter[0] == pytest.approx(d - pitch / 2)


def nearest(value: float) -> float:
    """The preferred number nearest by ratio, R40 of ISO 3 as its own root has it, then as the
    standard rounds that root."""
    series = (
        10, 10.6, 11.2, 11.8, 12.5, 13.2, 14, 15, 16, 17, 18, 19, 20, 21.2, 22.4, 23.6, 25, 26.5,
        28, 30, 31.5, 33.5, 35.5, 37.5, 40, 42.5, 45, 47.5, 50, 53, 56, 60, 63, 67, 71, 75, 80, 85,
        90, 95,
    )  # fmt: skip
    return min(
        (one * 10.0**decade for one in series for decade in range(-1, 4)),
        key=lambda one: max(one / value, value / one),
    )


def test_pitches_beyond_the_tables_have_what_the_formulas_give() -> None:
    """ISO 965-1, um, at 12 mm: Td2 = 90 P^0.4 d^0.1 of the step from 11.2 to 22.4 mm, Td = 180
    P^(2/3) - 3.15 P^(-1/2), TD1 = 433 P - 190 P^1.22 below 1 mm, 230 P^0.7 from there."""
    for hundredths in range(21, 350, 2):
        pitch = hundredths / 100
        bolt = metric_limits.limits(12, pitch, "6g", inside=False)
        nut = metric_limits.limits(12, pitch, "6H" if pitch > 0.3 else "4H", inside=True)
        assert bolt is not None
        assert nut is not None
        if not bolt.note:
            continue
        assert bolt.major[0] is not None
        assert bolt.major[1] is not None
        below = 1000 * (12 - bolt.major[1])
        assert below == pytest.approx(15 + 11 * pitch, abs=0.51)
        wide = 90 * pitch**0.4 * (11.2 * 22.4) ** 0.05
        td = 180 * pitch ** (2 / 3) - 3.15 / pitch**0.5
        td1 = 433 * pitch - 190 * pitch**1.22 if pitch < 1 else 230 * pitch**0.7
        found = [1000 * (ends[1] - ends[0]) for ends in (bolt.pitch_diameter, bolt.major)]
        assert found == pytest.approx([nearest(wide), nearest(td)], abs=0.51)
        if pitch > 0.3:
            assert nut.minor[0] is not None
            assert nut.minor[1] is not None
            assert 1000 * (nut.minor[1] - nut.minor[0]) == pytest.approx(nearest(td1), abs=0.51)


@pytest.mark.parametrize(
    ("size", "minor"),
    [
        # 0.12 p above 1/13 in, below it 0.23 p - 1.5 p^2, where the formula by size gives less
        ("2-12 UN", (1.9098, 1.9198)), ("2-16 UN", (1.932, 1.9408)),
        ("1/2-13 UNC", (0.417, 0.4284)),
    ],
)  # fmt: skip
def test_bores_of_class_3b(size: str, minor: Ends) -> None:
    """ASME B1.1, printed tables, from memory; inches."""
    found = limits(size, "3B", inside=True)
    assert inches(found.minor)[1] == pytest.approx(minor[1], abs=1.1e-4)
    assert inches(found.minor)[0] == pytest.approx(minor[0], abs=6e-4)


@pytest.mark.parametrize(("per_inch", "width"), [(4, 0.25 / 4 - 0.4 / 16), (3, 0.15 / 3)])
def test_bores_coarser_than_four_to_the_inch_have_a_share_of_the_pitch(
    per_inch: int, width: float
) -> None:
    """ASME B1.1, class 2B: 0.25 p - 0.4 p^2 to 4 to the inch, 0.15 p beyond."""
    thread = Thread("thick", tpi(per_inch), Fraction(6) * MM_PER_INCH, "unified")
    found = limits_of(thread, inside=True, class_name="2B").limits
    assert found is not None
    least, most = inches(found.minor)
    assert least is not None
    assert most is not None
    assert most - least == pytest.approx(width, abs=1.1e-3)
    assert most == pytest.approx(6 - 1.25 * math.sqrt(3) / 2 / per_inch + width, abs=6e-4)


@pytest.mark.parametrize("per_inch", [13.9, 13.999, 14.001, 14.1, 12, 27])
def test_pipe_threads_have_limits_at_the_pitches_of_their_standard_alone(per_inch: float) -> None:
    for inside, name in ((False, "A"), (True, "one class")):
        assert pipe_limits.limits(20.955, 25.4 / per_inch, name, inside=inside) is None
        assert pipe_limits.limits(20.955, 25.4 / 14, name, inside=inside) is not None


def test_preferred_numbers_end_where_they_are_listed() -> None:
    assert (preferred(1), preferred(9500)) == (1, 9500)
    for beyond in (0.99, 9501):
        with pytest.raises(ValueError, match="outside 1 to 9500"):
            preferred(beyond)
    assert preferred(1, 159) == 9500
    for steps in (-1, 160):
        with pytest.raises(ValueError, match="steps on"):
            preferred(1, steps)


@pytest.mark.parametrize(
    ("size", "inside", "name"),
    [("M1", True, "5H"), ("M1.4", True, "5H"), ("M1.6", True, "6H"), ("M2x0.25", True, "5H"),
     ("M1", False, "6h"), ("M1.4", False, "6h"), ("M1.6", False, "6g"), ("M2x0.25", False, "6g")],
)  # fmt: skip
def test_the_usual_class_of_small_and_fine_threads(size: str, inside: bool, name: str) -> None:
    """ISO 965-2: 5H and 6h up to 1.4 mm. Grade 6 inside begins at a pitch of 0.3 mm (from
    memory)."""
    assert limits(size, "", inside=inside).class_name == name


@pytest.mark.parametrize("inside", [False, True])
def test_limits_in_millimetres_are_whole_micrometres(inside: bool) -> None:
    for size in ("M1.6", "M3", "M10", "M12x1.25", "Tr20x4", "G 1/2"):
        found = limits(size, "", inside=inside)
        for at in (*found.major, *found.pitch_diameter, *found.minor):
            assert at is None or at == round(at, 3)


@pytest.mark.parametrize(("position", "base"), [("g", 15), ("f", 30), ("e", 50), ("h", 0)])
def test_positions_beyond_the_tables_lie_where_the_formulas_put_them(
    position: str, base: int
) -> None:
    """2.2 mm is no pitch of ISO 261: its deviation is the base and 11 um a mm of pitch, whole."""
    found = metric_limits.limits(20.0, 2.2, f"6{position}", inside=False)
    assert found is not None
    below = round(base + 11 * 2.2) / 1000 if base else 0.0
    assert found.major[1] == pytest.approx(20 - below)
    basic = round(20 - 0.75 * math.sqrt(3) / 2 * 2.2, 3)
    assert found.pitch_diameter[1] == pytest.approx(basic - below)
    assert found.note == "by the standard's formulas, beyond its tables"
    usual = metric_limits.limits(20.0, 2.5, "6g", inside=False)
    assert usual is not None
    assert usual.note == ""
