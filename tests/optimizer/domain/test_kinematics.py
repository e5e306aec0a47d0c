"""Ratio, hand, tooth load and half-nuts of a train, each worked out a second way."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import inf, lcm

import oracle
import pytest
from drawn import MAKING
from hypothesis import given
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.layout import LAYOUTS, SCREW_SHAFT
from gearchest.optimizer.domain.pitch import Pitch, lead_angle, mm, relative_error, tpi
from gearchest.optimizer.domain.screw_turns import Effort, bands, effort
from gearchest.optimizer.domain.train import Setting, Train, half_nut_step
from gearchest.optimizer.domain.want import Allowance


@st.composite
def trains(draw: st.DrawFn) -> Train:
    """Any layout, each stage in a module of its own, levers and gearbox at any ratio."""
    layout = draw(st.sampled_from(LAYOUTS))
    stages = []
    for count in layout.idlers:
        module = draw(st.sampled_from([Fraction(1), Fraction(4, 5), Fraction(127, 100)]))
        stages.append([Gear(draw(st.integers(16, 127)), module) for _ in range(count + 2)])
    levers = st.fractions(Fraction(1, 8), 8, max_denominator=12)
    return Train(
        layout,
        tuple(stage[0] for stage in stages),
        tuple(stage[-1] for stage in stages),
        tuple(tuple(stage[1:-1]) for stage in stages),
        Setting(draw(levers), "box", draw(levers)),
    )


@given(trains())
def test_ratio_hand_spans_and_load(train: Train) -> None:
    """Speeds followed from shaft to shaft; load from the power, the same on every shaft."""
    assert train.ratio == oracle.ratio(train)
    assert train.tooth_load == oracle.tooth_load(train)
    assert train.layout.meshes == oracle.meshes(train)
    assert train.spans == pytest.approx(oracle.spans(train), abs=1e-12)
    assert len(train.spans) == train.layout.meshes == train.layout.studs + 1


@given(trains())
def test_drivers_for_driven_inverts_the_gears_ratio(train: Train) -> None:
    turned = replace(train, drivers=train.driven[::-1], driven=train.drivers[::-1])
    levers = train.setting.first_driver_turns * train.setting.gearbox_ratio
    assert (train.ratio / levers) * (turned.ratio / levers) == 1


def test_tooth_load_by_hand() -> None:
    """40/80 x 63/50, 1 N m at the screw: the 50 of module 1 has 25 mm of radius, 40 N. Its
    stud carries 63/50 N m; at 40 mm that is 31.5 N. The load is the larger, 40 N."""
    gears = [MAKING.gear(z) for z in (40, 80, 63, 50)]
    compound = next(layout for layout in LAYOUTS if layout.idlers == (0, 0))
    train = Train(compound, (gears[0], gears[2]), (gears[1], gears[3]), ((), ()))
    assert train.stage_loads == (Fraction(63, 2), 40)
    assert train.tooth_load == 40
    # A box that turns the screw at half the speed of the last gear halves its torque.
    halved = replace(train, setting=Setting(gearbox="B", gearbox_ratio=Fraction(1, 2)))
    assert halved.tooth_load == 20
    assert halved.ratio == Fraction(63, 200)


def test_errors_are_exact_unless_pi_stays() -> None:
    """63/100 of 2 mm for 1.25 mm: 1.26/1.25 - 1; module screw and module worm alike."""
    assert relative_error(Fraction(63, 100), mm(2), mm("1.25")) == Fraction(8, 1000)
    worm, screw = Pitch(Fraction(5, 4), pi=True), Pitch(Fraction(2), pi=True)
    assert relative_error(Fraction(63, 100), screw, worm) == Fraction(8, 1000)
    # 22/7 for pi: 402.499 ppm, tests/checks/ratio_approximations.csv.
    mixed = relative_error(Fraction(22, 7), mm(1), Pitch(Fraction(1), pi=True))
    assert float(mixed) * 1e6 == pytest.approx(402.499, abs=6e-4)


@given(st.fractions(min_value=Fraction(1, 20), max_value=8, max_denominator=400))
def test_the_half_nut_step_is_the_least_common_multiple(turns: Fraction) -> None:
    """Counted out: leadscrew pitches one by one until a whole number of thread leads is
    full."""
    screw = Fraction(127, 40)
    lead = turns * screw
    pitches = 1
    while (pitches * screw / lead).denominator != 1:
        pitches += 1
    assert half_nut_step(turns, tpi(8)) == pytest.approx(float(pitches * screw), rel=1e-12)
    assert pitches * screw == Fraction(
        lcm(screw.numerator * lead.denominator, lead.numerator * screw.denominator),
        screw.denominator * lead.denominator,
    )


def test_the_share_of_an_allowance_is_that_of_the_error_either_way() -> None:
    allowed = Allowance(Fraction(1, 500))
    assert allowed.share(Fraction(1, 1000)) == allowed.share(Fraction(-1, 1000)) == 0.5
    assert allowed.share(-1 / 1000) == pytest.approx(0.5)
    assert (allowed.share(0), Allowance(Fraction(0)).share(0)) == (0, 0)
    assert Allowance(Fraction(0)).share(Fraction(-1, 10**9)) == inf


def test_gears_put_on_are_those_whose_place_held_another() -> None:
    """40/(45)/20, then 40/30 x 60/20: driver and last gear stay, a new one and an idler's place."""
    idler = Train(LAYOUTS[1], (_gear(40),), (_gear(20),), ((_gear(45),),))
    compound = Train(LAYOUTS[2], (_gear(40), _gear(60)), (_gear(30), _gear(20)), ((), ()))
    assert idler.put_on(None) == 3
    assert idler.put_on(idler) == 0
    assert compound.put_on(idler) == 3  # 30 for the idler; 60 and 20 in the second plane
    assert idler.put_on(compound) == 2  # 45 for the 30; 20 back in the first plane


