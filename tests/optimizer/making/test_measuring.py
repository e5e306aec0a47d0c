"""Measures against printed values and against calipers and pins laid on a sampled outline.

Printed values: tests/checks/gear_geometry.csv, source and status by row. The second library
is PyPI's `mechanism` (MIT), which draws its own involute.
"""

import csv
import math
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from blank_names import blank_name
from scipy.optimize import brentq

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.tooth import usual_depth
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.involute import ToothForm, turned
from gearchest.optimizer.making.measuring import (
    chordal,
    exact,
    form_diameter,
    jaws_rest,
    span,
    span_length,
    span_teeth,
    thinner,
)
from gearchest.optimizer.making.pins import (
    PREFERRED_PIN,
    PinRange,
    over_pins,
    pin_range,
    pins_at_hand,
)

CHECKS = Path(__file__).parents[2] / "checks"
ROWS = list(csv.DictReader((CHECKS / "gear_geometry.csv").read_text().splitlines()))


def ideal(module: str, teeth: int, angle: str = "20", shift: float = 0.0) -> Blank:
    gear = Gear(teeth, Fraction(module), Fraction(angle))
    return Blank(gear, usual_depth(gear.module, gear.pressure_angle), 8.0, shift=shift)


def printed(quantity: str, given: str = "") -> float:
    rows = [r for r in ROWS if r["quantity"] == quantity and given in r["input"]]
    assert len(rows) == 1
    return float(rows[0]["value"])


