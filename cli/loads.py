"""What loads the finished screw, as typed: `--load` or `--force`, and all that goes with them."""

from __future__ import annotations

import re
from collections.abc import Mapping

from gearchest.catalogs.materials import nut_materials
from gearchest.cli.typed import length, positive, refused, unknown
from gearchest.optimizer.turning.pressing import Hand, Load
from gearchest.optimizer.turning.screw_force import NutMaterial, ScrewMaterial
from gearchest.optimizer.turning.strut import Ends

BESIDE = ("friction", "nut", "nut_material", "free_length", "ends")
"""What says nothing without a load."""


_NEWTONS = {"n": 1.0, "kn": 1000.0, "kg": 9.80665, "kgf": 9.80665, "lb": 4.4482216152605,
            "lbs": 4.4482216152605, "lbf": 4.4482216152605}  # fmt: skip
"""By unit, exact by definition; weights are those of kilograms and pounds."""

FORCE_FORMS = '"200" or "200 N", "2 kN", "20 kg", "45 lbf"'


def newtons(text: str | None, option: str) -> float | None:
    """A force greater than zero, N where it bears no unit."""
    if text is None:
        return None
    found = re.fullmatch(r"(.*?)\s*([a-z]+)", text.strip(), re.IGNORECASE)
    if found is None:
        return positive(text, option)
    unit = found[2].lower()
    if unit not in _NEWTONS:
        raise refused(
            option, text, "this cannot be read", FORCE_FORMS, "write it like one of these"
        )
    value = positive(found[1], option)
    return None if value is None else value * _NEWTONS[unit]


def load_of(options: Mapping[str, object], material: ScrewMaterial) -> Load | None:
    """The load of a screw of `material`; None where none is given. Raises `FaultsError`."""
    given = {name: str(value) for name, value in options.items() if isinstance(value, str)}
    force, radius = given.get("force"), given.get("radius")
    if (radius is None) != (force is None):
        missing = "--radius" if radius is None else "--force"
        raise refused(missing, "", "a hand force goes with the radius it works at",
                      fix="give both, as in --force 200 --radius 150mm")  # fmt: skip
    axial = newtons(given.get("load"), "--load")
    if axial is not None and force is not None:
        raise refused("--load", given["load"], "the hand's force and the load say the same twice",
                      fix="give --load, or --force and --radius")  # fmt: skip
    if axial is None and force is None:
        for name in BESIDE:
            if name in given:
                option = f"--{name.replace('_', '-')}"
                raise refused(option, given[name], "this goes with a load on the finished screw",
                              fix="give --load N, or --force N and --radius L")  # fmt: skip
        return None
    if "ends" in given and "free_length" not in given:
        raise refused("--ends", given["ends"], "ends count for a screw that is pressed endwise",
                      fix="give the length between them, as in --free-length 300mm")  # fmt: skip
    hand = None
    if force is not None:
        hand = Hand(newtons(force, "--force") or 0.0, _mm(radius, "--radius") or 0.0)
    return Load(
        hand,
        axial,
        friction=positive(given.get("friction"), "--friction"),
        nut=_mm(given.get("nut"), "--nut"),
        nut_material=_nut_material(given.get("nut_material"), material),
        free=_mm(given.get("free_length"), "--free-length"),
        ends=_ends(given.get("ends")),
    )


def _nut_material(name: str | None, screw: ScrewMaterial) -> NutMaterial | None:
    known = nut_materials()
    if name is None:
        return known.get(screw.name) if screw.wood else None
    found = known.get(name.strip().lower())
    if found is None:
        raise unknown("--nut-material", name, "it is not known what nuts of this bear", known)
    return found


def _ends(name: str | None) -> Ends | None:
    if name is None:
        return None
    known = {ends.title: ends for ends in Ends}
    word = name.strip().lower()
    if word not in known:
        raise unknown("--ends", name, "the ends of a screw are held in one of these ways", known)
    return known[word]


def _mm(text: str | None, option: str) -> float | None:
    found = length(text, option)
    return None if found is None else float(found)