def _gear(teeth: int) -> Gear:
    return Gear(teeth, Fraction(1))


def test_lead_angle() -> None:
    """Mott, Machine Elements, 4th ed., Example 17-1 (seen): 3.39 degrees."""
    assert lead_angle(0.25, 1.3429) == pytest.approx(3.39, abs=0.005)


def test_effort_limits_are_inclusive() -> None:
    three = Fraction(3)
    assert effort(Fraction(1), three) is Effort.LIGHT
    assert effort(Fraction(101, 100), three) is Effort.USUAL
    assert effort(Fraction(2), three) is Effort.USUAL
    assert effort(Fraction(201, 100), three) is Effort.HEAVY
    assert effort(Fraction(3), three) is Effort.HEAVY
    assert effort(Fraction(441, 110), three) is Effort.CRANK  # 4.01 turns: driven from its end
    assert effort(Fraction(5, 4), Fraction(1)) is Effort.CRANK


@pytest.mark.parametrize("crank", ["1/2", "3/2", "3"])
def test_every_number_of_turns_has_one_band_wherever_cranking_begins(crank: str) -> None:
    """A report draws and names the bands; each turn count falls where its effort is."""
    edges = bands(Fraction(crank))
    for turns in (Fraction(n, 8) for n in range(1, 40)):
        named = next(asked for above, asked in edges if turns > above)
        assert named is effort(turns, Fraction(crank))
        assert (named is Effort.CRANK) == (turns > Fraction(crank))


def test_a_place_has_the_same_name_however_many_studs_there_are() -> None:
    """Shaft and plane of each gear in mesh order; the screw's shaft is the last of each."""
    places = {layout.name: layout.places for layout in LAYOUTS}
    assert places["direct"] == ((0, 0), (SCREW_SHAFT, 0))
    assert places["simple, one idler"] == ((0, 0), (1, 0), (SCREW_SHAFT, 0))
    assert places["compound"] == ((0, 0), (1, 0), (1, 1), (SCREW_SHAFT, 1))
    for layout in LAYOUTS:
        assert sum(shaft == SCREW_SHAFT for shaft, _ in layout.places) == 1


def test_every_layout_has_the_shafts_and_meshes_that_its_name_says() -> None:
    """Idlers by stage, studs, meshes and gears, counted on a sketch."""
    sketched = {
        "direct": ((0,), 0, 1, 2),
        "simple, one idler": ((1,), 1, 2, 3),
        "compound": ((0, 0), 1, 2, 4),
        "simple, two idlers": ((2,), 2, 3, 4),
        "compound, idler in the first stage": ((1, 0), 2, 3, 5),
        "compound, idler in the second stage": ((0, 1), 2, 3, 5),
        "double compound": ((0, 0, 0), 2, 3, 6),
    }
    found = {
        layout.name: (layout.idlers, layout.studs, layout.meshes, sum(map(len, layout.seats)))
        for layout in LAYOUTS
    }
    assert found == sketched
    assert list(found) == list(sketched)  # the order that ties are settled in


@pytest.mark.parametrize(
    ("first", "last", "over"), [(40, 40, False), (41, 40, True), (40, 41, False)]
)
def test_a_gearbox_turned_as_fast_as_the_spindle_is_not_overdriven(
    first: int, last: int, over: bool
) -> None:
    gears = (_gear(first),), (_gear(last),), ((),)
    assert Train(LAYOUTS[0], *gears, Setting(Fraction(1), "A", Fraction(3))).overdrives_box is over
    assert not Train(LAYOUTS[0], *gears, Setting(Fraction(1))).overdrives_box


def test_the_inner_gear_of_a_stud_is_the_one_nearer_the_headstock() -> None:
    """Planes lie one before the other from the headstock outwards; the first driver's is the
    innermost, so the driven gear of a stage is inner to the driver of the next on its stud."""
    parts = {layout.name: layout.parts for layout in LAYOUTS}
    assert parts == {
        "direct": ("", ""),
        "simple, one idler": ("", "idler", ""),
        "compound": ("", "inner", "outer", ""),
        "simple, two idlers": ("", "idler", "idler", ""),
        "compound, idler in the first stage": ("", "idler", "inner", "outer", ""),
        "compound, idler in the second stage": ("", "inner", "outer", "idler", ""),
        "double compound": ("", "inner", "outer", "inner", "outer", ""),
    }


def test_shafts_are_named_from_the_driver_to_screw_or_gearbox() -> None:
    names = {layout.name: layout.shaft_names() for layout in LAYOUTS}
    assert names["direct"] == ("driver", "screw")
    assert names["compound"] == ("driver", "stud", "screw")
    assert names["double compound"] == ("driver", "stud 1", "stud 2", "screw")
    assert LAYOUTS[0].shaft_names(gearbox=True) == ("driver", "gearbox")
