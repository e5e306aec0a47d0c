"""The what-if table as the page carries it: short lists that `static/whatif.js` reads.

A way is [layout, gears in mesh order, tooth load, error, levers, arm, positions, studs, tightest,
between]: layout, gears, levers and between as places in lists beside; load in N for 1 N m at
the leadscrew; error a fraction, 0 only where there is none; arm in degrees, positions along the
slots in mm and stud centres in mm on the page, where the arm is measured.
"""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.gear import Gear
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.layout import LAYOUTS
from gearchest.optimizer.pitch import format_fraction
from gearchest.optimizer.stock import owned_gears
from gearchest.optimizer.whatif import Way, WhatIf
from gearchest.reports import numbers, wording
from gearchest.reports.drawing import gear_id, to_page
from gearchest.reports.schematic import chain
from gearchest.reports.train_document import Json


class _Listed:
    """Texts by the order in which they first came."""

    def __init__(self) -> None:
        self.texts: dict[str, int] = {}

    def place(self, text: str) -> int:
        return self.texts.setdefault(text, len(self.texts))


def whatif_data(lathe: Lathe, table: WhatIf, idents: Sequence[str]) -> Json:
    """Everything the browser needs; `idents`: the wants' ids on the page."""
    kinds = [kind.gear for kind in table.tickable]
    used = {gear for ways in table.ways for way in ways for gear in way.train.gears}
    held = sorted(used - set(kinds), key=lambda gear: gear.order)
    places = {gear: i for i, gear in enumerate([*kinds, *held])}
    there = owned_gears(lathe)
    counts = [(k.owned, k.most) for k in table.tickable] + [(there[g], there[g]) for g in held]
    levers, between = _Listed(), _Listed()
    return {
        "frame": _frame(lathe),
        "kinds": [
            _kind(lathe, gear, own, most, gear in held)
            for gear, (own, most) in zip(places, counts, strict=True)
        ],
        "layouts": [list(layout.idlers) for layout in LAYOUTS],
        "wants": [
            {
                "id": ident,
                "name": want.name,
                "weight": float(want.weight),
                "allowed": float(want.allowance.relative),
            }
            for ident, want in zip(idents, table.wants, strict=True)
        ],
        "ways": [
            [_way(lathe, way, places, levers, between) for way in ways] for ways in table.ways
        ],
        "levers": list(levers.texts),
        "between": list(between.texts),
    }


def _frame(lathe: Lathe) -> Json:
    """What the drawing needs of the lathe: null where the arm is unmeasured."""
    banjo = lathe.banjo
    return {
        "module": float(lathe.making.module),
        "inch": numbers.inch_first(lathe),
        "arm": banjo
        and {
            "turn": banjo.axis_angle,
            "driver": _rounded(to_page((banjo.axis_distance, 0.0), banjo.axis_angle)),
            "ends": [[slot.angle, slot.offset, slot.end] for slot in banjo.slots],
            "cover": banjo.largest_tip_diameter and banjo.largest_tip_diameter / 2,
        },
    }


def _kind(lathe: Lathe, gear: Gear, own: int, most: int, held: bool) -> Json:
    return {
        "teeth": gear.teeth,
        "symbol": gear_id(gear.teeth, gear.module),
        "radius": round(gear.tip_radius, 3),
        "own": own,
        "most": most,
        "held": held,
        "special": _special(lathe, gear),
    }


def _special(lathe: Lathe, gear: Gear) -> str | None:
    """What a lathe file says of a gear that differs from the rest; None for one that does not."""
    own = lathe.making.gear(gear.teeth)
    lines = []
    if gear.module != own.module:
        lines.append(f"module = {format_fraction(gear.module)}")
    if gear.pressure_angle != own.pressure_angle:
        lines.append(f"pressure_angle = {format_fraction(gear.pressure_angle)}")
    if gear.places != own.places:
        names = ", ".join(f'"{place.value}"' for place in sorted(gear.places))
        lines.append(f"only_on = [{names}]")
    return "\n".join(lines) or None


def _way(
    lathe: Lathe, way: Way, places: dict[Gear, int], levers: _Listed, between: _Listed
) -> list[object]:
    placement = way.fit.placement
    error = float(way.error)
    shown: list[object] = [
        LAYOUTS.index(way.train.layout),
        [places[gear] for gear in way.train.gears],
        round(float(way.train.tooth_load), 3),
        0 if way.error == 0 else round(error, 10) or (1e-10 if error > 0 else -1e-10),
        levers.place(wording.setting(lathe, way.train)),
    ]
    if lathe.banjo is None or placement is None:
        return [*shown, None, [], [_rounded(to_page(point, 0.0)) for point in chain(way.train)]]
    tight = placement.tightest
    return [
        *shown,
        None if placement.arm_angle is None else round(placement.arm_angle, 2),
        [round(stud.position, 1) for stud in placement.studs],
        [_rounded(to_page((s.x, s.y), lathe.banjo.axis_angle)) for s in placement.studs],
        round(tight.mm, 1) if tight else None,
        between.place(tight.between) if tight else None,
    ]


def _rounded(point: tuple[float, float]) -> list[float]:
    return [round(point[0], 1), round(point[1], 1)]
