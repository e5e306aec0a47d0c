"""The what-if table as the page carries it: lists that `whatif_table.js` reads.

A way is what cannot be worked out again from the gears: its head - layout, setting of the
levers, whether it is without error - and its gears in mesh order. Errors, loads and where the
studs stand the browser works out, as the plan did. Wants with the same ways share a list.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from fractions import Fraction

from gearchest.optimizer.arm.misfit import shaft_name
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.domain.pitch import relative_error
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.tooth import face_taken
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.plan.whatif import WhatIf
from gearchest.optimizer.strength.lewis import IDLER_SHARE, tooth_limit
from gearchest.optimizer.strength.rim import rim_share
from gearchest.reports.drawing.names import gear_names
from gearchest.reports.drawing.symbols import gear_id
from gearchest.reports.plan.ways_text import DIGITS, FIRST_LETTER, Listed, packed_ways
from gearchest.reports.trains.document import Json
from gearchest.reports.words import numbers, wording


def constants() -> Json:
    """What `whatif_table.js` reads the table with."""
    return {
        "first": FIRST_LETTER,
        "digits": DIGITS,
        "idler": IDLER_SHARE,
        "unchecked": wording.TEETH_UNCHECKED,
        "overloaded": wording.TEETH_OVERLOADED,
        "face": wording.FACE_TAKEN,
        "nuts": {how.value: words for how, words in wording.HALF_NUTS.items()},
        "closed": wording.HALF_NUTS_CLOSED,
    }


def whatif_data(lathe: Lathe, table: WhatIf, idents: Sequence[str], letter: float) -> Json:
    """Everything the browser needs; `idents`: the wants' ids on the page; `letter`: the scale of
    its drawings."""
    kinds = [kind.gear for kind in table.tickable]
    used = {gear for train in table.some_trains for gear in train.gears}
    held = sorted(used - set(kinds), key=lambda gear: gear.order)
    places = {gear: i for i, gear in enumerate([*kinds, *held])}
    there = owned_gears(lathe)
    counts = [(k.owned, k.most) for k in table.tickable] + [(there[g], there[g]) for g in held]
    settings, heads = Listed[Setting](), Listed[tuple[int, int, bool]]()
    lists = Listed[tuple[str, str, float]]()
    turns = [_of_one_turn(lathe, want) for want in table.wants]
    ways_of = [
        lists.place((*packed_ways(ways, places, settings, heads, turn), turn))
        for ways, turn in zip(table.ways, turns, strict=True)
    ]
    return {
        **bench(lathe, letter),
        "kinds": [
            _kind(lathe, gear, own, most, gear in held)
            for gear, (own, most) in zip(places, counts, strict=True)
        ],
        "settings": [_setting(lathe, setting) for setting in settings.things],
        "heads": [list(head) for head in heads.things],
        "wants": [
            {
                "id": ident,
                "name": want.name,
                "pitch": want.pitch.mm,
                "weight": float(want.weight),
                "allowed": float(want.allowance.relative),
                "ways": ways,
                "turn": turn,
                "feed": want.use is Use.FEED,
                "hand": wording.by_hand(lathe, want, _turns(lathe, want)),
            }
            for ident, want, ways, turn in zip(idents, table.wants, ways_of, turns, strict=True)
        ],
        "ways": [letters for letters, *_ in lists.things],
        "ranks": [ranks for _, ranks, _ in lists.things],
        "complete": table.complete,
        "named": [[list(name.counts), name.radius] for name in table.named],
        "kept": _kept(lathe, table),
    }


def bench(lathe: Lathe, letter: float) -> Json:
    """What trains are drawn by: the lathe and the ways of hanging gears."""
    return {
        "lathe": _lathe(lathe) | {"letter": letter},
        "layouts": [_layout(layout, bool(lathe.gearbox)) for layout in LAYOUTS],
    }


def _turns(lathe: Lathe, want: Want) -> Fraction:
    """Leadscrew turns a spindle turn that the want's lead takes."""
    return Fraction(want.pitch.lead.mm / lathe.leadscrew.lead.mm)


