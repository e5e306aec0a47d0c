"""Lewis factors and material stresses against their sources."""

from __future__ import annotations

import csv
import math
from fractions import Fraction
from pathlib import Path

import pytest

from gearchest.catalogs.materials import screw_materials, tooth_strength
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.strength.lewis import LewisTable, tooth_limit

CHECKS = Path(__file__).parents[1] / "checks"
MPA_PER_PSI = 0.006894757


def published() -> list[tuple[int, float]]:
    """gearpy 1.3.1, gear_data/lewis_factor_table.csv (seen)."""
    with (CHECKS / "lewis_20deg.csv").open(newline="") as file:
        return [(int(r["teeth"]), float(r["Y_20deg_full_depth"])) for r in csv.DictReader(file)]


@pytest.mark.parametrize(("teeth", "factor"), published())
def test_lewis_factors_are_the_published_ones(teeth: int, factor: float) -> None:
    assert tooth_strength().factors[Fraction(20)](teeth) == factor


def test_between_rows_the_factor_lies_between_and_outside_it_is_safe() -> None:
    factor = tooth_strength().factors[Fraction(20)]
    assert factor(23) == pytest.approx((0.330 + 0.337) / 2)
    assert factor(63) == pytest.approx(0.421 + 0.6 * 0.004)
    assert factor(9) is None
    assert factor(1000) == 0.484
    assert LewisTable(((10, 0.2), (20, 0.3)))(15) == pytest.approx(0.25)


@pytest.mark.parametrize(("teeth", "factor"), [(12, 0.210), (20, 0.283), (60, 0.355)])
def test_lewis_14_5(teeth: int, factor: float) -> None:
    """Textbook table of 14 1/2 degree full-depth teeth (from memory); the formula is within 1 %."""
    assert tooth_strength().factors[Fraction(29, 2)](teeth) == pytest.approx(factor, rel=0.01)


def test_14_5_teeth_are_weaker_than_20() -> None:
    factors = tooth_strength().factors
    for teeth in range(12, 201):
        weak, strong = factors[Fraction(29, 2)](teeth), factors[Fraction(20)](teeth)
        assert weak is not None
        assert strong is not None
        assert weak < strong


def test_spur_gear_by_hand() -> None:
    """s b m Y: 103 MPa x 8 mm x 1 mm x 0.389 for 40 teeth of steel."""
    gear = Gear(40, Fraction(1), face_width=Fraction(8))
    assert tooth_limit(gear, Fraction(8), tooth_strength()).newtons == pytest.approx(320.5, abs=0.1)


@pytest.mark.parametrize(
    "name",
    ["steel", "cast iron", "zinc alloy", "brass", "acetal", "nylon", "PLA", "Printed PETG"],
)
def test_every_usual_material_has_a_stress_and_a_source(name: str) -> None:
    gear = Gear(40, Fraction(1), face_width=Fraction(8), material=name)
    limit = tooth_limit(gear, Fraction(8), tooth_strength())
    assert limit.newtons
    assert limit.material is not None
    assert limit.material.source
    assert limit.material.plastic == (name in ("acetal", "nylon", "PLA", "Printed PETG"))


def test_what_has_no_data_says_so() -> None:
    odd = Gear(40, Fraction(1), Fraction(25), Fraction(8))
    assert "25 degrees" in tooth_limit(odd, Fraction(8), tooth_strength()).unchecked
    cheese = Gear(40, Fraction(1), material="cheese")
    assert '"cheese"' in tooth_limit(cheese, Fraction(8), tooth_strength()).unchecked
    tiny = Gear(9, Fraction(1))
    assert "9 teeth" in tooth_limit(tiny, Fraction(8), tooth_strength()).unchecked


def test_dry_beech() -> None:
    """USDA Wood Handbook, American beech at 12 %: 7300 psi, 2010 psi (seen)."""
    beech = screw_materials()["beech"]
    assert beech.compression == pytest.approx(7300 * MPA_PER_PSI, abs=0.05)
    assert beech.shear == pytest.approx(2010 * MPA_PER_PSI, abs=0.05)
    assert beech.wood


def test_metal_shear_follows_von_mises() -> None:
    for material in screw_materials().values():
        assert material.source
        if not material.wood:
            ratio = material.shear / material.compression
            assert ratio == pytest.approx(1 / math.sqrt(3), abs=0.005)
