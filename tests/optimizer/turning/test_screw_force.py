"""Power-screw formulas against printed worked examples (checks/screw_mechanics.csv)."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearchest.optimizer.turning.screw_force import (
    Collar,
    EngagedThread,
    PowerScrew,
    ScrewMaterial,
    root_stress,
    stress,
)

CHECKS = Path(__file__).parents[2] / "checks"

LBF, INCH = 4.4482216152605, 25.4  # exact by definition
LBF_IN = LBF * INCH / 1000.0

# source in the file -> (screw, load in N, {figure: (function, unit in N m or 1)})
EXAMPLES = {
    "Mott 4th ed. Example 17-1": PowerScrew(1.3429 * INCH, 0.25 * INCH, 29, 0.15),
    "Housner & Hudson statics, 5.6.1 prob. 2": PowerScrew(2 * INCH, 0.5 * INCH, 0, 0.2),
    "online worked problem of the Shigley 8-1 type": PowerScrew(22.5, 5, 0, 0.09, Collar(45, 0.06)),
    "Shigley Example 8-1": PowerScrew(30, 8, 0, 0.08, Collar(40, 0.08)),
}


def test_every_example_of_the_file_is_checked() -> None:
    with (CHECKS / "screw_mechanics.csv").open(newline="") as file:
        sources = [row["source"] for row in csv.DictReader(file)]
    assert set(EXAMPLES) == set(sources) - {"eff. of just self-locking screw"}


def test_mott() -> None:
    """Mott, Machine Elements, 4th ed., Example 17-1 (seen); the book rounds: 0.5 %."""
    screw = EXAMPLES["Mott 4th ed. Example 17-1"]
    assert screw.lead_angle == pytest.approx(3.39, abs=0.005)
    assert screw.raising_torque(12500 * LBF) / LBF_IN == pytest.approx(1809, rel=0.005)
    # Computed in the file from the same formula:
    assert screw.raising_torque(12500 * LBF) / LBF_IN == pytest.approx(1814.4, abs=0.05)
    assert screw.lowering_torque(12500 * LBF) / LBF_IN == pytest.approx(795.7, abs=0.05)
    assert screw.efficiency == pytest.approx(0.2741, abs=5e-5)


def test_housner_hudson() -> None:
    """Housner & Hudson, Applied Mechanics: Statics, 5.6.1 problem 2 (seen)."""
    screw = EXAMPLES["Housner & Hudson statics, 5.6.1 prob. 2"]
    assert screw.raising_torque(10000 * LBF) / LBF_IN == pytest.approx(2840, rel=0.005)


def test_online_problem() -> None:
    """An online worked problem of the Shigley 8-1 type (seen)."""
    screw = EXAMPLES["online worked problem of the Shigley 8-1 type"]
    assert screw.raising_torque(5000) == pytest.approx(15.85, rel=0.0005)
    assert screw.lowering_torque(5000) == pytest.approx(7.83, rel=0.0005)
    assert screw.efficiency == pytest.approx(0.251, abs=5e-4)


def test_shigley() -> None:
    """Shigley, Mechanical Engineering Design, Example 8-1 (from memory)."""
    screw = EXAMPLES["Shigley Example 8-1"]
    assert screw.raising_torque(6400) == pytest.approx(26.18, rel=0.0005)
    assert screw.lowering_torque(6400) == pytest.approx(9.77, rel=0.0005)
    assert screw.efficiency == pytest.approx(0.311, abs=5e-4)


@given(
    diameter=st.floats(4, 120),
    lead=st.floats(0.5, 40),
    friction=st.floats(0.02, 0.6),
    angle=st.sampled_from((0.0, 29.0, 30.0, 60.0, 90.0)),
)
def test_a_screw_that_holds_wastes_at_least_half(
    diameter: float, lead: float, friction: float, angle: float
) -> None:
    """Housner & Hudson, problem 3 (seen): a self-locking screw's efficiency is 50 % at most."""
    screw = PowerScrew(diameter, lead, angle, friction)
    if screw.holds:
        assert screw.efficiency <= 0.5 + 1e-12
        assert screw.lowering_torque(1000) >= -1e-12
    else:
        assert screw.lowering_torque(1000) < 0
    assert screw.holds == (friction >= screw.least_holding_friction) or math.isclose(
        friction, screw.least_holding_friction
    )


def test_force_from_undoes_raising_torque() -> None:
    screw = EXAMPLES["Shigley Example 8-1"]
    assert screw.force_from(screw.raising_torque(1234.0)) == pytest.approx(1234.0)


@pytest.mark.parametrize("angle", [0, 29, 60])
def test_a_screw_jams_from_its_jamming_friction_on(angle: float) -> None:
    limit = PowerScrew(10, 40, angle, 0.1).jamming_friction
    assert limit == pytest.approx(math.pi / 4 * math.cos(math.radians(angle / 2)))
    assert math.isfinite(PowerScrew(10, 40, angle, limit * 0.9999).raising_torque(1))
    assert math.isinf(PowerScrew(10, 40, angle, limit * 1.0001).raising_torque(1))


@pytest.mark.parametrize("angle", [0, 29, 60])
def test_a_screw_holds_from_its_least_friction_on(angle: float) -> None:
    """There the load no longer turns it: no torque is needed to let go."""
    screw = PowerScrew(20, 4, angle, 0.1)
    least = screw.least_holding_friction
    assert screw.rubbing(least).lowering_torque(1000) == pytest.approx(0, abs=1e-12)
    assert screw.rubbing(least * (1 + 1e-6)).holds
    assert not screw.rubbing(least * (1 - 1e-6)).holds
    assert PowerScrew(20, math.pi * 0.1 * 20, 0, 0.1).holds  # by nothing


def test_jammed_screw_presses_nothing() -> None:
    """Where pi d <= f l / cos b no torque turns it: steep and rough."""
    screw = PowerScrew(2, 20, 0, 0.6)
    assert screw.raising_torque(1) == math.inf
    assert screw.efficiency == 0
    assert screw.force_from(10) == 0


def test_root_stress_of_axial_load_alone_is_force_over_area() -> None:
    assert root_stress(1000, 0, 10) == pytest.approx(12.7324, abs=1e-4)
    # Torsion alone, von Mises: sqrt(3) x 16 T / (pi d^3).
    assert root_stress(0, 5, 10) == pytest.approx(math.sqrt(3) * 25.4648, abs=1e-3)


def test_iso_v_thread_is_three_quarters_of_a_pitch_thick_at_the_nuts_bore() -> None:
    """ISO 68-1: external thread at the basic minor diameter, 3P/4; internal at the major, 7P/8."""
    p, d = 1.5, 10.0
    height = math.sqrt(3) / 2 * p
    thread = EngagedThread(d, d - 0.75 * height, d - 1.25 * height, p, 60, 8)
    assert thread.screw_shear_area == pytest.approx(math.pi * thread.bore * 0.75 * 8)
    assert thread.nut_shear_area == pytest.approx(math.pi * d * 0.875 * 8)


def test_safety_is_strength_over_stress() -> None:
    square = EngagedThread(32, 28, 24, 8, 0, 40)  # half a pitch thick everywhere
    material = ScrewMaterial("test", False, 200, 100, 3, 0.15, "")
    found = stress(10_000, 0, 24, square, material)
    assert found.screw_thread == pytest.approx(10_000 / (math.pi * 24 * 20))
    assert found.nut_thread == pytest.approx(10_000 / (math.pi * 32 * 20))
    assert found.thread_safety == pytest.approx(100 / found.screw_thread)
    assert found.root_safety == pytest.approx(200 / (10_000 / (math.pi * 144)))
