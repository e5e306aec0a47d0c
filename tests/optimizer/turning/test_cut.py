"""Blank, depth and boring bar: the finished thread measured on what the sheet says to do."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.threads.forms import FORMS, dimensions
from gearchest.optimizer.threads.limit_classes import limits_of
from gearchest.optimizer.threads.limits import Target, target
from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.threads.wires import wires_for
from gearchest.optimizer.turning.boring import ROOM, boring
from gearchest.optimizer.turning.cut import Cut, cut
from gearchest.optimizer.turning.gauging import gauging
from gearchest.optimizer.turning.shaping import Shaping, shaping
from gearchest.optimizer.turning.sizes import sizes
from gearchest.optimizer.turning.tapering import tapering


def aim(size: str, *, inside: bool = False, error: float = 0.0) -> Target:
    thread = find_size(size)
    limits = limits_of(thread, inside=inside).limits
    assert limits is not None
    return target(limits, error, 10.0, FORMS[thread.form].included_angle_deg or 60)


def made(size: str, *, inside: bool = False, tip: Tip | None = None, error: float = 0.0) -> Cut:
    thread = find_size(size)
    found = cut(
        thread.form, dimensions(thread), inside=inside, tip=tip,
        target=aim(size, inside=inside, error=error),
    )  # fmt: skip
    assert found is not None
    return found


def pitch_diameter_left(made: Cut, size: str) -> float:
    """Of the groove that a tool with this tip leaves when it is fed the depth into the blank: where
    the groove is half a pitch wide."""
    thread = find_size(size)
    half = math.radians((FORMS[thread.form].included_angle_deg or 0) / 2)
    assert made.blank is not None
    # The tool widens from its flat, or from where the flanks leave the radius.
    width, at = made.tip.flat, 0.0
    if made.tip.radius:
        width = 2 * made.tip.radius * math.cos(half)
        at = made.tip.radius * (1 - math.sin(half))
    up = at + (thread.pitch.mm / 2 - width) / 2 / math.tan(half)
    from_surface = made.depth - up
    return made.blank - 2 * from_surface if not made.inside else made.blank + 2 * from_surface


SIZES = ["M10", "M3", "1/4-20 UNC", "1/2 BSW", "2 BA", "Tr20x4", "1/2-10 Acme", "G 1/2", "M10x1"]
TIPS = [None, Tip(), Tip(radius=0.05), Tip(flat=0.1)]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("inside", [False, True])
@pytest.mark.parametrize("tip", TIPS)
def test_the_depth_gives_a_pitch_diameter_within_the_limits(
    size: str, inside: bool, tip: Tip | None
) -> None:
    found = made(size, inside=inside, tip=tip)
    limits = aim(size, inside=inside).limits
    crest = limits.minor if inside else limits.major
    assert (crest[0] or 0) < (found.blank or 0) < (crest[1] or 0)
    least, most = limits.pitch_diameter
    left = pitch_diameter_left(found, size)
    assert least < left < most
    assert left == pytest.approx((least + most) / 2, abs=1e-6)


def test_m10_is_no_longer_given_targets_outside_6g() -> None:
    found = made("M10")
    assert found.pitch_diameter == pytest.approx((8.862 + 8.994) / 2)
    assert found.depth == pytest.approx(0.61343 * 1.5, abs=1e-3)
    assert made("M10", inside=True).depth == pytest.approx(0.54127 * 1.5, abs=1e-3)
    over = gauging(aim("M10"), wires_for(dimensions(find_size("M10"))), 9.0257).over_wires
    assert over is not None
    assert over[0] < 10.327 - 0.13
    assert over[1] < 10.327


def test_nominal_depths_without_limits_of_size() -> None:
    thread = find_size("M10")
    for inside, depth in ((False, 0.61343), (True, 0.54127)):
        found = cut("iso", dimensions(thread), inside=inside, tip=None, target=None)
        assert found is not None
        assert found.depth == pytest.approx(depth * 1.5, abs=1e-5)


def test_a_lead_error_moves_the_aim_away_from_the_mate() -> None:
    true, off = made("M10"), made("M10", error=0.002)
    assert (off.pitch_diameter or 0) < (true.pitch_diameter or 0)
    assert (off.blank or 0) < (true.blank or 0)
    true, off = made("M10", inside=True), made("M10", inside=True, error=-0.002)
    assert (off.pitch_diameter or 0) > (true.pitch_diameter or 0)
    assert (off.blank or 0) > (true.blank or 0)


def test_another_tip_is_told_by_how_much() -> None:
    assert made("M10").assumed
    sharp = made("M10", tip=Tip())
    assert sharp.deeper == pytest.approx(math.sqrt(3) / 2 / 6 * 1.5)
    assert sharp.depth == pytest.approx(made("M10").depth + sharp.deeper)
    assert made("M10", tip=Tip(radius=0.3)).deeper < 0
    assert not made("M10", tip=Tip(radius=0.4)).fits
    assert not made("M10", inside=True, tip=Tip(flat=0.2)).fits
    assert made("M10", inside=True, tip=Tip(flat=0.15)).fits


def test_forms_without_flanks_keep_their_depth() -> None:
    thread = find_size("E27 lamp")
    found = cut(thread.form, dimensions(thread), inside=False, tip=Tip(0.1), target=None)
    assert found is not None
    assert found.depth == pytest.approx(0.3 * thread.pitch.mm)
    bottle = find_size("28-400 bottle")
    assert cut(bottle.form, dimensions(bottle), inside=False, tip=None, target=None) is None


@given(
    st.floats(4.0, 80.0), st.floats(0.2, 4.0), st.floats(0.0, 0.999)
)  # fmt: skip
def test_the_bar_passes_at_full_depth_and_withdrawn(bore: float, depth: float, at: float) -> None:
    """A round bar in a round bore, the tip anywhere between withdrawn and full depth: nothing
    but the tip comes nearer than the room for chips."""
    found = boring(bore, depth, bore + 2 * depth)
    if found.bar is None:
        assert bore - depth - 3 * ROOM < 3.0
        return
    tip = bore / 2 - ROOM + at * (depth + ROOM)
    near = tip - (depth + ROOM)  # where the bar's surface is below the tip
    far = near - found.bar
    assert bore / 2 - near >= ROOM - 1e-9
    assert far + bore / 2 >= ROOM - 1e-9
    assert found.groove > bore + 2 * depth


def test_a_small_bore_has_no_bar() -> None:
    assert boring(3.242, 0.379, 4.0).bar is None
    found = boring(8.376, 0.812, 10.0)
    assert found.bar == pytest.approx(6.064)
    assert found.overhang == pytest.approx(4 * 6.064)


@pytest.mark.parametrize(("size", "turns"), [("M10", 2), ("1/4-20 UNC", 3)])
def test_made_gauges_for_an_internal_thread(size: str, turns: int) -> None:
    """The GO screw measures over wires what its pitch diameter, the least of the nut, means."""
    thread = find_size(size)
    basic = dimensions(thread)
    wires = wires_for(basic)
    found = gauging(aim(size, inside=True), wires, basic.pitch_diameter_mm)
    assert wires is not None
    assert found.over_wires is not None
    least, most = aim(size, inside=True).limits.pitch_diameter
    # 60 degrees: M = d2 + 3 W - 0.866025 P, the lead angle adds under 4 um.
    flat = 3 * wires.best_mm - 0.866025 * thread.pitch.mm
    assert found.over_wires == pytest.approx((least + flat, most + flat), abs=4e-3)
    assert found.no_go_turns == turns


def test_nothing_is_measured_where_the_lead_error_leaves_nothing() -> None:
    thread = find_size("M10")
    found = gauging(aim("M10", error=0.02), wires_for(dimensions(thread)), 9.0257)
    assert found.target.pitch_diameter is None
    assert found.over_wires is None


def test_a_taper_thread_outside_and_inside() -> None:
    """1/2-14 NPT: E0 0.75843 in and 0.8 P make 0.81557 in across the crests at the small end
    (ASME B1.20.1)."""
    thread = find_size("1/2 NPT")
    wire = 0.57735 * thread.pitch.mm
    outside = tapering(thread, 1 / 16, 60.0, wire, inside=False)
    assert outside.blank is not None
    assert outside.blank / 25.4 == pytest.approx(0.75843 + 0.8 / 14, abs=2e-5)
    assert outside.first is not None
    assert outside.last is not None
    assert outside.plane is not None
    assert outside.first == pytest.approx(2 * 25.4 / 14)
    # 0.53371 in of useful thread (ASME B1.20.1), less a pitch
    assert outside.last / 25.4 == pytest.approx(0.53371 - 1 / 14, abs=1e-4)
    assert (outside.wire, outside.inside) == (wire, False)
    assert (outside.half_angle, outside.set_over_100) == (pytest.approx(1.78991, abs=1e-5), 3.125)
    assert outside.slope_lead == pytest.approx(-(1 / 32**2) / 2, rel=1e-3)
    assert outside.first < outside.plane.from_end < outside.last < outside.plane.useful
    assert outside.lead_tolerance == 0.003
    inside = tapering(thread, 1 / 16, 60.0, wire, inside=True)
    assert inside.over_wires is None
    assert inside.plane == outside.plane
    assert inside.pitch_diameter == pytest.approx(0.77843 * 25.4, abs=6e-4)
    assert tapering(find_size("R 1/2"), 1 / 16, 55.0, wire, inside=False).lead_tolerance is None


def test_a_square_thread_has_no_tip_that_could_foul() -> None:
    """Half its pitch deep as any form without sloping flanks, and its own tip assumed."""
    sizes_of = dimensions(replace(find_size("Tr20x4"), form="square"))
    found = cut("square", sizes_of, inside=False, tip=None, target=None)
    assert found is not None
    assert (found.fits, found.assumed, found.deeper, found.blunt) == (True, True, 0.0, None)
    assert found.depth == pytest.approx(2.0)


@pytest.mark.parametrize("inside", [False, True])
def test_a_taper_thread_is_shaped_by_its_cone(inside: bool) -> None:
    """1/2-14 NPT: outside from E0, 0.75843 in, at the small end; inside from E1, 0.77843 in, at
    the face (ASME B1.20.1); crests 0.4 P to either side."""
    thread = find_size("1/2 NPT")
    want = Want("w", thread.pitch, Allowance(Fraction(1, 100)), thread=thread, inside=inside)
    found = shaping(want, sizes(want), 0.0).cut
    assert found is not None
    assert found.blank is not None
    assert found.pitch_diameter is not None
    middle = 0.77843 if inside else 0.75843
    crest = middle + (-0.8 if inside else 0.8) / 14
    assert found.pitch_diameter / 25.4 == pytest.approx(middle, abs=3e-5)
    assert found.blank / 25.4 == pytest.approx(crest, abs=3e-5)


def test_a_worm_is_cut_two_modules_and_a_fifth_deep() -> None:
    """Addendum one module, dedendum 1.2: no nut is asked whether it could be cut."""
    worm = Thread("worm", Pitch(Fraction(3, 2), pi=True), Fraction(30), "worm")
    found = cut("worm", dimensions(worm), inside=False, tip=None, target=None)
    assert found is not None
    assert found.depth == pytest.approx(2.2 * 1.5)
    assert (found.blank, found.pitch_diameter) == (30, pytest.approx(27))


def shaped(size: str, error: float | None = 0.0, **more: object) -> Shaping:
    thread = find_size(size)
    want = Want("w", thread.pitch, Allowance(Fraction(1, 100)), thread=thread, **more)  # type: ignore[arg-type]
    return shaping(want, sizes(want), error)


def test_a_shaping_by_its_numbers() -> None:
    """M10 of 6g (ISO 965-1): 8.862 to 8.994 at the pitch diameter, 9.732 to 9.968 over the crests;
    engaged as long as the normal group is, 6.7 P d^0.2 from 5.6 mm on, unless said."""
    found = shaped("M10", 0.001)
    assert found.gauging is not None
    target = found.gauging.target
    assert target.engaged == pytest.approx(6.7 * 1.5 * 5.6**0.2)
    cost = 0.001 * target.engaged * math.sqrt(3)
    assert target.cost == pytest.approx(cost)
    assert target.pitch_diameter == pytest.approx((8.862, 8.994 - cost))
    assert target.longest == pytest.approx(0.132 / 0.001 / math.sqrt(3))
    assert (found.error, found.no_limits, found.classes[0]) == (0.001, "", "6g")
    assert (found.boring, found.tapering) == (None, None)
    assert found.cut is not None
    assert found.cut.pitch_diameter == pytest.approx((8.862 + 8.994 - cost) / 2)
    said = shaped("M10", 0.001, engaged=Fraction(20)).gauging
    assert said is not None
    assert said.target.engaged == 20
    assert shaped("M10", None).error is None
    alone = shaped("M10", None).gauging
    assert alone is not None
    assert (alone.target.cost, alone.target.longest) == (0, None)


def test_why_a_thread_has_no_limits() -> None:
    assert shaped("1/2 NPT").no_limits == "a taper thread is judged in its gauge plane"
    assert shaped("E27 lamp").no_limits == "no standard with limits is known for it"
    assert shaped("1/2 NPT").gauging is shaped("E27 lamp").gauging is None
    nowhere = sizes(Want("w", mm(1), Allowance(Fraction(1))))
    want = Want("w", mm(1), Allowance(Fraction(1)))
    assert shaping(want, nowhere, 0.0).no_limits == "no diameter is known, so no class"


def test_a_bar_passes_a_taper_s_bore_where_it_is_narrowest() -> None:
    """1/2-14 NPT: 0.72129 in at the face, 0.53371/16 in less where the useful thread ends, and a
    thread 0.8 P deep; 1.5 mm of room. A nut of M10: 8.376 mm and what the limits let it be more."""
    taper = shaped("1/2 NPT", inside=True)
    assert taper.boring is not None
    bore = (0.77843 - 0.8 / 14 - 0.53371 / 16) * 25.4
    depth = taper.cut.depth if taper.cut else 0
    assert depth == pytest.approx(0.8 / 14 * 25.4, abs=0.03)
    assert taper.boring.bar == pytest.approx(bore - depth - 1.5, abs=2e-3)
    assert taper.boring.groove == pytest.approx((0.77843 + 0.8 / 14) * 25.4 + 0.5, abs=2e-3)
    nut = shaped("M10", inside=True)
    assert nut.boring is not None
    assert nut.cut is not None
    assert nut.boring.bar == pytest.approx((nut.cut.blank or 0) - nut.cut.depth - 1.5)
    assert nut.boring.overhang == pytest.approx(4 * (nut.boring.bar or 0))
    assert nut.boring.groove == pytest.approx(10.5, abs=1e-3)
    assert taper.tapering is not None
    assert taper.tapering.lead_tolerance == 0.003
