"""What each may be in a lathe file but no gears or shop can have together, found once all is
read."""

from __future__ import annotations

from collections.abc import Iterator

from gearchest.cli.faults import Fault
from gearchest.cli.files.document import Document
from gearchest.cli.files.lathe_tables import WorkshopTable
from gearchest.cli.files.lengths import unit_of
from gearchest.cli.files.limits import MOST_GEARS, MOST_KINDS, too_many
from gearchest.cli.files.units import LIKELY, WORDS, asked, bare
from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import GearMaking
from gearchest.optimizer.domain.tooth import read_keyway


def crowded(document: Document, chest: Chest) -> Iterator[Fault]:
    """More gears than can be answered for."""
    kinds = len(chest.loose) + 2 * len(chest.pinned)
    for count, most, what in (
        (chest.size, MOST_GEARS, "gears"), (kinds, MOST_KINDS, "kinds of gears"),
    ):  # fmt: skip
        if count > most:
            problem, fix = too_many(most, what)
            yield document.fault(("gears",), problem, fix=fix)


def impossible(document: Document, making: GearMaking, workshop: WorkshopTable) -> Iterator[Fault]:
    """A keyway that leaves no bore, teeth with more play than tooth, an outline without teeth."""
    keyway = read_keyway(making.keyway)
    if keyway and making.bore and keyway.width >= making.bore:
        yield from _narrow_bore(document, making.bore, keyway.width)
    module = float(making.module)
    if workshop.backlash is not None and workshop.backlash > most_backlash(module):
        yield document.fault(
            ("workshop", "backlash"), "teeth of this module have no such backlash",
            allowed=f"at most half a module, {most_backlash(module):g} mm", fix="check it",
        )  # fmt: skip
    if abs(workshop.outline_offset) > most_offset(module):
        yield document.fault(
            ("workshop", "outline_offset"), "no teeth of this module would be left",
            allowed=f"at most a quarter of the module either way, {most_offset(module):g} mm",
            fix="check it",
        )  # fmt: skip


def _narrow_bore(document: Document, bore_mm: float, keyway_mm: float) -> Iterator[Fault]:
    path = ("gears", "bore")
    own = unit_of(document)
    wider = [unit for unit in LIKELY if keyway_mm < bore_mm * float(unit / own) < _WIDEST]
    if bare(document.value(*path)) is None or bore_mm > _NARROWEST or not wider:
        yield document.fault(
            ("gears", "keyway"), "this keyway is wider than the bore it stands in",
            fix="measure both again, width first", also=(path,),
        )  # fmt: skip
        return
    yield document.fault(
        path, f"bore {document.typed(path)}: {' or '.join(WORDS[unit] for unit in wider)}? "
        f"Read as {WORDS[own]}, its keyway is wider than it is",
        fix=asked([path], document, wider), also=(("gears", "keyway"),),
    )  # fmt: skip


_NARROWEST, _WIDEST = 3, 80
"""mm: gears of lathes are bored wider than the one, and no wider than the other (common practice,
no source)."""


def most_backlash(module: float) -> float:
    """mm: the most play that still leaves teeth."""
    return module / 2


def most_offset(module: float) -> float:
    """mm: the most that an outline may be fuller or leaner all round."""
    return module / 4
