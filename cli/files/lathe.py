"""Load a lathe file."""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import chain
from pathlib import Path

from gearchest.catalogs.index_plates import with_plates
from gearchest.catalogs.lathes import lathe_file
from gearchest.catalogs.materials import tooth_strength
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.checked import as_far_as_readable
from gearchest.cli.files.contradictions import contradictions
from gearchest.cli.files.document import Document
from gearchest.cli.files.impossible import crowded, impossible
from gearchest.cli.files.lathe_tables import (
    BanjoTable,
    GearsTable,
    HeadstockTable,
    LatheFile,
    SpecialTable,
)
from gearchest.cli.files.lengths import unit_of
from gearchest.cli.files.plate import positions
from gearchest.cli.files.toml import read_toml
from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair, Place
from gearchest.optimizer.domain.lathe import (
    Banjo,
    Bed,
    DividingHead,
    GearMaking,
    Lathe,
    Policy,
    Slot,
    ThreadDial,
)
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.domain.pitch import MM_PER_INCH
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.train_notation import parse_train
from gearchest.optimizer.domain.workshop import Workshop


def load_lathe(path: Path) -> Lathe:
    """The lathe a file describes; a bundled one by its name where there is no such file.

    Raises `FaultsError` with every fault of the file.
    """
    return lathe_of(read_toml(lathe_source(path)))


def lathe_source(path: Path) -> Path:
    """The file itself, or the bundled one of this name where there is no such file."""
    return path if os.path.exists(path) else lathe_file(str(path)) or path


def lathe_of(document: Document) -> Lathe:
    """The lathe a document describes."""
    _, lathe, faults = lathe_as_meant(document)
    if faults or lathe is None:
        raise FaultsError(faults)
    return lathe


def lathe_as_meant(document: Document) -> tuple[Document, Lathe | None, list[Fault]]:
    """The document with its keys as they were meant, all its faults, and the lathe it describes
    where these are none but what was mended before it was read."""
    document, file, faults = as_far_as_readable(document, LatheFile, (), contradictions)
    if file is None:
        return document, None, faults
    try:
        return document, _lathe(document, file), faults
    except FaultsError as error:
        return document, None, [*faults, *error.faults]


def _lathe(document: Document, file: LatheFile) -> Lathe:
    head = file.headstock
    making = _making(file.gears)
    chest = _chest(file.gears, making)
    if faults := [*crowded(document, chest), *impossible(document, making, file.workshop)]:
        raise FaultsError(faults)
    lathe = Lathe(
        name=file.name,
        inch=None if file.units is None else unit_of(document) == MM_PER_INCH,
        leadscrew=file.leadscrew.pitch.pitch,
        making=making,
        chest=chest,
        first_driver_turns=head.first_driver_turns,
        fixed_first_driver=_fixed(head, making),
        right_hand_meshes=None if head.reversing else head.right_hand_meshes,
        lowest_rpm=head.lowest_rpm,
        run_down=head.run_down,
        spindle_nose=head.spindle_nose,
        banjo=_banjo(file.banjo),
        unmeasured_studs=file.banjo.studs if file.banjo else 1,
        half_nuts=file.leadscrew.half_nuts,
        screw_error=file.leadscrew.lead_error,
        thread_dials=tuple(ThreadDial(d.teeth, d.lines) for d in file.leadscrew.thread_dials),
        bed=Bed(**dict(file.bed)),
        policy=Policy(**dict(file.policy)),
        dividing=tuple(
            with_plates(DividingHead(d.name, d.ratio, d.circles, d.plates, d.bore, d.keyway))
            for d in file.dividing
        ),
        workshop=Workshop(**dict(file.workshop)),
        strength=tooth_strength(),
    )
    usual = _usual_train(document, file, lathe)
    return replace(lathe, usual_train=usual, gearbox=_gearbox(document, file, lathe, usual))


def module_of(module: Fraction | None, dp: Fraction | None) -> Fraction | None:
    """Module in mm from whichever of the two is given; diametral pitch is per inch."""
    return MM_PER_INCH / dp if dp is not None else module


def _making(gears: GearsTable) -> GearMaking:
    module = module_of(gears.module, gears.dp)
    assert module is not None  # the contradictions were refused before
    return GearMaking(
        module, gears.pressure_angle, gears.face_width, gears.bore, gears.keyway, gears.material
    )


