"""What gear making needs from tables: cutters, modules, materials, bar sizes.

The CSV files of `gear_making/` begin with `#` lines that name their sources.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from gearchest.catalogs.materials import tooth_strength
from gearchest.catalogs.tables import rows
from gearchest.optimizer.making.cutters import FormCutter
from gearchest.optimizer.making.material import Material
from gearchest.optimizer.making.tables import Tables

_FOLDER = "gear_making"


@cache
def making_tables() -> Tables:
    """Every table a blank sheet is made with."""
    return Tables(form_cutters(), materials(), bar_sizes(), standard_modules(), tooth_strength())


@cache
def form_cutters() -> tuple[FormCutter, ...]:
    """The involute cutters of the sets of eight and of fifteen."""
    return tuple(
        FormCutter(
            Fraction(row["number"]),
            int(row["teeth_from"]),
            int(row["teeth_to"]) if row["teeth_to"] else None,
        )
        for row in rows(_FOLDER, "involute_cutters.csv")
    )


@cache
def standard_modules() -> tuple[Fraction, ...]:
    """Standard modules in mm, ascending."""
    values = (
        Fraction(v) for row in rows(_FOLDER, "module_series.csv") for v in row["values"].split()
    )
    return tuple(sorted(values))


@cache
def materials() -> tuple[Material, ...]:
    """What gears are made of."""
    return tuple(
        Material(
            row["name"],
            float(row["density"]),
            float(row["surface_speed"]),
            Fraction(row["price"]),
            row["use"],
        )
        for row in rows(_FOLDER, "blank_materials.csv")
    )


@cache
def bar_sizes() -> tuple[float, ...]:
    """Round bar as stocked, mm, ascending."""
    return tuple(sorted(float(row["diameter"]) for row in rows(_FOLDER, "bar_sizes.csv")))
