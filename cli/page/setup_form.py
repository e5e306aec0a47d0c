"""The fields by which a setup sheet is asked for: the options of `gearchest setup`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from gearchest.catalogs.materials import nut_materials, screw_materials
from gearchest.optimizer.domain.want import Use
from gearchest.optimizer.turning.strut import Ends

DRIVES = ("spindle", "screw", "auto")

Choices = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Asked:
    """One option: `name` in the address, `hint` how it is typed, `value` as it was."""

    name: str
    label: str
    hint: str = ""
    choices: Choices = ()
    value: str = ""


def _of(names: Iterable[str], usual: str) -> Choices:
    return (("", usual), *((name, name) for name in names))


def _groups() -> tuple[tuple[str, tuple[Asked, ...]], ...]:
    return (
        ("The work", (
            Asked("length", "Threaded length", "40 mm"),
            Asked("run_out", "Room past the thread", "3 mm"),
            Asked("material", "Material", choices=_of(screw_materials(), "as is usual")),
            Asked("class", "Class of fit", "6g, 2A"),
        )),
        ("The tool", (
            Asked("tool", "Tool", choices=_of(("hss", "carbide"), "hss")),
            Asked("tip", "Its tip", "0.1 mm, flat 0.2 mm, sharp"),
            Asked("cutter", "Powered cutter", "bit 12 mm, disc 40 mm"),
            Asked("crank_force", "Hand on a crank", "150 N"),
            Asked("drive", "Driven from", choices=_of(DRIVES, "as the lathe file says")),
        )),
        ("The finished screw under a load", (
            Asked("load", "Load", "8 kN, 500 lbf"),
            Asked("force", "or a hand's force", "200 N"),
            Asked("radius", "at a radius of", "150 mm"),
            Asked("free_length", "Length that can buckle", "300 mm"),
            Asked("ends", "Its ends", choices=_of((end.title for end in Ends), "not said")),
            Asked("nut", "Length of the nut", "one diameter"),
            Asked("nut_material", "The nut's material", choices=_of(nut_materials(), "not said")),
            Asked("friction", "Friction", "0.15"),
        )),
        ("A train of your own", (
            Asked("train", "Train", "40/(48)/80"),
            Asked("gearbox", "Lever position", "A2"),
        )),
        ("A pitch that is none of the threads wanted", (
            Asked("diameter", "Diameter", "10 mm"),
            Asked("use", "Used as", choices=_of((use.value for use in Use), "as is usual")),
            Asked("form", "Form", "acme, square, wood-60"),
        )),
    )  # fmt: skip


NAMES = tuple(one.name for _, group in _groups() for one in group)
"""Names of all options, as they stand in the address."""


LABELS = {one.name: one.label for _, group in _groups() for one in group}
"""What the page calls each."""


def setup_groups(query: Mapping[str, str]) -> list[tuple[str, bool, list[Asked]]]:
    """The options in groups: title, whether one of them is given, and the options as given."""
    found = []
    for title, group in _groups():
        given = [replace(one, value=query.get(one.name, "").strip()) for one in group]
        found.append((title, any(one.value for one in given), given))
    return found
