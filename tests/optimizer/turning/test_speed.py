"""How fast the spindle may turn, against the carriage stopped in small steps of time."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearchest.catalogs.materials import screw_materials
from gearchest.optimizer.domain.lathe import Policy
from gearchest.optimizer.turning.speed import Governs, Speed, Stopping, speed
from gearchest.optimizer.turning.working import TurnedBy, working


def run_on(lead: float, rpm: float, reaction: float, run_down: float) -> float:
    """mm the carriage goes, millisecond by millisecond, from the end of the thread until the
    spindle stands."""
    step, gone, time = 1e-3, 0.0, 0.0
    while time < reaction + run_down:
        left = 1.0 if time < reaction else 1.0 - (time - reaction) / run_down
        gone += lead * rpm / 60 * max(0.0, left) * step
        time += step
    return gone


@pytest.mark.parametrize(
    ("lead", "rpm", "reaction", "run_down"),
    [(1.5, 240, 0.5, 1.0), (8, 60, 0.5, 2.5), (0.75, 100, 0.3, 0.5), (2, 90, 1.0, 0.0)],
)
def test_the_carriage_runs_on_while_hand_and_spindle_need(
    lead: float, rpm: float, reaction: float, run_down: float
) -> None:
    found = Stopping(reaction, run_down).overrun(lead, rpm)
    assert found == pytest.approx(run_on(lead, rpm, reaction, run_down), rel=5e-3)


@given(
    lead=st.floats(0.2, 30), room=st.floats(0.4, 10), reaction=st.floats(0.1, 2),
    run_down=st.floats(0, 5), metres=st.none() | st.floats(3, 60), diameter=st.floats(2, 200),
    lowest=st.none() | st.floats(10, 400), outruns=st.booleans(),
)  # fmt: skip
def test_the_lowest_of_all_limits_governs_and_is_named(
    lead: float, room: float, reaction: float, run_down: float, metres: float | None,
    diameter: float, lowest: float | None, outruns: bool,
) -> None:  # fmt: skip
    found = speed(
        Stopping(reaction, run_down), lead, room, cutting_speed=metres, diameter=diameter,
        lowest=lowest, slowest=outruns,
    )  # fmt: skip
    assert found.governing is not None
    rpm, by = found.governing
    assert found.overrun(rpm) <= room * (1 + 1e-9)
    if metres is not None:
        assert math.pi * diameter / 1000 * rpm <= metres * (1 + 1e-9)
    if outruns and lowest is not None:
        assert rpm <= lowest
    bound = {
        Governs.RUN_OUT: found.overrun(rpm) >= room * (1 - 1e-9),
        Governs.CUTTING: metres is not None
        and math.pi * diameter / 1000 * rpm >= metres * (1 - 1e-9),
        Governs.LATHE: rpm == lowest,
    }
    assert bound[by]


def test_half_a_second_alone_used_all_of_a_run_out() -> None:
    """M10 with 3 mm of run-out: 240 rpm uses them in 0.5 s; with a second of running down the
    carriage would run on 6 mm. Half as fast keeps to them."""
    found = speed(Stopping(0.5, 1.0), 1.5, 3.0)
    assert found.overrun(240) == pytest.approx(6)
    assert found.governing == (pytest.approx(120), Governs.RUN_OUT)


def test_of_equal_limits_the_run_out_is_named_first() -> None:
    """1.5 mm a turn in 3 mm: 120 rpm; so does the tool at 12 m/min over 31.83 mm, and the lathe."""
    found = speed(
        Stopping(0.5, 1.0), 1.5, 3.0, cutting_speed=12.0, diameter=12_000 / (math.pi * 120),
        lowest=120.0, slowest=True,
    )  # fmt: skip
    assert found.run_out == found.cutting == found.lowest == 120.0
    assert found.governing == (120.0, Governs.RUN_OUT)
    assert found.too_fast is None


@pytest.mark.parametrize(("lowest", "why"), [(119.9, None), (120.1, Governs.RUN_OUT), (None, None)])
def test_a_lathe_that_runs_no_slower_is_too_fast_for_the_run_out(
    lowest: float | None, why: Governs | None
) -> None:
    assert speed(Stopping(0.5, 1.0), 1.5, 3.0, lowest=lowest).too_fast is why
    by_tool = speed(Stopping(0.5, 1.0), 1.5, 30.0, cutting_speed=12.0,
                    diameter=12_000 / (math.pi * 120), lowest=lowest)  # fmt: skip
    assert by_tool.too_fast is (why and Governs.CUTTING)


def test_no_power_no_speed() -> None:
    found = Speed(Stopping(0.5, 1), 8, 5, 75, None, None, 60, True, powered=False)
    assert found.governing is None


@pytest.mark.parametrize("name", screw_materials())
def test_a_single_point_of_high_speed_steel_cuts_steel_at_8_to_12(name: str) -> None:
    """Common practice: 8 to 12 m/min in a thread in plain steel, less in stainless, more in soft
    metals, never in wood."""
    material = screw_materials()[name]
    if material.wood:
        assert material.threading is None
        return
    assert material.threading is not None
    if name in ("mild steel", "medium carbon steel"):
        assert 8 <= material.threading <= 12
    assert 4 <= material.threading <= 20
    assert material.fluid


def slow(lowest: float) -> Speed:
    return speed(Stopping(0.5, 1.0), 2, 4, cutting_speed=10, diameter=30, lowest=lowest)


@pytest.mark.parametrize(
    ("turns", "wooden", "lowest", "way", "cutter"),
    [
        (Fraction(1, 2), False, 60, TurnedBy.POWERED, False),
        (Fraction(3), False, 60, TurnedBy.POWERED, False),
        (Fraction(7, 2), False, 60, TurnedBy.SCREW, True),
        (Fraction(7, 2), True, 60, TurnedBy.SCREW, True),
        (Fraction(1, 2), True, 60, TurnedBy.HAND, True),
        (Fraction(1, 2), False, 200, TurnedBy.HAND, False),  # 6.7 mm of run-on in 4 mm
        (Fraction(1, 2), False, 115, TurnedBy.HAND, False),  # 10.8 m/min for a tool of 10
    ],
)
def test_the_way_of_working(
    turns: Fraction, wooden: bool, lowest: float, way: TurnedBy, cutter: bool
) -> None:
    """Wood is never cut with the spindle under power, steep pitches are driven from the screw,
    and what is too fast for the slowest speed is turned by hand."""
    found = working(Policy(), turns, slow(lowest), wooden=wooden)
    assert (found.turned, found.cutter, found.powered) == (way, cutter, way is TurnedBy.POWERED)
    assert (found.too_fast is None) == (way is not TurnedBy.HAND or wooden)