def _fixed(head: HeadstockTable, making: GearMaking) -> Gear | None:
    teeth = head.fixed_first_driver
    return making.gear(teeth) if teeth is not None else None


def _usual_train(document: Document, file: LatheFile, lathe: Lathe) -> Train | None:
    if file.gears.usual_train is None:
        return None
    try:
        return parse_train(file.gears.usual_train, lathe)
    except NotationError as error:
        path = ("gears", "usual_train")
        fault = document.fault(path, error.problem, allowed=error.allowed, fix=error.fix)
        raise FaultsError([fault]) from None


def _gearbox(
    document: Document, file: LatheFile, lathe: Lathe, usual: Train | None
) -> tuple[tuple[str, Fraction], ...]:
    box = file.gearbox
    if box is None:
        return ()
    if box.plate is not None and usual is not None:
        return positions(document, box.plate, lathe.leadscrew, usual)
    return tuple((box.ratios or {}).items())


def _banjo(table: BanjoTable | None) -> Banjo | None:
    """The arm as measured, None where no more than its studs is known."""
    if table is None or table.axis_distance is None or table.slots is None:
        return None
    first, last = table.swing
    return Banjo(
        axis_distance=table.axis_distance,
        slots=tuple(Slot(s.start, s.end, s.angle, s.offset) for s in table.slots),
        studs=table.studs,
        swing=(first, last),
        gap=table.gap,
        driver_hub=table.driver_hub,
        stud_hub=table.stud_hub,
        screw_hub=table.screw_hub,
        largest_tip_diameter=table.largest_tip_diameter,
        axis_angle=table.axis_angle,
    )


def _chest(gears: GearsTable, making: GearMaking) -> Chest:
    """Loose gears counted by kind, and the pinned pairs.

    A special gear pinned to another finds it among the specials that say the same of it,
    else among the gears owned (one leaves the loose gears for each pair), else it brings a
    partner of its own kind.
    """
    loose = Counter(making.gear(teeth) for teeth in chain(*gears.owned))
    halves = [special for special in gears.special if special.pinned_to is not None]
    for special in gears.special:
        if special.pinned_to is None:
            for teeth in chain(*special.teeth):
                loose[_special_gear(special, teeth, making)] += special.count
    pairs: list[PinnedPair] = []
    while halves:
        special = halves.pop(0)
        one = _special_gear(special, _teeth(special), making)
        mutual = _partner(special, halves)
        if mutual is not None:
            halves.remove(mutual)
            other = _special_gear(mutual, _teeth(mutual), making)
        else:
            other = making.gear(special.pinned_to or 0)
            if loose[other] >= special.count:
                loose[other] -= special.count
            else:
                other = replace(one, teeth=other.teeth)
        pairs.append(_pair(one, other, special.count, taken=[p.one.unit for p in pairs]))
    counted = sorted(loose.items(), key=lambda item: item[0].order)
    return Chest(tuple((gear, n) for gear, n in counted if n > 0), tuple(pairs))


def _partner(special: SpecialTable, others: list[SpecialTable]) -> SpecialTable | None:
    mutual = special.pinned_to, _teeth(special)
    return next((o for o in others if (_teeth(o), o.pinned_to) == mutual), None)


def _teeth(special: SpecialTable) -> int:
    """The one tooth count of a gear that is pinned to another."""
    ((teeth,),) = special.teeth
    return teeth


def _special_gear(special: SpecialTable, teeth: int, making: GearMaking) -> Gear:
    module = module_of(special.module, special.dp)
    return Gear(
        teeth,
        making.module if module is None else module,
        special.pressure_angle or making.pressure_angle,
        special.face_width or making.face_width,
        special.material or making.material,
        frozenset(special.only_on),
    )


def _pair(one: Gear, other: Gear, count: int, taken: list[str]) -> PinnedPair:
    """A pinned pair under a name no other pair has; by its nature it goes on a stud."""
    name = f"{one.teeth}+{other.teeth}"
    number = sum(unit.partition(" ")[0] == name for unit in taken)
    unit = name if number == 0 else f"{name} ({number + 1})"
    stud = frozenset({Place.STUD})
    return PinnedPair(
        replace(one, unit=unit, places=stud), replace(other, unit=unit, places=stud), count
    )