@pytest.mark.parametrize("shift", [-0.4, -0.2, 0.0, 0.3, 0.6])
@pytest.mark.parametrize("teeth", [20, 31, 57, 96])
@pytest.mark.parametrize("module", ["0.8", "2"])
def test_the_jaws_touch_nearest_to_the_middle_of_the_flanks(
    module: str, teeth: int, shift: float
) -> None:
    """By geometry: jaws over k teeth touch at the radius whose tangent to the base circle is half
    the span; no other number of teeth comes nearer to the reference circle moved by the shift."""
    blank = ideal(module, teeth, shift=shift)
    base = blank.base_diameter / 2
    middle = float(module) * (teeth / 2 + shift)
    wanted = 2 * math.sqrt(middle**2 - base**2)
    apart = {k: abs(span_length(blank, k) - wanted) for k in range(2, teeth // 2)}
    assert apart[span_teeth(blank)] == pytest.approx(min(apart.values()), abs=1e-9)


@pytest.mark.parametrize("shift", [-0.1, 0.0, 0.3, 0.5])
@pytest.mark.parametrize(("module", "teeth", "angle"), [("1.25", 40, "20"), ("2", 60, "14.5")])
def test_the_involute_of_a_generated_tooth_begins_where_the_rack_s_straight_flank_ends(
    module: str, teeth: int, angle: str, shift: float
) -> None:
    """ISO 21771, root form diameter without undercut, a rack of one module's straight dedendum:
    d_Ff^2 = (d sin a - 2 m (1 - x) / sin a)^2 + d_b^2 (from memory)."""
    m, a = float(module), math.radians(float(angle))
    d = m * teeth
    along = d * math.sin(a) - 2 * m * (1 - shift) / math.sin(a)
    assert along > 0  # no undercut
    published = math.hypot(along, d * math.cos(a))
    assert form_diameter(ideal(module, teeth, angle, shift)) == pytest.approx(published, abs=1e-9)


def test_spans_as_printed():
    assert span(ideal("2", 20), 0.02).ideal == pytest.approx(
        printed("span W", "m=2 z=20"), abs=5e-4
    )
    shifted = ideal("3", 24, shift=0.4)
    assert span_teeth(shifted) == 4
    assert span(shifted, 0.02).ideal == pytest.approx(printed("span W", "m=3 z=24"), abs=5e-5)
    assert span_length(ideal("1", 20), 3) == pytest.approx(
        printed("span W per unit module"), abs=1e-5
    )


@pytest.mark.parametrize("teeth", [20, 21, 40, 63, 127])
def test_over_pins_as_computed_elsewhere(teeth):
    expected = printed("over pins M (m=1), pin 1.728 m", f"z={teeth} ")
    assert over_pins(ideal("1", teeth), 1.728, 0.02).ideal == pytest.approx(expected, abs=1e-5)


def test_over_pins_as_tabulated():
    # 32 teeth, 20 degrees, 1 DP, pin 1.728: 34.4130 in (a table of pin measurements on a
    # gear trade page, SEEN)
    blank = ideal("25.4", 32)
    measured = over_pins(blank, 1.728 * 25.4, 0.02).ideal
    assert measured / 25.4 == pytest.approx(34.4130, abs=5e-5)


def test_chordal_values_as_printed():
    blank = ideal("10", 12, shift=0.3)
    assert blank.thickness == pytest.approx(printed("circular tooth thickness"), abs=5e-5)
    assert math.degrees(blank.thickness / blank.pitch_diameter) == pytest.approx(
        printed("half tooth angle"), abs=5e-5
    )
    measured = chordal(blank, 0.02)
    assert measured.thickness == pytest.approx(printed("chordal thickness"), abs=6e-5)
    assert measured.height == pytest.approx(printed("chordal addendum"), abs=5e-5)


def test_a_rack_has_the_pitch_line_thickness():
    # a gear of very many teeth is a rack
    assert chordal(ideal("3", 100_000), 0.02).thickness == pytest.approx(
        printed("rack chordal thickness"), abs=5e-5
    )


def test_every_printed_row_is_used():
    used = {
        "tip diameter", "root diameter", "whole depth", "span W", "span W per unit module",
        "circular tooth thickness", "half tooth angle", "chordal thickness", "chordal addendum",
        "centre distance / teeth", "rack chordal thickness", "over pins M (m=1), pin 1.728 m",
        "min teeth without undercut 2/sin^2 a",
    }  # fmt: skip
    assert {row["quantity"].split(" 2.25")[0] for row in ROWS} == used


GEARS = [
    ideal("1", 20),
    ideal("1", 63),
    replace(ideal("1", 63), thinning=0.05),
    ideal("1.5", 33, "14.5"),
    ideal("2", 14, shift=0.3),
    ideal("127/120", 47),
]


def caliper(flank: np.ndarray, teeth: int, across: int) -> float:
    """Flat upright jaws over `across` teeth: twice how far right the outermost flank reaches."""
    outermost = turned(flank, -(across - 1) * math.pi / teeth)
    return 2 * float(outermost[:, 0].max())


def pins(flank: np.ndarray, teeth: int, pin: float) -> float:
    """Two round pins pressed into spaces until they touch the sampled flanks."""
    space = turned(flank, math.pi / teeth)  # the left wall of the space that stands upright
    walls = shapely.MultiLineString([space.tolist(), (space * (-1, 1)).tolist()])
    reach = np.hypot(*flank.T)

    def gap(centre: float) -> float:
        return shapely.Point(0, centre).distance(walls) - pin / 2

    centre = brentq(gap, float(reach.min()) + pin / 4, float(reach.max()) + pin)
    apart = 2 * centre * (math.cos(math.pi / 2 / teeth) if teeth % 2 else 1)
    return apart + pin


@pytest.mark.parametrize("blank", GEARS, ids=blank_name)
def test_measures_agree_with_calipers_and_pins_on_the_outline(blank):
    flank = ToothForm(blank).flank(4000)
    jaws = span(blank, 0.02)
    assert jaws_rest(blank)
    assert caliper(flank, blank.teeth, jaws.teeth) == pytest.approx(jaws.with_backlash, abs=1e-5)
    for found in pins_at_hand(blank, 0.02, pin_range(blank, 0.02)):
        assert pins(flank, blank.teeth, found.pin) == pytest.approx(found.with_backlash, abs=1e-5)


@pytest.mark.parametrize("teeth", [20, 32, 45, 63, 127])
def test_a_second_library_draws_gears_of_the_same_size(teeth):
    gears = pytest.importorskip("mechanism.gears")
    drawn = gears.SpurGear(N=teeth, pd=1, a=1, b=1.25, ignore_undercut=True, size=3000)
    blank = ideal("1", teeth)
    points = np.column_stack((drawn.involute_points.real, drawn.involute_points.imag))
    reach = np.hypot(*points.T)
    points = points[reach > form_diameter(blank) / 2]
    assert reach.max() == pytest.approx(blank.tip_diameter / 2)
    assert drawn.rb == pytest.approx(blank.root_diameter / 2)
    angles = np.arctan2(points[:, 0], points[:, 1])
    ours = [ToothForm(blank).half_angle(float(r)) for r in np.hypot(*points.T)]
    assert np.abs(angles - ours).max() < 1e-9
    jaws = span(blank, 0.02)
    assert caliper(points, teeth, jaws.teeth) == pytest.approx(jaws.ideal, abs=1e-5)
    pin = PREFERRED_PIN
    assert pins(points, teeth, pin) == pytest.approx(over_pins(blank, pin, 0.02).ideal, abs=1e-5)


@pytest.mark.parametrize("blank", GEARS, ids=blank_name)
def test_one_division_more_takes_off_what_is_said(blank):
    deeper = thinner(blank, 0.02)
    assert deeper.depth_of_cut - blank.depth_of_cut == pytest.approx(0.02)
    jaws, at_hand = span(blank, 0.02), over_pins(blank, PREFERRED_PIN * blank.module, 0.02)
    assert span(deeper, 0.02).with_backlash == pytest.approx(jaws.with_backlash - jaws.per_division)
    # the jaws close on both flanks along the line of action: 2 sin(a) for each mm of depth
    assert jaws.per_division == pytest.approx(2 * 0.02 * math.sin(blank.alpha))
    again = over_pins(deeper, at_hand.pin, 0.02)
    assert again.with_backlash == pytest.approx(at_hand.with_backlash - at_hand.per_division)
    chord = chordal(blank, 0.02)
    assert chordal(deeper, 0.02).thickness == pytest.approx(chord.thickness - chord.per_division)
    assert chord.per_division > 0
    assert chord.ideal == chordal(replace(blank, thinning=0.0), 0.02).thickness >= chord.thickness


SIZES = [("20", "0.8"), ("20", "2"), ("20", "127/80"),
         ("14.5", "0.8"), ("14.5", "2"), ("14.5", "127/80")]  # fmt: skip
COUNTS = range(12, 128)


def as_cut(module: str, teeth: int, angle: str) -> Blank:
    """A gear with the usual backlash."""
    return replace(ideal(module, teeth, angle), thinning=0.02 * float(Fraction(module)))


@dataclass(frozen=True)
class Rest:
    """Where a pin let down into a space comes to rest: how high its centre, and on what."""

    centre: float
    on_the_flank: bool


@lru_cache(maxsize=4)
def wall_of(blank: Blank) -> np.ndarray:
    """The wall left of an upright space, from the foot of the flank to the tip, then the fillet."""
    form = ToothForm(blank)
    return turned(np.vstack((form.flank(FLANK), form.fillet(40))), math.pi / blank.teeth)


FLANK = 300


def let_down(blank: Blank, pin: float) -> Rest:
    """The pin comes from above until it strikes a point of the outline: no involute in it."""
    wall = wall_of(blank)
    under = np.abs(wall[:, 0]) < pin / 2
    rests = wall[under, 1] + np.sqrt((pin / 2) ** 2 - wall[under, 0] ** 2)
    root = blank.cut_root_diameter / 2 + pin / 2
    if rests.max() <= root:
        return Rest(root, on_the_flank=False)
    struck = int(np.flatnonzero(under)[rests.argmax()])
    return Rest(float(rests.max()), 0 < struck < FLANK - 1)


def measures(blank: Blank, pin: float) -> bool:
    """Whether the pin rests on both flanks, stands proud and has room under it."""
    rest = let_down(blank, pin)
    return (
        rest.on_the_flank
        and rest.centre + pin / 2 > blank.tip_diameter / 2
        and rest.centre - pin / 2 > blank.cut_root_diameter / 2
    )


@pytest.mark.parametrize(("angle", "module"), SIZES)
def test_every_count_has_pins_and_only_pins_that_measure_it(angle, module):
    for teeth in COUNTS:
        blank = as_cut(module, teeth, angle)
        usable = pin_range(blank, 0.02)
        assert usable
        assert usable.holds(PREFERRED_PIN * blank.module)
        at_hand = pins_at_hand(blank, 0.02, usable)
        assert len(at_hand) == 3
        for found in at_hand:
            assert usable.holds(found.pin)
            assert 0 < found.per_division < found.ideal - found.with_backlash + 0.2


@pytest.mark.parametrize("share", range(6))
def test_the_range_of_pins_is_that_of_pins_let_down_into_the_outline(share):
    # a third of the counts at each size, so that both angles see every count
    angle, module = SIZES[share]
    for teeth in COUNTS[share % 3 :: 3]:
        blank = as_cut(module, teeth, angle)
        usable = pin_range(blank, 0.02)
        for state in (exact(blank), blank, thinner(blank, 0.02)):
            for pin in (usable.least * 1.005, PREFERRED_PIN * blank.module, usable.most * 0.99):
                assert measures(state, pin), (teeth, pin)
        for pin, states in (
            (usable.least * 0.99, (thinner(blank, 0.02),)),
            (usable.most * 1.01, (exact(blank),)),
        ):
            assert not all(measures(state, pin) for state in states), (teeth, pin)
        over = over_pins(blank, usable.least * 1.005, 0.02)
        centre = let_down(blank, over.pin).centre
        apart = 2 * centre * (math.cos(math.pi / 2 / teeth) if teeth % 2 else 1)
        assert over.with_backlash == pytest.approx(apart + over.pin, abs=2e-4)


def test_a_pin_that_drops_through_is_left_out():
    # 1.1 mm, 0.8 of the preferred size, falls through the spaces of 14 1/2 degree teeth
    blank = ideal("0.8", 24, "14.5")
    with pytest.raises(ValueError, match="involute"):
        over_pins(blank, 1.1, 0.02)
    assert pins_at_hand(blank, 0.02, pin_range(blank, 0.02), sizes=(1.1, 1.4)) == (
        over_pins(blank, 1.4, 0.02),
    )
    assert not pins_at_hand(blank, 0.02, None)


def test_no_pin_measures_a_tooth_whose_flank_is_cut_away():
    assert pin_range(ideal("1", 8, shift=-1.0), 0.02) is None
    assert not jaws_rest(ideal("1", 8, shift=-1.0))
    assert isinstance(pin_range(ideal("1", 8), 0.02), PinRange)
