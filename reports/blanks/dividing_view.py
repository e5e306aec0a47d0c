"""Dividing in words: moves, gearings, stops, and the sum that shows they close."""

from __future__ import annotations

import math

from gearchest.optimizer.domain.lathe import GearMaking
from gearchest.optimizer.making.head_shafts import ShaftFit
from gearchest.optimizer.making.indexing import Indexing, Stop
from gearchest.optimizer.making.job import HeadWays
from gearchest.optimizer.making.plate_gears import PlateGears
from gearchest.optimizer.making.sheet import BlankSheet
from gearchest.optimizer.making.without_head import GearDivider
from gearchest.reports.words import numbers
from gearchest.reports.words.line import Line
from gearchest.reports.words.numbers import NARROW_SPACE


def move_text(way: Indexing) -> str:
    """One tooth's move in words."""
    turns = f"{numbers.plural(way.turns, 'turn')}" if way.turns or not way.moves else ""
    if way.method == "compound":
        crank, plate = way.moves
        parts = [turns, _holes(crank.holes, crank.circle)]
        return f"crank {_joined(parts)}, then plate {_holes(plate.holes, plate.circle)}"
    parts = [turns, *(_holes(m.holes, m.circle) for m in way.moves if m.holes or not turns)]
    return _joined(parts)


def _joined(parts: list[str]) -> str:
    return " + ".join(part for part in parts if part)


def _holes(holes: int, circle: int) -> str:
    return f"{numbers.plural(abs(holes), 'hole')} on {circle}{' back' if holes < 0 else ''}"


METHODS = {
    "plain": "Plain indexing",
    "compound": "Compound indexing",
    "differential": "Differential indexing",
    "none": "Nearest holes",
}


def method_name(way: Indexing) -> str:
    """The method in words; an inexact compound move says so."""
    name = METHODS[way.method]
    return name if way.method == "none" or way.exact else f"{name}, not exact"


def gearing_text(gears: PlateGears | None) -> str:
    """The change gears from spindle to plate."""
    if gears is None:
        return ""
    pairs = ", ".join(
        f"{driver} drives {driven}"
        for driver, driven in zip(gears.drivers, gears.driven, strict=True)
    )
    between = (
        f", with {' and '.join(map(str, gears.idlers))} between as "
        f"{'idler' if len(gears.idlers) == 1 else 'idlers'}"
        if gears.idlers
        else ""
    )
    way = "with" if gears.with_crank else "against"
    return f"{pairs}{between}: the plate turns {way} the crank"


def shafts_text(found: HeadWays, making: GearMaking) -> str:
    """Whether the lathe's gears go on the head's shafts, where they would divide there."""
    if found.best.method == "plain":
        return ""
    gears = _bored(making.bore, making.keyway)
    shafts = _bored(found.head.bore, found.head.keyway)
    if found.shafts is ShaftFit.NO:
        return f"The lathe's gears do not go on the head's shafts: {gears} here, {shafts} there."
    if found.best.gears is None:
        return ""
    if found.shafts is ShaftFit.YES:
        return f"The lathe's gears go on the head's shafts: {gears}."
    if found.shafts is ShaftFit.BUSHED:
        return (
            f"The lathe's gears need a bush or another key on the head's shafts: {gears} here, "
            f"{shafts} there."
        )
    return (
        f"Whether the lathe's gears ({gears}) go on the head's shafts ({shafts}) is not known: "
        "measure before you rely on it, and put bore and keyway into the lathe file, the head's "
        "under [[dividing]]."
    )


def _bored(bore: float | None, keyway: str) -> str:
    if bore is None:
        return "bore not known"
    return f"bore {bore:g}{NARROW_SPACE}mm, {f'keyway {keyway}' if keyway else 'no keyway'}"


