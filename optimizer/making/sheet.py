"""Everything one gear's sheet says, worked out for a lathe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.making.blank import Blank, cautions
from gearchest.optimizer.making.cost import PRINTED, Cost, making_costs, owned_cutter
from gearchest.optimizer.making.cutters import Cutting, FormCutter, cutters_for, cutting
from gearchest.optimizer.making.job import NO_WISH, HeadWays, Wish, job_for
from gearchest.optimizer.making.material import Material, StockBar, gear_weight, stock_bar
from gearchest.optimizer.making.measuring import Chordal, Span, chordal, span
from gearchest.optimizer.making.obstacle import obstacle, ways_here
from gearchest.optimizer.making.pins import (
    PREFERRED_PIN,
    OverPins,
    PinRange,
    over_pins,
    pin_range,
    pins_at_hand,
)
from gearchest.optimizer.making.shift import ShiftEffect, shift_effects
from gearchest.optimizer.making.tables import Tables
from gearchest.optimizer.making.tooth_load import (
    LoadShare,
    last_carries_most,
    load_cases,
    load_shares,
)
from gearchest.optimizer.making.without_head import DegreeWheel, GearDivider

PLASTICS = ("acetal", "nylon", *PRINTED)


@dataclass(frozen=True)
class Measures:
    """What to measure; `pin_range` None where no pin measures the gear, `pins` where the
    preferred one does not."""

    span: Span
    pin_range: PinRange | None
    pins: OverPins | None
    at_hand: tuple[OverPins, ...]
    chordal: Chordal
    division: float


@dataclass(frozen=True)
class BlankSheet:
    """One gear, from stock to the finished tooth; `refusal` says why it is not to be made.

    `pair_backlash` mm along the pitch circle. `cutters`: those for the count, from the set
    of eight first; `owned_cutter`: the one in the drawer. `material` None: one without data.
    """

    lathe: Lathe
    blank: Blank
    refusal: str
    cautions: tuple[str, ...]
    pair_backlash: float
    material: Material | None
    bar: StockBar | None
    weight: float | None
    cutters: tuple[FormCutter, ...]
    owned_cutter: FormCutter | None
    cutting: Cutting | None
    measures: Measures | None
    heads: tuple[HeadWays, ...]
    dividers: tuple[GearDivider, ...]
    wheel: DegreeWheel
    shift_effects: tuple[ShiftEffect, ...]
    costs: tuple[Cost, ...]
    load_shares: tuple[LoadShare, ...] = field(default=())
    last_carries_most: bool = False
    standard_module: bool = True


def blank_sheet(
    lathe: Lathe,
    teeth: int,
    tables: Tables,
    wish: Wish = NO_WISH,
    uses: Sequence[tuple[str, Train]] = (),
) -> BlankSheet:
    """The sheet of one ordinary gear of this lathe with `teeth` teeth.

    `uses`: named trains the gear would run in, for its load. Raises ValueError for a keyway
    in the lathe file that cannot be read.
    """
    job = job_for(lathe, teeth, wish)
    blank, owned = job.blank, job.change_gears
    against = obstacle(job, tables)
    material = tables.material(lathe.making.material)
    milled = material is not None and material.surface_speed > 0
    return BlankSheet(
        lathe=lathe,
        blank=blank,
        refusal=against.why if against else "",
        cautions=() if against else cautions(blank),
        pair_backlash=job.backlash,
        material=material,
        bar=stock_bar(blank, material, tables.bar_sizes) if material else None,
        weight=gear_weight(blank, material) if material and not against else None,
        cutters=cutters_for(teeth, tables.cutters),
        owned_cutter=owned_cutter(teeth, tables.cutters, lathe.workshop),
        cutting=cutting(material.surface_speed, blank.module) if material and milled else None,
        measures=None if against else _measures(blank, lathe.workshop.dial_division),
        heads=job.heads,
        dividers=job.dividers,
        wheel=DegreeWheel(teeth, wish.reading),
        shift_effects=shift_effects(blank, _mates(owned)) if blank.sound_shift else (),
        costs=() if against else making_costs(lathe, blank, ways_here(job, tables), tables),
        load_shares=() if against else _loads(lathe, blank, tables, uses),
        last_carries_most=last_carries_most(lathe, [train for _, train in uses]),
        standard_module=tables.standard(lathe.making.module),
    )


def _measures(blank: Blank, division: float) -> Measures:
    usable = pin_range(blank, division)
    preferred = PREFERRED_PIN * blank.module
    return Measures(
        span(blank, division),
        usable,
        over_pins(blank, preferred, division) if usable and usable.holds(preferred) else None,
        pins_at_hand(blank, division, usable),
        chordal(blank, division),
        division,
    )


def _mates(owned: Sequence[int]) -> tuple[int, ...]:
    """Three gears of the chest to show what a shift does: the least, a middling, the largest."""
    kinds = sorted(set(owned)) or [20, 40, 60]
    return tuple(sorted({kinds[0], kinds[len(kinds) // 2], kinds[-1]}))


def _loads(
    lathe: Lathe, blank: Blank, tables: Tables, uses: Sequence[tuple[str, Train]]
) -> tuple[LoadShare, ...]:
    materials = dict.fromkeys((lathe.making.material.strip().lower(), *PLASTICS))
    cases = load_cases(lathe, blank.gear, uses)
    return load_shares(blank, cases, tuple(materials), tables.strength)
