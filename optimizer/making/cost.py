"""What a gear costs to make: material, a cutter if none is owned, and one's own hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.workshop import Way, Workshop
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.cutters import FormCutter, cutters_for
from gearchest.optimizer.making.material import gear_weight, stock_bar
from gearchest.optimizer.making.tables import Tables

PRINTED = ("pla", "petg")
"""What gears are printed of; the first where nothing is said."""

PRINT_HOURS = Fraction(1, 2)
"""Hours of one's own for a printed gear: set-up and clean-up. Common practice, no source."""

PLATE_HOURS = Fraction(3, 4)
"""Hours of one's own for a gear from plate: drawing, bore, keyway. Common practice."""


@dataclass(frozen=True)
class Cost:
    """Money and hours for one gear; `cutter` 0 where one is owned or none is needed."""

    way: Way
    material: Fraction
    cutter: Fraction
    hours: Fraction
    rate: Fraction

    @property
    def labour(self) -> Fraction:
        """Hours at the user's rate."""
        return self.hours * self.rate

    @property
    def total(self) -> Fraction:
        """Everything, to the cent."""
        return round(self.material + self.cutter + self.labour, 2)


def owned_cutter(
    teeth: int, cutters: Sequence[FormCutter], workshop: Workshop
) -> FormCutter | None:
    """The cutter in the drawer that cuts this count; drawers go by the lowest count."""
    fitting = cutters_for(teeth, cutters)
    return next((c for c in fitting if c.teeth_from in workshop.cutters), None)


def making_cost(
    way: Way,
    teeth: int,
    *,
    grams: float,
    price_per_kg: Fraction,
    cutters: Sequence[FormCutter],
    workshop: Workshop,
) -> Cost:
    """The cost of one gear made `way`, of `grams` of stock.

    Prices in the user's money; the workshop's own material price goes before the usual one.
    """
    per_kg = price_per_kg if workshop.material_price is None else workshop.material_price
    material = Fraction(round(grams)) / 1000 * per_kg
    if way is not Way.MILL:
        hours = PRINT_HOURS if way is Way.PRINT else PLATE_HOURS
        return Cost(way, material, Fraction(0), hours, workshop.hourly_rate)
    owned = owned_cutter(teeth, cutters, workshop)
    hours = workshop.setup_hours + teeth * workshop.minutes_per_tooth / 60
    cutter = Fraction(0) if owned else workshop.cutter_price
    return Cost(way, material, cutter, hours, workshop.hourly_rate)


def making_costs(
    lathe: Lathe, blank: Blank, ways: Sequence[Way], tables: Tables
) -> tuple[Cost, ...]:
    """What the gear costs, one entry for each of the ways it can be made, cheapest first; none
    where no price of its material is known."""
    costs: list[Cost] = []
    for way in ways:
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
