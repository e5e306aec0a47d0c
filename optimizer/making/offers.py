"""Gears that could be cut, as offers: each at the price its sheet says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from gearchest.optimizer.gear import Offer
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.making.blank import design_blank, refusal
from gearchest.optimizer.making.cutters import cutters_for
from gearchest.optimizer.making.indexing import divide
from gearchest.optimizer.making.sheet import Tables, heads_of, loose_teeth, making_costs
from gearchest.optimizer.making.spacing import Spacing
from gearchest.optimizer.making.workshop import Way


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
        blank = design_blank(lathe.making, count)
        if refusal(blank):
            continue
        costs = [
            cost
            for cost in making_costs(lathe, blank, tables)
            if cost.way is not Way.MILL or can_be_milled(lathe, count, tables)
        ]
        if not costs:
            continue
        price = given.get(count, costs[0].total)
        offers.append(Offer(blank.gear, price, "cut", None, str(costs[0].way)))
    return tuple(offers)


def can_be_milled(lathe: Lathe, teeth: int, tables: Tables) -> bool:
    """Whether a form cutter is made for the count and a head of this shop divides it."""
    if not cutters_for(teeth, tables.cutters):
        return False
    blank = design_blank(lathe.making, teeth)
    owned = loose_teeth(lathe.chest, lathe.making.module)
    backlash = lathe.workshop.backlash or 0.04 * blank.module
    return any(
        not Spacing(divide(head, teeth, owned)[0], blank, backlash, lathe.leadscrew.mm).binds
        for head in heads_of(lathe)
    )
