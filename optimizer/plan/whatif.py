"""What if: every way to reach each want with some of the gears at hand or in view.

The same options the plan chooses from, but over all gears that can be ticked: those owned
count as missing too, so that one of them can be taken away. A browser answers from this
table; `best` is the reference it is held to.

Where that makes a table too long for a page, it keeps the ways that some set would choose that is
near a set the plan names, and the first of each want as far as there is room (`near_ways`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from gearchest.optimizer.domain.arrays import Bools
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import most_gears
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.near_ways import NearWays
from gearchest.optimizer.plan.nearby import NamedSet
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.ways import TrainWay, Ways, are_exact
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.costs import DEMERITS, to_set_up
from gearchest.optimizer.search.finder import AFRESH, Finder
from gearchest.optimizer.search.in_view import without_error
from gearchest.optimizer.search.options import WantOptions
from gearchest.optimizer.search.result import Verdict
from gearchest.optimizer.search.search import WORKERS

MOST_WAYS = 50_000
"""More than this makes the page too heavy for a phone."""

HOPELESS = 20
"""So many combinations for each way that a page can carry, and not all are looked for."""

AT_ONCE = 64
"""Wants looked for in one go, before it is asked whether there are too many ways."""

AROUND_A_STEP, AROUND_A_SET = 2, 1
"""How many gears more or less than in a step, or in another set the plan calls equally good,
a shortened table answers for as well as a complete one."""


MOST_TRIED = 6
"""Alternatives to a step whose gears can be ticked: each widens the table."""


@dataclass(frozen=True)
class Tickable:
    """A kind of gear: how many are owned, and how many can be ticked."""

    gear: Gear
    owned: int
    most: int


@dataclass(frozen=True)
class WhatIf:
    """`ways`: by want, the one to set up first, those told only for having no error last.
    `complete` is False where ways were left out: then a set of gears that is not near one of
    `named` may do better than the table says. `held`: owned gears that cannot be unticked, the
    fixed first driver's kind."""

    tickable: tuple[Tickable, ...]
    wants: tuple[Want, ...]
    ways: tuple[Ways, ...]
    complete: bool
    held: tuple[tuple[Gear, int], ...] = ()
    named: tuple[NamedSet, ...] = ()

    @cached_property
    def some_trains(self) -> tuple[Train, ...]:
        """As few trains as hold every gear that some way takes, or not many more."""
        seen: set[Gear] = set()
        return tuple(ways.hung.train(row) for ways in self.ways for row in ways.hung.bringing(seen))

    def best(self, want: int, ticked: Counter[Gear]) -> tuple[Verdict | None, TrainWay | None]:
        """The verdict with these gears and the way to set up; None where not covered."""
        open_ways = [way for way in self.ways[want] if not Counter(way.needs) - ticked]
        if not open_ways:
            return None, None
        return Verdict.EXACT if open_ways[0].exact else Verdict.IN_TOLERANCE, open_ways[0]

    def certain(self, ticked: Counter[Gear]) -> bool:
        """Whether nothing that was left out could better what `best` says."""
        counts = [ticked[kind.gear] for kind in self.tickable]
        return self.complete or any(name.near(counts) for name in self.named)


