"""Gears that could be cut, as offers: each at the price its sheet says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.workshop import Way
from gearchest.optimizer.making.blank import Blank, design_blank, refusal
from gearchest.optimizer.making.cost import Cost
from gearchest.optimizer.making.cutters import cutters_for
from gearchest.optimizer.making.indexing import divide
from gearchest.optimizer.making.sheet import Tables, heads_of, loose_teeth, making_costs
from gearchest.optimizer.making.spacing import Spacing


def cut_offers(
    lathe: Lathe,
    teeth: Sequence[int],
    tables: Tables,
    prices: Mapping[int, Fraction] | None = None,
) -> tuple[Offer, ...]:
    """Offers marked "cut" for those of `teeth` that can be made here, in their order.

    The price is the cheapest way's by the blank sheet, unless `prices` names another. Milled
    gears need a cutter for the count and a head that divides it (exactly, or near enough
    that the gear does not bind); printed ones and ones from plate need neither. Gears whose
    rim would be too thin are left out.
    """
    given = prices or {}
    offers: list[Offer] = []
    for count in teeth:
        costs = open_ways(lathe, count, tables)
        if costs:
            price = given.get(count, costs[0].total)
            gear = lathe.making.gear(count)
            offers.append(Offer(gear, price, "cut", None, str(costs[0].way)))
    return tuple(offers)


def open_ways(lathe: Lathe, teeth: int, tables: Tables) -> list[Cost]:
    """What each way costs in which the gear can be made here, cheapest first."""
    blank = design_blank(lathe.making, teeth)
    if refusal(blank):
        return []
    return [
        cost
        for cost in making_costs(lathe, blank, tables)
        if cost.way is not Way.MILL or not _no_milling(lathe, blank, tables)
    ]


def obstacle(lathe: Lathe, teeth: int, tables: Tables) -> str:
    """Why the gear cannot be made here, in the shop's words; "" where it can."""
    if open_ways(lathe, teeth, tables):
        return ""
    blank = design_blank(lathe.making, teeth)
    return (
        refusal(blank) or _no_milling(lathe, blank, tables) or "No price of its material is known."
    )


def _no_milling(lathe: Lathe, blank: Blank, tables: Tables) -> str:
    """Why no cutter or no head of this shop does it; "" where they do."""
    if not cutters_for(blank.teeth, tables.cutters):
        return "Form cutters begin at 12 teeth."
    owned = loose_teeth(lathe.chest, lathe.making.module)
    backlash = lathe.workshop.backlash or 0.04 * blank.module
    screw = lathe.leadscrew.mm
    for head in heads_of(lathe):
        if not Spacing(divide(head, blank.teeth, owned)[0], blank, backlash, screw).binds:
            return ""
    return f"No head of this shop divides a circle by {blank.teeth} near enough."
