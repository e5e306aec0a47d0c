"""Materials of gears and screws, and Lewis factors, each with its source."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from gearchest.catalogs.tables import rows
from gearchest.optimizer.domain.material import GearMaterial, ToothStrength
from gearchest.optimizer.strength.lewis import LewisTable, lewis_14_5
from gearchest.optimizer.turning.screw_force import NutMaterial, ScrewMaterial


@cache
def tooth_strength() -> ToothStrength:
    """Everything the Lewis check needs: 20 and 14 1/2 degrees, every material with a stress."""
    table = LewisTable(tuple((int(r["teeth"]), float(r["Y"])) for r in rows("lewis_20deg.csv")))
    materials: dict[str, GearMaterial] = {}
    for row in rows("gear_materials.csv"):
        material = GearMaterial(
            row["name"],
            float(row["stress_mpa"]),
            f"{row['source']} ({row['status']})",
            row["plastic"] == "yes",
        )
        for name in (row["name"], *filter(None, row["also"].split(";"))):
            materials[name] = material
    return ToothStrength({Fraction(20): table, Fraction(29, 2): lewis_14_5}, materials)


@cache
def screw_materials() -> dict[str, ScrewMaterial]:
    """Materials of screws and nuts by name, in the order of the file."""
    return {
        row["name"]: ScrewMaterial(
            row["name"],
            row["kind"] == "wood",
            float(row["compression_mpa"]),
            float(row["shear_mpa"]),
            float(row["safety"]),
            float(row["friction"]),
            f"{row['source']} ({row['status']})",
            float(row["threading_m_min"]) if row["threading_m_min"] else None,
            row["fluid"],
            float(row["modulus_gpa"]) * 1000.0,
            (float(row["friction_from"]), float(row["friction_to"])),
        )
        for row in rows("screw_materials.csv")
    }


@cache
def nut_materials() -> dict[str, NutMaterial]:
    """What nuts bear, by material, in the order of the file."""
    return {
        row["name"]: NutMaterial(
            row["name"],
            float(row["surely_mpa"]),
            float(row["most_mpa"]),
            f"{row['source']} ({row['status']})",
        )
        for row in rows("nut_materials.csv")
    }
