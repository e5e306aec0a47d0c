"""What if: every way to reach each want with some of the gears at hand or in view.

The same options the plan chooses from, but over all gears that can be ticked: those owned
count as missing too, so that one of them can be taken away. A browser answers from this
table; `best` is the reference it is held to.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gearchest.optimizer.gear import Chest, Gear
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.options import OptionTable
from gearchest.optimizer.pitch import magnitude, relative_error
from gearchest.optimizer.placement import fit
from gearchest.optimizer.result import Fit, Plan, Verdict
from gearchest.optimizer.search import find_options
from gearchest.optimizer.stock import owned_gears
from gearchest.optimizer.train import Train
from gearchest.optimizer.want import Want

MOST_GEARS = 4
"""Trains of more loose gears are left out: with two studs their number has no bounds."""

MOST_NEW = 2
"""With two studs, trains of more gears that are not owned are left out as well, as the plan
does by default."""


@dataclass(frozen=True)
class Tickable:
    """A kind of gear: how many are owned, and how many can be ticked."""

    gear: Gear
    owned: int
    most: int


@dataclass(frozen=True)
class Way:
    """One undominated way to reach a want. `needs`: loose gears, each as often as needed."""

    train: Train
    fit: Fit
    error: Fraction | float
    needs: tuple[Gear, ...]

    @property
    def order(self) -> tuple[object, ...]:
        """The way to set up comes first: least tooth load, then error, then fewer gears."""
        gears = tuple(gear.order for gear in self.train.gears)
        return self.train.tooth_load, magnitude(self.error), len(gears), gears


@dataclass(frozen=True)
class WhatIf:
    """`ways`: by want, in the order of `Way.order`. `complete` is False where trains of more
    gears exist that were left out: then a want may be reached all the same. `held`: owned
    gears that cannot be unticked, the fixed first driver's kind."""

    tickable: tuple[Tickable, ...]
    wants: tuple[Want, ...]
    ways: tuple[tuple[Way, ...], ...]
    complete: bool
    held: tuple[tuple[Gear, int], ...] = ()

    def best(self, want: int, ticked: Counter[Gear]) -> tuple[Verdict | None, Way | None]:
        """The verdict with these gears and the way to set up; None where not covered."""
        open_ways = [way for way in self.ways[want] if not Counter(way.needs) - ticked]
        if not open_ways:
            return None, None
        exact = any(way.error == 0 for way in open_ways)
        return Verdict.EXACT if exact else Verdict.IN_TOLERANCE, open_ways[0]


def what_if(
    lathe: Lathe,
    wants: Sequence[Want],
    extra: Iterable[Gear],
    known: Sequence[Sequence[Train]] = (),
) -> WhatIf:
    """The table for a lathe, its gears and some more (`extra`, each as often as listed).

    `known`: by want, fitting trains within its allowance that are to be in the table even
    if they are of more gears than are looked for.
    """
    kept = lathe.chest.pinned
    loose = Counter(dict(lathe.chest.loose))
    fixed = lathe.fixed_first_driver
    held = ((fixed, loose.pop(fixed)),) if fixed is not None and fixed in loose else ()
    more = Counter(extra)
    tickable = tuple(
        Tickable(gear, loose[gear], loose[gear] + more[gear])
        for gear in sorted({*loose, *more}, key=lambda gear: gear.order)
    )
    bare = replace(lathe, chest=Chest(held, kept))
    offered = [(kind.gear, kind.most) for kind in tickable]
    table = find_options(bare, wants, offered, MOST_GEARS)
    there = owned_gears(bare)
    complete = lathe.studs < 2
    fits: dict[Train, Fit] = {}  # wants of one pitch share their trains
    ways = []
    for i, (want, options) in enumerate(zip(wants, table.wants, strict=True)):
        trains = dict.fromkeys(
            options.train(k)
            for k, row in enumerate(options.missing)
            if complete or _new(row, table, loose) <= MOST_NEW
        )
        trains |= dict.fromkeys(known[i] if known else ())
        found = [_way(bare, want, train, there, fits) for train in trains]
        ways.append(tuple(sorted(found, key=lambda way: way.order)))
    return WhatIf(tickable, tuple(wants), tuple(ways), complete, held)


def planned_trains(plan: Plan) -> list[list[Train]]:
    """By want the trains with which the plan's steps cover it."""
    return [
        [
            answer.train
            for state in states
            for answer in (state.answer, state.without_error)
            if answer and state.verdict.covered
        ]
        for states in plan.states
    ]


def extra_gears(plan: Plan) -> list[Gear]:
    """The gears of any step or equally good set of a plan, each as often as one set needs."""
    sets = [[added.offer.gear for added in step.gears] for step in plan.steps]
    sets += [list(gears) for step in plan.steps for gears in step.equally_good]
    most: Counter[Gear] = Counter()
    for gears in sets:
        most |= Counter(gears)
    return sorted(most.elements(), key=lambda gear: gear.order)


def _new(row: Iterable[int], table: OptionTable, owned: Counter[Gear]) -> int:
    """How many gears of an option are not owned."""
    needed = Counter(table.candidates[i] for i in row if i >= 0)
    return (needed - owned).total()


def _way(
    lathe: Lathe, want: Want, train: Train, there: Counter[Gear], fits: dict[Train, Fit]
) -> Way:
    error = relative_error(train.ratio, lathe.leadscrew, want.pitch)
    if train not in fits:
        fits[train] = fit(lathe, train)
    return Way(train, fits[train], error, train.missing(there))