def what_if(
    lathe: Lathe,
    wants: Sequence[Want],
    extra: Iterable[Gear],
    named: Sequence[tuple[Counter[Gear], int]] = (),
    most_ways: int = MOST_WAYS,
    *,
    first: tuple[str, ...] = (DEMERITS,),
    workers: int = WORKERS,
    progress: Callable[[int, int], None] | None = None,
    ask: Ask = go_on,
    finder: Finder = AFRESH,
) -> WhatIf:
    """The table for a lathe, its gears and some more (`extra`, each as often as listed).

    `named`: sets of added gears around which the answers are right even where the table has
    to be cut down to `most_ways`, each with how far around. `first`: the costs of a train that
    count most. `workers`: threads, >= 1.
    `progress` is told (pitches done, pitches in all); `ask`
    ends the search by what it raises. `finder` may know some options already.
    """
    loose = Counter(dict(lathe.chest.loose))
    fixed = lathe.fixed_first_driver
    held = ((fixed, loose.pop(fixed)),) if fixed is not None and fixed in loose else ()
    more = Counter(extra)
    tickable = tuple(
        Tickable(gear, loose[gear], loose[gear] + more[gear])
        for gear in sorted({*loose, *more}, key=lambda gear: gear.order)
    )
    bare = replace(lathe, chest=Chest(held, lathe.chest.pinned))
    offered = [(kind.gear, kind.most) for kind in tickable]
    order = to_set_up(first)
    sets = tuple(
        NamedSet(tuple(kind.owned + added[kind.gear] for kind in tickable), radius)
        for added, radius in named
    )
    near = NearWays(bare, offered, sets, order, most_ways // max(1, len(wants)))
    found = None
    if near.about(wants) <= HOPELESS * most_ways:
        found = _every_option(
            bare, wants, offered, most_ways,
            finder, order=order, workers=workers, ask=ask, progress=progress,
        )  # fmt: skip
    if found is None:
        ways = near.find(wants, workers, ask, finder.share, progress)
        return WhatIf(tickable, tuple(wants), tuple(ways), False, held, sets)
    ways = []
    for want, *both in zip(wants, *found, strict=True):
        ask()
        # Those without error that cost more demerits than another would not be set up; they
        # stand last, to be told beside it.
        some, others = (_ways(bare, want, *one) for one in both)
        ways.append(some.with_exact(others))
    return WhatIf(tickable, tuple(wants), tuple(ways), True, held, sets)


Options = list[tuple[WantOptions, tuple[Gear, ...]]]
"""Each with the candidates it counts."""


def _every_option(
    bare: Lathe,
    wants: Sequence[Want],
    offered: Sequence[tuple[Gear, int | None]],
    most: int,
    finder: Finder,
    *,
    progress: Callable[[int, int], None] | None,
    **how: Any,
) -> tuple[Options, Options] | None:
    """By want, the options and those without error; None once there are too many."""
    every: Options = []
    exact: Options = []
    pitches = len({(want.pitch.lead, want.left) for want in wants})
    before = 0

    def told(done: int, of: int) -> None:
        if progress:
            progress(min(before + done, pitches), pitches)

    for start in range(0, len(wants), AT_ONCE):
        some = wants[start : start + AT_ONCE]
        alike = [without_error(bare, want) for want in some]
        found = finder.find(
            bare, [*some, *alike], offered, most_gears(bare.studs), progress=told, **how
        )
        every += [(one, found.candidates) for one in found.wants[: len(some)]]
        exact += [(one, found.candidates) for one in found.wants[len(some) :]]
        if sum(len(one) for one, _ in every) > most:
            return None
        before += len({(want.pitch.lead, want.left) for want in some})
    return every, exact


def extra_gears(plan: Plan) -> list[Gear]:
    """The gears of any set `named_sets` tells of, each as often as one set needs."""
    most: Counter[Gear] = Counter()
    for added, _ in named_sets(plan):
        most |= added
    return sorted(most.elements(), key=lambda gear: gear.order)


def named_sets(plan: Plan) -> list[tuple[Counter[Gear], int]]:
    """The gears each step adds, those of each equally good set, and those of the first
    alternatives to steps that cover more than the one before, and those that would spare teeth,
    with how far around each the answers are to be right."""
    sets = [(Counter(a.offer.gear for a in step.gears), AROUND_A_STEP) for step in plan.steps]
    for step in plan.steps:
        sets += [(Counter(gears), AROUND_A_SET) for gears in step.equally_good]
    for step in plan.steps[: plan.enough + 1]:
        sets += [(Counter(other.gears), 0) for other in step.others[:MOST_TRIED]]
    if plan.sparing:
        sets.append((Counter(plan.sparing.gears), AROUND_A_SET))
    return sets


def _ways(lathe: Lathe, want: Want, options: WantOptions, candidates: tuple[Gear, ...]) -> Ways:
    """Options as ways: an error rounded to 0 is looked at by fractions."""
    assert options.hung is not None
    exact: Bools = options.error == 0
    rounded = np.flatnonzero(exact)
    exact[rounded] = are_exact(lathe, want, options.hung.take(rounded))
    return Ways(options.hung, exact, options.missing, candidates)
