"""What gear making needs from tables: plates, cutters, modules, materials, bar sizes.

The CSV files of `gear_making/` begin with `#` lines that name their sources.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from importlib.resources import files

from gearchest.catalogs.materials import tooth_strength
from gearchest.optimizer.lathe import DividingHead
from gearchest.optimizer.making.cutters import FormCutter
from gearchest.optimizer.making.material import Material
from gearchest.optimizer.making.sheet import Tables


@cache
def making_tables() -> Tables:
    """Every table a blank sheet is made with."""
    return Tables(form_cutters(), materials(), bar_sizes(), standard_modules(), tooth_strength())


@cache
def index_plates() -> tuple[tuple[int, ...], ...]:
    """The circles of each plate in common use."""
    return tuple(tuple(_whole(row["circles"])) for row in _rows("index_plates"))


@cache
def form_cutters() -> tuple[FormCutter, ...]:
    """The involute cutters of the sets of eight and of fifteen."""
    return tuple(
        FormCutter(
            Fraction(row["number"]),
            int(row["teeth_from"]),
            int(row["teeth_to"]) if row["teeth_to"] else None,
        )
        for row in _rows("involute_cutters")
    )


@cache
def standard_modules() -> tuple[Fraction, ...]:
    """Standard modules in mm, ascending."""
    values = (Fraction(v) for row in _rows("module_series") for v in row["values"].split())
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
        for row in _rows("blank_materials")
    )


@cache
def bar_sizes() -> tuple[float, ...]:
    """Round bar as stocked, mm, ascending."""
    return tuple(sorted(float(row["diameter"]) for row in _rows("bar_sizes")))


def with_plates(head: DividingHead) -> DividingHead:
    """The head with its circles sorted onto plates, as far as they are plates in common use.

    Circles left over are taken as one plate of their own; a head none of whose plates is
    known keeps its circles unsorted.
    """
    if head.plates:
        return head
    circles = set(head.circles)
    known = tuple(plate for plate in index_plates() if circles.issuperset(plate))
    left = tuple(sorted(circles.difference(*known)))
    if not known:
        return head
    return replace(head, plates=(*known, left) if left else known)


def _whole(text: str) -> list[int]:
    return [int(word) for word in text.split()]


def _rows(name: str) -> Iterator[dict[str, str]]:
    path = files("gearchest.catalogs") / "gear_making" / f"{name}.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    yield from csv.DictReader(line for line in lines if not line.startswith("#"))
