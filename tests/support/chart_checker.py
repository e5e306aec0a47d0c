"""A second answer to what a chart says: gears counted shaft by shaft, every choice of trains in
every order. Nothing of the chart is used but plain data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise, permutations, product
from math import prod

import oracle

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want

Hung = frozenset[tuple[str, int, Gear]]
"""What hangs: shaft, plane, kind of gear."""

BARE: Hung = frozenset()

MOST_CHOICES = 3000


def hung(train: Train | None) -> Hung:
    """Followed from the first driver's shaft; the last shaft is the screw's."""
    if train is None:
        return BARE
    found, shaft, last = set(), 0, len(train.gears) - len(train.drivers)
    for plane, stage in enumerate(train.stages):
        for gear in stage:
            found.add(("screw" if shaft == last else f"shaft {shaft}", plane, gear))
            shaft += 1
        shaft -= 1
    return frozenset(found)


def put_on(trains: Sequence[Train], usual: Train | None) -> int:
    """Gears put on from the usual train, or from nothing, over all of these, and back."""
    if not trains:
        return 0
    states = [hung(usual), *map(hung, trains), *([hung(usual)] if usual else [])]
    return sum(len(after - before) for before, after in pairwise(states))


def demerits(lathe: Lathe, want: Want, train: Train) -> int:
    """Raises ValueError where the last digit of a float would decide."""
    share = oracle.tooth_share(lathe, train)
    if share is not None and abs(20 * share - round(20 * share)) < 1e-6:
        raise ValueError("a tooth share on a limit")
    error = abs(oracle.error(lathe, train, want.pitch))
    of = error / want.allowance.relative if error else Fraction(0)
    if Fraction(0) < abs(10 * of - round(10 * of)) < Fraction(1, 10**6):
        raise ValueError("an error share on a limit")
    return oracle.demerits(share, of)


def choices(lathe: Lathe, want: Want, most: int = 4) -> dict[Hung, int] | None:
    """What may hang for a thread, and at how many demerits: within `most` of the best, an exact
    train staying exact. None where a numerical search cannot tell whether some train fits."""
    found: list[tuple[int, bool, Hung]] = []
    for train in oracle.trains(lathe, left=want.left):
        error = abs(oracle.error(lathe, train, want.pitch))
        if error > want.allowance.relative:
            continue
        fits = oracle.place(lathe, train).fits
        if fits is None:
            return None
        if fits:
            found.append((demerits(lathe, want, train), error == 0, train))
    if not found:
        return {}
    best = min(found, key=lambda one: oracle.choice(lathe, want, one[2]))
    may: dict[Hung, int] = {}
    for cost, exact, train in found:
        if cost <= best[0] + most and (exact or not best[1]):
            may[hung(train)] = min(cost, may.get(hung(train), cost))
    return may


def fewest(threads: Sequence[dict[Hung, int]], usual: Train | None) -> tuple[int, int]:
    """The fewest gears put on, and of equals the fewest demerits, over every choice for every
    thread in every order."""
    sets: dict[frozenset[Hung], int] = {}
    for choice in product(*threads):
        cost = sum(thread[one] for thread, one in zip(threads, choice, strict=True))
        chosen = frozenset(choice)
        sets[chosen] = min(cost, sets.get(chosen, cost))
    home = hung(usual)
    return min(
        (_shortest(chosen, home, back=usual is not None), cost) for chosen, cost in sets.items()
    )


def _shortest(chosen: Iterable[Hung], home: Hung, *, back: bool) -> int:
    ways = permutations(chosen)
    return min(
        sum(len(after - before) for before, after in pairwise([home, *way, *([home] * back)]))
        for way in ways
    )


def few(threads: Sequence[dict[Hung, int]]) -> bool:
    """Whether all choices can be looked at."""
    return prod(map(len, threads)) <= MOST_CHOICES