def proof(way: Indexing) -> str:
    """Why the last move closes, as a sum."""
    ratio, teeth = way.head.ratio, way.teeth
    if way.spread:
        circle = way.moves[0].circle
        return (
            f"The holes moved add up to {ratio * circle} = {ratio} × {circle}: "
            f"{ratio} turns of the crank, one of the work. It closes."
        )
    total = teeth * way.crank
    if way.gears:
        plate = way.gears.plate_turns
        sign = "+" if plate > 0 else numbers.MINUS
        return (
            f"{teeth} × {way.crank} = {total} turns of the crank on the plate, "
            f"{sign} {abs(plate)} of the plate itself = {ratio}: "
            "one turn of the work. It closes."
        )
    if way.exact:
        return f"{teeth} × {way.crank} = {total} turns of the crank: it closes."
    off = way.closure * ratio
    side = "past" if off > 0 else "short of"
    return (
        f"{teeth} × {way.crank} = {total}: {side} "
        f"{numbers.plural(ratio, 'turn')} by {abs(off)} of a turn, which the last space "
        "takes up."
    )


def stop_text(way: Indexing, stop: Stop) -> str:
    """The holes the pins stand in, and for varying moves how far they were moved."""
    places = " / ".join(map(str, stop.holes)) or "0"
    if way.spread and stop.tooth:
        turns, holes = divmod(stop.moved, way.moves[0].circle)
        moved = f"{turns}+{holes}" if turns else f"{holes}"
        return f"{moved} → {places}"
    return places


def stops_heading(way: Indexing) -> str:
    """What the table of moves shows."""
    circles = " / ".join(str(move.circle) for move in way.moves)
    if not way.moves:
        return "The pin stays in one hole."
    if way.spread:
        return f"Tooth: turns+holes to move → hole on the {circles} circle, counted from 0"
    if way.method == "compound":
        return f"Tooth: hole of the crank's pin / the back pin, on {circles}, counted from 0"
    also = "; the plate turns as well, so the pin need not end there" if way.gears else ""
    return f"Tooth: hole of the {circles} circle the pin drops into, counted from 0{also}"


def other_circles(head: HeadWays) -> str:
    """Plain indexing: every other circle that serves."""
    if head.best.method != "plain" or len(head.ways) < 2:
        return ""
    return "; ".join(move_text(way) for way in head.ways[1:])


def spacing_lines(way: HeadWays) -> list[Line]:
    """Errors of an inexact division, and whether they matter."""
    spacing = way.spacing
    if way.best.exact:
        return []
    micro = f"{NARROW_SPACE}µm"
    grade = f"ISO 1328 class {spacing.grade}" if spacing.grade else "coarser than ISO 1328 class 12"
    return [
        Line("Tooth to tooth", f"{numbers.significant(spacing.pitch_error * 1000)}{micro}",
             numbers.degrees(way.best.largest_spacing_error * 360, 4)),
        Line("Accumulated", f"{numbers.significant(spacing.accumulated * 1000)}{micro}", grade),
        Line("Does it matter?", spacing.verdict),
    ]  # fmt: skip


def divider_text(way: GearDivider) -> str:
    """Dividing by change gears, in words."""
    step = "every tooth" if way.step == 1 else f"every {way.step} teeth"
    if not way.drivers:
        return f"a {way.index} on the work's own spindle, a detent falling in {step}"
    pairs = ", ".join(f"{a} drives {b}" for a, b in zip(way.drivers, way.driven, strict=True))
    return (
        f"a {way.index} as dividing plate, a detent falling in {step}; from its shaft to the "
        f"work {pairs}"
    )


def wheel_text(sheet: BlankSheet) -> str:
    """Degree wheel: the step, and what reading it costs."""
    wheel = sheet.wheel
    error = float(wheel.largest_error)
    off = error / 360 * math.pi * sheet.blank.pitch_diameter
    return (
        f"{numbers.figure(360 / wheel.teeth, 4)}° a tooth, each angle rounded afresh to "
        f"{float(wheel.reading):g}° so that nothing adds up: at worst {numbers.figure(error, 3)}° "
        f"or {numbers.significant(off * 1000, 2)}{NARROW_SPACE}µm off on the pitch circle"
    )


def wheel_angles(sheet: BlankSheet) -> list[str]:
    """The degree wheel's settings."""
    return [f"{float(angle):g}°" for angle in sheet.wheel.settings]
