"""Everything one gear's sheet says, worked out for a lathe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import COMMON_HEAD, DividingHead, Lathe
from gearchest.optimizer.domain.material import NOTHING_KNOWN, ToothStrength
from gearchest.optimizer.domain.tooth import diametral_pitch
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.workshop import Way
from gearchest.optimizer.making.blank import Blank, cautions, design_blank, refusal
from gearchest.optimizer.making.cost import Cost, making_cost, owned_cutter
from gearchest.optimizer.making.cutters import Cutting, FormCutter, cutters_for, cutting
from gearchest.optimizer.making.indexing import Indexing, divide
from gearchest.optimizer.making.material import Material, StockBar, gear_weight, stock_bar
from gearchest.optimizer.making.measuring import Chordal, Span, chordal, span
from gearchest.optimizer.making.pins import (
    PREFERRED_PIN,
    OverPins,
    PinRange,
    over_pins,
    pin_range,
    pins_at_hand,
)
from gearchest.optimizer.making.shift import ShiftEffect, shift_effects
from gearchest.optimizer.making.spacing import Spacing
from gearchest.optimizer.making.tooth_load import LoadShare, load_cases, load_shares
from gearchest.optimizer.making.without_head import DegreeWheel, GearDivider, gear_dividers

PRINTED = ("pla", "petg")
PLASTICS = ("acetal", "nylon", *PRINTED)


@dataclass(frozen=True)
class Tables:
    """The tables a sheet is made with; lengths mm."""

    cutters: tuple[FormCutter, ...]
    materials: tuple[Material, ...]
    bar_sizes: tuple[float, ...]
    modules: tuple[Fraction, ...] = ()
    strength: ToothStrength = NOTHING_KNOWN

    def material(self, name: str) -> Material | None:
        """The material of that name, in any case of letters."""
        wanted = name.strip().lower()
        return next((m for m in self.materials if m.name == wanted), None)


@dataclass(frozen=True)
class Wish:
    """What the user chose for this gear beyond the lathe file.

    `shift` in modules; `cure`: shift by what cures the undercut; `backlash` mm of the pair
    along the pitch circle (None: the workshop's, else 0.04 m); `reading` of a degree wheel.
    """

    shift: float = 0.0
    cure: bool = False
    backlash: float | None = None
    reading: Fraction = Fraction(1, 10)


NO_WISH = Wish()


@dataclass(frozen=True)
class HeadWays:
    """How one head divides the gear: the ways, best first, and what their spacing does."""

    head: DividingHead
    ways: tuple[Indexing, ...]
    spacing: Spacing

    @property
    def best(self) -> Indexing:
        """The way to take."""
        return self.ways[0]


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
    standard_module: bool = True


def loose_teeth(chest: Chest, module: Fraction | None = None) -> tuple[int, ...]:
    """Tooth counts in the chest, each as often as owned; of one module where given."""
    return tuple(
        gear.teeth
        for gear, count in chest.loose
        for _ in range(count)
        if module is None or gear.module == module
    )


def designed(lathe: Lathe, teeth: int, wish: Wish = NO_WISH) -> Blank:
    """The blank of an ordinary gear of this lathe, shifted and thinned as wished.

    Raises ValueError for a keyway in the lathe file that cannot be read.
    """
    backlash = _backlash(lathe, wish)
    blank = design_blank(lathe.making, teeth, shift=wish.shift, thinning=backlash / 2)
    return replace(blank, shift=blank.sound_shift) if wish.cure else blank


def _backlash(lathe: Lathe, wish: Wish) -> float:
    """mm along the pitch circle of the pair."""
    chosen = (wish.backlash, lathe.workshop.backlash)
    return next((b for b in chosen if b is not None), 0.04 * float(lathe.making.module))


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
    module = float(lathe.making.module)
    backlash = _backlash(lathe, wish)
    blank = designed(lathe, teeth, wish)
    refused = refusal(blank)
    material = tables.material(lathe.making.material)
    bar = stock_bar(blank, material, tables.bar_sizes) if material else None
    milled = material is not None and material.surface_speed > 0
    cutters = cutters_for(teeth, tables.cutters)
    owned = loose_teeth(lathe.chest, lathe.making.module)
    return BlankSheet(
        lathe=lathe,
        blank=blank,
        refusal=refused,
        cautions=() if refused else cautions(blank),
        pair_backlash=backlash,
        material=material,
        bar=bar,
        weight=gear_weight(blank, material) if material and not refused else None,
        cutters=cutters,
        owned_cutter=owned_cutter(teeth, tables.cutters, lathe.workshop),
        cutting=cutting(material.surface_speed, module) if material and milled else None,
        measures=None if refused else _measures(blank, lathe.workshop.dial_division),
        heads=_heads(lathe, blank, backlash, owned),
        dividers=gear_dividers(teeth, owned),
        wheel=DegreeWheel(teeth, wish.reading),
        shift_effects=shift_effects(blank, _mates(owned)) if blank.sound_shift else (),
        costs=() if refused else making_costs(lathe, blank, tables),
        load_shares=() if refused else _loads(lathe, blank, tables, uses),
        standard_module=_is_standard(lathe.making.module, tables),
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


def heads_of(lathe: Lathe) -> tuple[DividingHead, ...]:
    """The lathe file's heads, or the common one where it lists none."""
    return lathe.dividing or (COMMON_HEAD,)


def _heads(
    lathe: Lathe, blank: Blank, backlash: float, owned: Sequence[int]
) -> tuple[HeadWays, ...]:
    found: list[HeadWays] = []
    for head in heads_of(lathe):
        ways = divide(head, blank.teeth, owned)
        spacing = Spacing(ways[0], blank, backlash, lathe.leadscrew.mm)
        found.append(HeadWays(head, ways, spacing))
    return tuple(found)


def making_costs(lathe: Lathe, blank: Blank, tables: Tables) -> tuple[Cost, ...]:
    """What the gear costs, one entry for each way it can be made here, cheapest first."""
    costs: list[Cost] = []
    for way in lathe.workshop.ways:
        name = PRINTED[0] if way is Way.PRINT else lathe.making.material
        material = tables.material(name)
        if material is None:
            continue
        if way is Way.PRINT:
            grams = gear_weight(blank, material)
        else:
            grams = stock_bar(blank, material, tables.bar_sizes).weight
        costs.append(
            making_cost(
                way,
                blank.teeth,
                grams=grams,
                price_per_kg=material.price,
                cutters=tables.cutters,
                workshop=lathe.workshop,
            )
        )
    return tuple(sorted(costs, key=lambda cost: cost.total))


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


def _is_standard(module: Fraction, tables: Tables) -> bool:
    """Whether cutters are made for this size: a standard module, or a whole or half DP."""
    return module in tables.modules or diametral_pitch(module) is not None
