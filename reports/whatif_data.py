"""The what-if table as the page carries it: short lists that `static/whatif.js` reads.

A train is [layout, gears in mesh order, tooth load, levers, arm, positions, studs, tightest,
between]: layout, gears, levers and between as places in lists beside; load in N for 1 N m at
the leadscrew; arm in degrees, positions along the slots in mm and stud centres in mm on the
page, where the arm is measured. A way is [place of its train, error]: error a fraction, 0 only
where there is none. Wants of one pitch and allowance share a list of ways.
"""

from __future__ import annotations

import json
from collections.abc import Hashable, Sequence
from fractions import Fraction
from typing import Generic, TypeVar

from gearchest.optimizer.gear import Gear
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.layout import LAYOUTS
from gearchest.optimizer.result import Fit
from gearchest.optimizer.stock import owned_gears
from gearchest.optimizer.train import Train
from gearchest.optimizer.whatif import Way, WhatIf
from gearchest.reports import numbers, wording
from gearchest.reports.drawing import gear_id, to_page
from gearchest.reports.schematic import chain
from gearchest.reports.train_document import Json

T = TypeVar("T", bound=Hashable)


class _Listed(Generic[T]):
    """Things by the order in which they first came."""

    def __init__(self) -> None:
        self.things: dict[T, int] = {}

    def place(self, thing: T) -> int:
        return self.things.setdefault(thing, len(self.things))


def whatif_data(lathe: Lathe, table: WhatIf, idents: Sequence[str]) -> Json:
    """Everything the browser needs; `idents`: the wants' ids on the page."""
    kinds = [kind.gear for kind in table.tickable]
    used = {gear for ways in table.ways for way in ways for gear in way.train.gears}
    held = sorted(used - set(kinds), key=lambda gear: gear.order)
    places = {gear: i for i, gear in enumerate([*kinds, *held])}
    there = owned_gears(lathe)
    counts = [(k.owned, k.most) for k in table.tickable] + [(there[g], there[g]) for g in held]
    levers, between = _Listed[str](), _Listed[str]()
    mounted, lists = _Listed[tuple[Train, Fit]](), _Listed[tuple[tuple[int, float], ...]]()
    ways_of = [
        lists.place(tuple((mounted.place((way.train, way.fit)), _error(way)) for way in ways))
        for ways in table.ways
    ]
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
                "ways": ways,
            }
            for ident, want, ways in zip(idents, table.wants, ways_of, strict=True)
        ],
        "ways": list(lists.things),
        "kept": _kept(lathe, table),
        "trains": [
            _train(lathe, train, fit, places, levers, between) for train, fit in mounted.things
        ],
        "levers": list(levers.things),
        "between": list(between.things),
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


def _kept(lathe: Lathe, table: WhatIf) -> Json:
    """What the lathe file goes on saying whatever is ticked: gears listed as owned, and
    tables of special gears, pinned pairs as two that say so of each other."""
    plain = [(gear, count) for gear, count in table.held if _special(lathe, gear) is None]
    odd = [(gear, count) for gear, count in table.held if _special(lathe, gear) is not None]
    tables = [_table(lathe, gear, count) for gear, count in odd]
    for pair in lathe.chest.pinned:
        for gear, mate in ((pair.one, pair.other), (pair.other, pair.one)):
            tables.append(_table(lathe, gear, pair.count, f"pinned_to = {mate.teeth}"))
    return {"owned": [gear.teeth for gear, count in plain for _ in range(count)], "tables": tables}


def _table(lathe: Lathe, gear: Gear, count: int, last: str = "") -> str:
    lines = [f"teeth = {gear.teeth}", f"count = {count}", _special(lathe, gear) or "", last]
    return "\n".join(["[[gears.special]]", *(line for line in lines if line)])


def _special(lathe: Lathe, gear: Gear) -> str | None:
    """What a lathe file says of a gear that differs from the rest; None for one that does not."""
    own = lathe.making.gear(gear.teeth)
    lines = []
    if gear.module != own.module:
        lines.append(_module(gear.module))
    if gear.pressure_angle != own.pressure_angle:
        lines.append(f"pressure_angle = {float(gear.pressure_angle):g}")
    if gear.face_width is not None and gear.face_width != own.face_width:
        lines.append(f"face_width = {float(gear.face_width):g}")
    if gear.material != own.material:
        lines.append(f"material = {json.dumps(gear.material)}")
    if gear.places != own.places and not gear.unit:
        names = ", ".join(f'"{place.value}"' for place in sorted(gear.places))
        lines.append(f"only_on = [{names}]")
    return "\n".join(lines) or None


def _module(module: Fraction) -> str:
    """Inch gears go by DP: the module of one is 25.4/DP, which need not end."""
    if Fraction(f"{float(module):g}") == module:
        return f"module = {float(module):g}"
    return f"dp = {float(Fraction(254, 10) / module):g}"


def _error(way: Way) -> float:
    """Rounded, but never to 0 where there is an error."""
    error = float(way.error)
    return 0 if way.error == 0 else round(error, 10) or (1e-10 if error > 0 else -1e-10)


def _train(
    lathe: Lathe,
    train: Train,
    fit: Fit,
    places: dict[Gear, int],
    levers: _Listed[str],
    between: _Listed[str],
) -> list[object]:
    placement = fit.placement
    shown: list[object] = [
        LAYOUTS.index(train.layout),
        [places[gear] for gear in train.gears],
        round(float(train.tooth_load), 3),
        levers.place(wording.setting(lathe, train)),
    ]
    if lathe.banjo is None or placement is None:
        return [*shown, None, [], [_rounded(to_page(point, 0.0)) for point in chain(train)]]
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
