"""The steps as cards: what each adds, for how much, what it brings, and what else there is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.plan.result import Alternative, Grounds, Plan, Step
from gearchest.optimizer.plan.whatif import MOST_TRIED, WhatIf
from gearchest.reports.plan.advice_words import (
    and_error,
    for_price,
    gear_text,
    gears_text,
    overload_told,
)
from gearchest.reports.plan.why_view import proof
from gearchest.reports.words import numbers

LARGEST_DISC = 40.0
"""Pixels: the diameter in which the largest gear of any step is shown."""


@dataclass(frozen=True)
class Disc:
    """A gear to add: its teeth, and its radius in pixels, one scale for all cards."""

    teeth: str
    radius: float


@dataclass(frozen=True)
class Other:
    """A set to choose instead. `ticks`: its gears by their places among those that can be
    ticked, None where they cannot be."""

    gears: str
    said: str
    ticks: str | None


@dataclass(frozen=True)
class Turn:
    """One gear of a step got by itself: what is covered once it is there, and what that gives
    away to the best set of as many gears ("" for nothing)."""

    gear: str
    weight: str
    spent: str
    loses: str


@dataclass(frozen=True)
class Card:
    """A step. `before` and `gained`: shares of all weight in per cent, for the bar. `keeps`:
    what it has of the step before. `strain`: whose teeth it overloads. `advised`: the one to buy,
    or to stay with."""

    number: int
    heading: str
    discs: tuple[Disc, ...]
    how: str
    price: str
    covered: str
    weight: str
    before: float
    gained: float
    proof: str
    keeps: str
    strain: str
    advised: bool
    others: tuple[Other, ...]
    others_title: str
    turns: tuple[Turn, ...]


def cards(plan: Plan, what_if: WhatIf | None, *, coming: bool = False) -> list[Card]:
    """Every step worth a card: up to the last that covers more, and the advised one; none where
    nothing is needed or nothing was looked for. `coming`: more steps are, so all have one."""
    if coming:
        scale = _scale(plan)
        return [_card(plan, k, scale, what_if) for k in range(len(plan.steps))]
    if len(plan.steps) < 2 or (plan.advice.grounds is Grounds.ALL_WELL and not plan.advice.step):
        return []
    scale = _scale(plan)
    return [_card(plan, k, scale, what_if) for k in range(plan.enough + 1)]


def idle(plan: Plan) -> list[tuple[int, str]]:
    """Steps beyond, which cover nothing more: their numbers, and what they would do."""
    return [
        (
            k,
            f"{gears_text(plan.lathe, _gears(step))}{for_price(plan, step.price)}: "
            f"{numbers.weight(step.demerits)} demerits",
        )
        for k, step in enumerate(plan.steps)
        if k > plan.enough
    ]


def idle_title(plan: Plan) -> str:
    """`3 gears or more cover nothing more`; "" where no step is idle."""
    counts = [len(step.gears) for step in plan.steps[plan.enough + 1 :]]
    if not counts:
        return ""
    if counts == [1]:
        return "1 gear covers nothing more"
    more = numbers.plural(counts[0], "gear")
    if not plan.certain:
        return "No further gears were found that cover more; not all sets were looked at"
    return f"{more}{' or more' if len(counts) > 1 else ''} cover nothing more"


def _scale(plan: Plan) -> float:
    """Pixels for a millimetre."""
    radii = [gear.tip_radius for step in plan.steps for gear in _gears(step)]
    return LARGEST_DISC / 2 / max(radii, default=1.0)


def _gears(step: Step) -> list[Gear]:
    return [added.offer.gear for added in step.gears]


def _card(plan: Plan, k: int, scale: float, what_if: WhatIf | None) -> Card:
    step, first = plan.steps[k], plan.steps[0]
    wanted = float(step.wanted_weight) or 1.0
    others = _others(plan, step, what_if)
    before = 100 * float(first.covered_weight) / wanted
    return Card(
        k,
        numbers.plural(len(step.gears), "gear") if k else "As it is",
        tuple(
            Disc(gear_text(plan.lathe, gear), round(gear.tip_radius * scale, 1))
            for gear in _gears(step)
        ),
        _how(plan, step),
        for_price(plan, step.price).removeprefix(", ") if step.gears else "",
        f"{step.covered} of {step.wanted}",
        f"weight {numbers.weight(step.covered_weight)} of {numbers.weight(step.wanted_weight)}",
        round(before, 1),
        round(100 * float(step.covered_weight) / wanted - before, 1),
        proof(step) if k else "",
        _keeps(plan, k),
        overload_told(plan.overloads(k)),
        k == plan.advice.step,
        others,
        numbers.plural(len(others), "other set"),
        _turns(plan, step),
    )


def _how(plan: Plan, step: Step) -> str:
    """`buy`, `cut`, or which is which: `buy 43, cut 84`; nothing where nobody offers them."""
    if not plan.priced:
        return ""
    ways: dict[str, list[str]] = {}
    for added in step.gears:
        ways.setdefault(added.offer.how, []).append(gear_text(plan.lathe, added.offer.gear))
    if len(ways) < 2:
        return "".join(ways)
    return ", ".join(f"{how} {' and '.join(gears)}" for how, gears in ways.items())


def _keeps(plan: Plan, k: int) -> str:
    """Which gears of the step before this one keeps, where that is not all of them."""
    if k < 2:
        return ""
    last = Counter(_gears(plan.steps[k - 1]))
    kept = Counter(_gears(plan.steps[k])) & last
    if kept == last:
        return f"keeps {gears_text(plan.lathe, _listed(kept))}"
    gone = gears_text(plan.lathe, _listed(last - kept))
    if not kept:
        return f"without {gone}"
    return f"keeps {gears_text(plan.lathe, _listed(kept))}, without {gone}"


def _listed(gears: Counter[Gear]) -> list[Gear]:
    return sorted(gears.elements(), key=lambda gear: gear.order)


def _others(plan: Plan, step: Step, what_if: WhatIf | None) -> tuple[Other, ...]:
    """The sets no other beats; where there is none those that cover as much."""
    if step.others:
        return tuple(_other(plan, one, what_if) for one in step.others[:MOST_TRIED])
    said = f"weight {numbers.weight(step.covered_weight)} as well"
    return tuple(
        Other(gears_text(plan.lathe, gears), said, _ticks(gears, what_if))
        for gears in step.equally_good
    )


def _other(plan: Plan, other: Alternative, what_if: WhatIf | None) -> Other:
    sure = "" if other.proven else ", of the sets looked at"
    return Other(
        gears_text(plan.lathe, other.gears),
        f"weight {numbers.weight(other.covered_weight)}, "
        f"{numbers.weight(other.demerits)} demerits{and_error(other.largest_error)}"
        f"{for_price(plan, other.price)}{sure}",
        _ticks(other.gears, what_if),
    )


def _ticks(gears: Sequence[Gear], what_if: WhatIf | None) -> str | None:
    places = {kind.gear: i for i, kind in enumerate(what_if.tickable)} if what_if else {}
    if not all(gear in places for gear in gears):
        return None
    return " ".join(str(places[gear]) for gear in gears)


def _turns(plan: Plan, step: Step) -> tuple[Turn, ...]:
    """The best order in which to get the gears of a step, where there is more than one."""
    if len(step.order) < 2:
        return ()
    prices: dict[Gear, list[Fraction]] = {}
    for offer in sorted((added.offer for added in step.gears), key=lambda offer: offer.price):
        prices.setdefault(offer.gear, []).append(offer.price)
    turns, spent = [], Fraction(0)
    for count, (gear, weight) in enumerate(step.order, start=1):
        spent += prices[gear].pop(0)
        best = next(one for one in plan.steps if one.most == count)
        lost = best.covered_weight - weight
        turns.append(
            Turn(
                gear_text(plan.lathe, gear),
                numbers.weight(weight),
                for_price(plan, spent),
                f"{numbers.weight(lost)} less than with {gears_text(plan.lathe, _gears(best))}"
                if lost > 0
                else "",
            )
        )
    return tuple(turns)