def _of_one_turn(lathe: Lathe, want: Want) -> float:
    """What a spindle turn cuts of the want's lead when the leadscrew turns once, less 1 is the
    error: a float, for showing."""
    return float(relative_error(Fraction(1), lathe.leadscrew, want.pitch)) + 1.0


def _lathe(lathe: Lathe) -> Json:
    """What figures and drawing need of the lathe; `arm` is null where it is unmeasured."""
    banjo = lathe.banjo
    return {
        "module": float(lathe.making.module),
        "inch": numbers.inch_first(lathe),
        "lead": lathe.leadscrew.lead.mm,
        "starts": lathe.leadscrew.starts,
        "half_nuts": lathe.half_nuts,
        "dials": [dial.teeth for dial in lathe.thread_dials],
        "travel": lathe.bed.carriage_travel,
        "drive": lathe.policy.drive,
        "crank": float(lathe.policy.hand_crank_above),
        "torques": [lathe.policy.screw_torque, lathe.policy.cutting_torque],
        "bands": [
            [float(band.above), band.words, band.screw] for band in wording.turns_bands(lathe)
        ],
        "arm": banjo
        and {
            "turn": banjo.axis_angle,
            "axis": banjo.axis_distance,
            "slots": [[slot.start, slot.end, slot.angle, slot.offset] for slot in banjo.slots],
            "names": [banjo.slot_name(n) for n in range(len(banjo.slots))],
            "swing": banjo.swing,
            "gap": banjo.gap,
            "hubs": [banjo.driver_hub / 2, banjo.stud_hub / 2, banjo.screw_hub / 2],
            "cover": banjo.largest_tip_diameter and banjo.largest_tip_diameter / 2,
        },
    }


def _layout(layout: Layout, gearbox: bool) -> Json:
    """Gears by their place in mesh order, shafts by number from the first driver's."""
    seats = [seat for stage in layout.seats for seat in stage]
    return {
        "idlers": layout.idlers,
        "names": gear_names(layout, gearbox=gearbox),
        "heads": layout.shaft_names(gearbox=gearbox),
        "shafts": [seat.shaft for seat in seats],
        "called": [shaft_name(layout, shaft) for shaft in range(layout.studs + 2)],
        "tips": [[seats.index(a), seats.index(b)] for a, b in layout.tip_pairs],
        "hubs": [[seats.index(seat), shaft] for seat, shaft in layout.hub_pairs],
    }


def _setting(lathe: Lathe, setting: Setting) -> Json:
    """Ratios as [numerator, denominator], so that the browser can reduce them exactly."""
    return {
        "words": wording.levers(lathe, setting),
        "first": list(setting.first_driver_turns.as_integer_ratio()),
        "box": list(setting.gearbox_ratio.as_integer_ratio()),
    }


def _kind(lathe: Lathe, gear: Gear, own: int, most: int, held: bool) -> Json:
    return {
        "teeth": gear.teeth,
        "symbol": gear_id(gear.teeth, gear.module),
        "module": float(gear.module),
        "radius": gear.tip_radius,
        **_teeth(lathe, gear),
        "own": own,
        "most": most,
        "held": held,
        "special": _special(lathe, gear),
    }


def _teeth(lathe: Lathe, gear: Gear) -> Json:
    """Face in mesh in mm, N that each mm of it bears (null: unknown), whether the face is taken
    for want of a given one."""
    limit = tooth_limit(gear, None, lathe.strength, rim=rim_share(lathe.making, gear)).newtons
    usual = face_taken(None, gear.module)
    return {
        "face": float(face_taken(gear.face_width, gear.module)),
        "bears": None if limit is None else limit / float(usual),
        "taken": gear.face_width is None,
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
