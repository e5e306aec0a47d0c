"""What `gearchest check` says of an arm: what no gear owned could use, and in what unit it looks
to have been measured."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from gearchest.cli.faults import Fault
from gearchest.cli.files.document import Document, KeyPath
from gearchest.cli.files.lengths import NAMES, unit_of
from gearchest.cli.files.units import LIKELY, WORDS, asked, bare
from gearchest.optimizer.arm.reaching import ArmReach, arm_reach, spans
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe

_AXIS: KeyPath = ("banjo", "axis_distance")


def arm_faults(document: Document, lathe: Lathe) -> Iterator[Fault]:
    """What no train at all could use, taken distances alone."""
    if (banjo := lathe.banjo) is None or not _makes_trains(lathe.chest):
        return
    reached = arm_reach(banjo, lathe.chest)
    idle = sorted(set(range(len(banjo.slots))) - reached.slots)
    close = _too_close(banjo, lathe.chest)
    if (idle or close) and (question := _question(document, banjo, lathe.chest, idle)):
        yield question
        return
    yield from (_idle_slot(document, index, reached) for index in idle)
    if close:
        yield document.fault(
            _AXIS, _CLOSE,
            fix="measure from the centre of the first driver's shaft to that of the screw shaft",
        )  # fmt: skip
    if reached.angles is not None:
        least, most = (round(angle) for angle in reached.angles)
        yield document.fault(
            ("banjo", "swing"), "this swing excludes every train",
            allowed=f"trains of the gears owned stand between {least} and {most} degrees",
            fix="measure from the line between the shafts, counter-clockwise positive, facing "
            "the gears",
        )  # fmt: skip
    if not any(banjo.clears_cover(gear.tip_radius) for gear in _gears(lathe.chest)):
        yield _low_cover(document, banjo, lathe.chest)


def unreached(lathe: Lathe) -> str:
    """A line where no gears owned reach any slot of the arm, so that nothing can be said to fit;
    "" elsewhere."""
    chest = lathe.chest
    if lathe.banjo is None or not _makes_trains(chest) or len(spans(chest)) > _SOON:
        return ""
    if arm_reach(lathe.banjo, chest).slots:
        return ""
    return (
        "no two gears owned bring a stud into a slot of this arm: gearchest check says whether it "
        "looks measured in another unit"
    )


_SOON = 400
"""Distances at which gears mesh: of more of them, trying them all would take longer than the
answer they come with."""


def overtopping(lathe: Lathe) -> str:
    """The gears owned that do not run under the cover, in a line; "" where all do."""
    if lathe.banjo is None:
        return ""
    over = [gear for gear in _gears(lathe.chest) if not lathe.banjo.clears_cover(gear.tip_radius)]
    if not over:
        return ""
    tips = ", ".join(f"{gear} (tip {2 * gear.tip_radius:g})" for gear in over)
    limit = f"{lathe.banjo.largest_tip_diameter:g} mm"
    return f"too big for the cover, so in no train: {tips}; largest_tip_diameter is {limit}"


_CLOSE = "any gear owned on one of the two shafts would strike the other"


def _too_close(banjo: Banjo, chest: Chest) -> bool:
    least = min((gear.tip_radius for gear in _gears(chest)), default=0.0)
    return banjo.axis_distance < least


def _makes_trains(chest: Chest) -> bool:
    """Whether there are gears for one train, over a stud; else nothing is known against an arm."""
    return sum(count for _, count in chest.loose) + 2 * len(chest.pinned) >= 3


def _gears(chest: Chest) -> list[Gear]:
    """Every kind of gear owned, once, by tooth count."""
    pinned = (gear for pair in chest.pinned for gear in (pair.one, pair.other))
    kinds = {(gear.teeth, gear.module): gear for gear in (*(g for g, _ in chest.loose), *pinned)}
    return [kinds[key] for key in sorted(kinds)]


def _idle_slot(document: Document, index: int, reached: ArmReach) -> Fault:
    tried = "no two gears owned" if reached.complete else "none of the gear pairs tried"
    return document.fault(
        ("banjo", "slots", index), f"{tried} bring a stud into this slot",
        fix="measure start and end from the screw shaft's centre, and axis_distance again",
        also=(_AXIS, ("gears", "owned")),
    )  # fmt: skip


def _question(document: Document, banjo: Banjo, chest: Chest, idle: list[int]) -> Fault | None:
    """Whether bare lengths were meant in another unit, in which the gears owned do reach."""
    own = unit_of(document)
    slots = [("banjo", "slots", index, key) for index in idle for key in ("start", "end", "offset")]
    for keys in ([_AXIS, *slots], slots, [_AXIS]):
        paths = [path for path in keys if bare(document.value(*path)) is not None]
        units = [
            unit for unit in LIKELY
            if unit != own and _reaches(_scaled(banjo, paths, float(unit / own)), chest, idle)
        ]  # fmt: skip
        if paths and units:
            return _asked(document, paths, units, idle)
    return None


def _scaled(banjo: Banjo, paths: list[KeyPath], factor: float) -> Banjo:
    """The arm with these of its lengths so many times as long."""
    slots = list(banjo.slots)
    for path in paths:
        if len(path) == 4:
            index, key = int(path[2]), str(path[3])
            slots[index] = replace(slots[index], **{key: factor * getattr(slots[index], key)})
    along = factor if _AXIS in paths else 1.0
    return replace(banjo, slots=tuple(slots), axis_distance=along * banjo.axis_distance)


def _reaches(banjo: Banjo, chest: Chest, idle: list[int]) -> bool:
    return not _too_close(banjo, chest) and set(idle) <= arm_reach(banjo, chest).slots


def _asked(
    document: Document, paths: list[KeyPath], units: list[Fraction], idle: list[int]
) -> Fault:
    slot: KeyPath = ("banjo", "slots", *idle[:1])
    start, end = (document.typed((*slot, key)) for key in ("start", "end"))
    said = [f"slot {start} to {end}"] if (*slot, "start") in paths else []
    said += [f"axis_distance {document.typed(_AXIS)}"] if _AXIS in paths else []
    wrong = "no two gears owned bring a stud into this slot" if idle else _CLOSE
    return document.fault(
        slot if idle else _AXIS,
        f"{', '.join(said)}: {' or '.join(WORDS[unit] for unit in units)}? "
        f"Read as {WORDS[unit_of(document)]}, {wrong}",
        fix=asked(paths, document, units),
        also=(_AXIS, ("gears", "owned")),
    )


def _low_cover(document: Document, banjo: Banjo, chest: Chest) -> Fault:
    path = ("banjo", "largest_tip_diameter")
    own, typed = unit_of(document), document.value(*path)
    tips = [2 * gear.tip_radius for gear in _gears(chest)]
    least, biggest = min(tips), max(tips)
    meant = [
        unit for unit in LIKELY
        if bare(typed) is not None
        and least <= float(unit / own) * (banjo.largest_tip_diameter or 0.0) <= 3 * biggest
    ]  # fmt: skip
    fix = ", or ".join(f'write largest_tip_diameter = "{typed} {NAMES[unit]}"' for unit in meant)
    return document.fault(
        path, "no gear owned runs under this cover",
        fix=fix or f"measure it again: the biggest gear owned is {biggest:g} mm over its teeth",
    )  # fmt: skip
