"""Every step on the small benchmark lathe against every set of offers there is, in all four
objectives, free and under a budget with limited copies. Written in plain loops over the
options, apart from the code that plans."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, combinations_with_replacement
from pathlib import Path

import pytest

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.options import WantOptions
from gearchest.optimizer.search.search import find_options

SMALL = Path(__file__).parents[2] / "bench" / "small"
MOST = 3


def priced(offers: tuple[Offer, ...]) -> list[Offer]:
    """Prices and copies that bite: dearer with the teeth, one copy of every third gear."""
    return [
        replace(o, price=Fraction(o.gear.teeth, 4), copies=1 if i % 3 == 0 else None)
        for i, o in enumerate(offers)
    ]


Ways = dict[tuple[int, ...], tuple[int, int]]
"""The least (demerits, error) of the options of a want, by what they lack, ascending."""


def ways_of(options: WantOptions) -> Ways:
    found: Ways = {}
    rows = zip(
        options.missing.tolist(), options.demerits.tolist(), options.error.tolist(), strict=True
    )
    for row, demerits, error in rows:
        lacks = tuple(sorted(c for c in row if c >= 0))
        found[lacks] = min(found.get(lacks, (demerits, error)), (demerits, error))
    return found


def judged(
    ways: list[Ways], wants: tuple[Want, ...], chosen: tuple[int, ...]
) -> tuple[Fraction, Fraction, Fraction]:
    """Weight covered, weight x demerits and weight x |error| of a set of candidate numbers."""
    held = {tuple(sorted(some)) for n in range(len(chosen) + 1) for some in combinations(chosen, n)}
    weight = demerits = error = Fraction(0)
    for want, options in zip(wants, ways, strict=True):
        usable = [options[lacks] for lacks in held if lacks in options]
        if usable:
            best = min(usable)
            weight += want.weight
            demerits += want.weight * best[0]
            error += want.weight * best[1]
    return weight, demerits, error


@pytest.mark.parametrize("limited", [False, True])
def test_every_step_is_the_best_of_all_sets(limited: bool) -> None:
    lathe = load_lathe(SMALL / "lathe.toml")
    read_wants = load_wants(SMALL / "wants.csv", lathe)
    wants = tuple(replace(want, weight=want.weight * Fraction(3, 2)) for want in read_wants)
    read = load_offers(SMALL / "offers.csv", lathe)
    offers = priced(read) if limited else list(read)
    budget = Fraction(40) if limited else None
    table = find_options(lathe, wants, [(o.gear, o.copies) for o in offers], MOST)
    ways = [ways_of(options) for options in table.wants]
    places = {gear: c for c, gear in enumerate(table.candidates)}
    price = {places[o.gear]: o.price for o in offers}
    copies = {places[o.gear]: o.copies for o in offers}
    plan = make_plan(
        [lathe], wants, offers, Question(MOST, Terms(budget)), Watch(), making_tables()
    )
    best: tuple[Fraction, ...] | None = None
    for size, step in enumerate(plan.steps):
        for chosen in combinations_with_replacement(range(len(table.candidates)), size):
            money = sum((price[c] for c in chosen), Fraction(0))
            few = all(copies[c] is None or n <= copies[c] for c, n in Counter(chosen).items())
            if few and (budget is None or money <= budget):
                weight, demerits, error = judged(ways, wants, chosen)
                key = (-weight, demerits, money, error)
                best = key if best is None else min(best, key)
        mine = tuple(places[added.offer.gear] for added in step.gears)
        weight, demerits, error = judged(ways, wants, mine)
        money = sum((price[c] for c in mine), Fraction(0))
        assert step.proven
        assert (step.covered_weight, step.price) == (weight, money)
        assert (-weight, demerits, money, error) == best, f"step {size}"
        if step.next_best is not None:
            less, _, _ = judged(ways, wants, tuple(places[g] for g in step.next_best.gears))
            assert step.next_best.covered_weight == less < weight
            assert step.next_best.loses == weight - less
    assert any(step.next_best for step in plan.steps)
