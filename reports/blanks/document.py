"""The JSON of `gearchest blanks`: lengths in mm, angles in degrees, exact fractions as "a/b"."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from gearchest.optimizer.making.cost import Cost
from gearchest.optimizer.making.cutters import FormCutter
from gearchest.optimizer.making.head_shafts import ShaftFit
from gearchest.optimizer.making.indexing import Indexing
from gearchest.optimizer.making.measuring import Chordal, Span
from gearchest.optimizer.making.pins import OverPins, PinRange
from gearchest.optimizer.making.sheet import BlankSheet
from gearchest.optimizer.making.tooth_load import LoadShare
from gearchest.optimizer.making.without_head import GearDivider

VERSION = 1


def blanks_document(
    sheets: Sequence[BlankSheet], files: Sequence[Sequence[str]] = ()
) -> dict[str, Any]:
    """The document of several gears; `files`: for each gear the names of its files."""
    named = files or [()] * len(sheets)
    return {
        "kind": "blanks",
        "version": VERSION,
        "lathe": sheets[0].lathe.name if sheets else "",
        "gears": [gear_entry(sheet, list(f)) for sheet, f in zip(sheets, named, strict=True)],
    }


def gear_entry(sheet: BlankSheet, files: list[str]) -> dict[str, Any]:
    """One gear. Measures `mm` are those without backlash; `mm_with_backlash` as cut."""
    blank, measures = sheet.blank, sheet.measures
    return {
        "teeth": blank.teeth,
        "module": _number(blank.module),
        "pressure_angle_deg": _number(float(blank.gear.pressure_angle)),
        "tip_diameter_mm": _number(blank.tip_diameter),
        "pitch_diameter_mm": _number(blank.pitch_diameter),
        "root_diameter_mm": _number(blank.root_diameter),
        "depth_mm": _number(blank.whole_depth),
        "depth_system": blank.depth.name,
        "depth_of_cut_mm": _number(blank.depth_of_cut),
        "face_width_mm": _number(blank.face_width),
        "bore_mm": blank.bore or None,
        "keyway_mm": [blank.keyway.width, blank.keyway.depth] if blank.keyway else None,
        "rim_mm": _number(blank.rim),
        "profile_shift": _number(blank.shift),
        "backlash_mm": _number(sheet.pair_backlash),
        "undercut": blank.undercut,
        "curing_shift": _number(blank.curing_shift),
        "refused": sheet.refusal or None,
        "cautions": list(sheet.cautions),
        "material": sheet.material.name if sheet.material else None,
        "weight_g": _number(sheet.weight, 1),
        "cutter": _cutter(sheet.cutters[0]) if sheet.cutters else None,
        "span": _span(measures.span) if measures else None,
        "over_pins": _pins(measures.pins or next(iter(measures.at_hand), None))
        if measures
        else None,
        "over_pins_at_hand": [_pins(found) for found in measures.at_hand] if measures else [],
        "pin_range_mm": _range(measures.pin_range) if measures else None,
        "chordal": _chordal(measures.chordal) if measures else None,
        "indexing": [_indexing(way, head.shafts) for head in sheet.heads for way in head.ways],
        "without_head": [_divider(way) for way in sheet.dividers],
        "costs": [_cost(cost) for cost in sheet.costs],
        "loads": [_load(share) for share in sheet.load_shares],
        "files": files,
    }


def _number(value: float | None, places: int = 6) -> float | None:
    return None if value is None else round(float(value), places)


def _cutter(cutter: FormCutter) -> dict[str, Any]:
    return {
        "teeth_from": cutter.teeth_from,
        "teeth_to": cutter.teeth_to,
        "dp_number": _plain(cutter.number),
        "module_number": _plain(cutter.module_number),
    }


def _plain(number: Fraction) -> float | int:
    return number.numerator if number.denominator == 1 else float(number)


def _span(span: Span) -> dict[str, Any]:
    return {
        "teeth": span.teeth,
        "mm": _number(span.ideal),
        "mm_with_backlash": _number(span.with_backlash),
        "per_division_mm": _number(span.per_division),
    }


def _pins(pins: OverPins | None) -> dict[str, Any] | None:
    if pins is None:
        return None
    return {
        "pin_mm": _number(pins.pin),
        "mm": _number(pins.ideal),
        "mm_with_backlash": _number(pins.with_backlash),
        "per_division_mm": _number(pins.per_division),
    }


def _range(pins: PinRange | None) -> list[float | None] | None:
    return [_number(pins.least), _number(pins.most)] if pins else None


def _chordal(chordal: Chordal) -> dict[str, Any]:
    return {
        "thickness_mm": _number(chordal.ideal),
        "thickness_with_backlash_mm": _number(chordal.thickness),
        "height_mm": _number(chordal.height),
        "per_division_mm": _number(chordal.per_division),
    }


def _indexing(way: Indexing, shafts: ShaftFit) -> dict[str, Any]:
    """`turns` are whole turns of the crank before the moves; `crank` is all of it, exact.
    `fit_shafts`: whether the lathe's gears go on the head's, "yes", "bushed" or "unknown"."""
    gears = way.gears
    return {
        "head": way.head.name,
        "method": way.method,
        "turns": way.turns,
        "moves": [{"circle": move.circle, "holes": move.holes} for move in way.moves],
        "change_gears": {
            "drivers": list(gears.drivers),
            "driven": list(gears.driven),
            "idlers": list(gears.idlers),
            "fit_shafts": shafts.value,
        }
        if gears
        else None,
        "crank": _exact(way.crank),
        "plate_turns_per_work_turn": _exact(gears.plate_turns) if gears else None,
        "spacing_error_deg": float(way.largest_spacing_error * 360),
        "accumulated_error_deg": float(way.accumulated_error * 360),
        "closure_deg": float(way.closure * 360),
    }


def _exact(value: Fraction) -> str:
    return f"{value.numerator}/{value.denominator}"


def _divider(way: GearDivider) -> dict[str, Any]:
    return {
        "index_gear": way.index,
        "step_teeth": way.step,
        "drivers": list(way.drivers),
        "driven": list(way.driven),
    }


def _cost(cost: Cost) -> dict[str, Any]:
    return {
        "way": str(cost.way),
        "material": float(round(cost.material, 2)),
        "cutter": float(cost.cutter),
        "hours": float(round(cost.hours, 2)),
        "labour": float(round(cost.labour, 2)),
        "total": float(cost.total),
    }


def _load(share: LoadShare) -> dict[str, Any]:
    return {
        "use": share.case.use,
        "material": share.material,
        "load_n": _number(share.case.newtons, 2),
        "share": _number(share.share, 4),
    }
