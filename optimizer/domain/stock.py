"""The gears a search may use, as arrays: those owned and those that could be added.

A gear is an index into `gears` everywhere inside the search; `Gear` objects come back only
in the trains it returns.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small
from gearchest.optimizer.domain.gear import Gear, Place
from gearchest.optimizer.domain.lathe import Lathe

UNLIMITED = 1 << 14
"""Stands for "any number of copies"; no train needs more."""


@dataclass(frozen=True)
class Stock:
    """Gears by index, ascending in `Gear.order`.

    `owned`, `addable`: how many of each are there and could come. `candidate`: the gear's
    position among the candidates, -1 for one that cannot be added. `mesh_class`: gears of
    one class mesh. `mate`: index of the gear pinned to it, or -1. `allowed[place]`: whether
    a loose gear may sit there. `first`: index of a fixed first driver, or -1.
    """

    gears: tuple[Gear, ...]
    owned: Ints
    addable: Ints
    candidate: Small
    teeth: Ints
    mesh_class: Ints
    half_module: Floats
    tip_radius: Floats
    mate: Ints
    allowed: dict[Place, Bools]
    first: int

    @cached_property
    def uniform(self) -> bool:
        """Whether every gear meshes with every other and may sit anywhere."""
        return not self.mesh_class.any() and all(a.all() for a in self.allowed.values())

    @property
    def candidates(self) -> tuple[Gear, ...]:
        """The gears that could be added, in the order `candidate` counts."""
        return tuple(g for g, c in zip(self.gears, self.candidate, strict=True) if c >= 0)


def take_stock(
    lathe: Lathe,
    candidates: Sequence[tuple[Gear, int | None]] = (),
    added: Sequence[Gear] = (),
    *,
    under_cover: bool = True,
) -> Stock:
    """The lathe's chest with `added` gears in it, and the candidates (gear, copies).

    `under_cover` leaves out gears that overtop the cover: they can run nowhere. A fixed
    first driver listed among the owned gears is that very gear, otherwise it is one more;
    either way nothing else can sit on its shaft.
    """
    owned = owned_gears(lathe)
    owned.update(added)
    copies: dict[Gear, int] = {}
    for gear, count in candidates:
        copies[gear] = copies.get(gear, 0) + (UNLIMITED if count is None else count)
    gears = sorted({*owned, *copies}, key=lambda gear: gear.order)
    if under_cover and lathe.banjo is not None:
        gears = [gear for gear in gears if lathe.banjo.clears_cover(gear.tip_radius)]
    index = {gear: i for i, gear in enumerate(gears)}
    classes = sorted({gear.mesh_class for gear in gears})
    addable = np.array([min(copies.get(g, 0), UNLIMITED) for g in gears], dtype=np.int64)
    first = index.get(lathe.fixed_first_driver, -1) if lathe.fixed_first_driver else -1
    mate = np.full(len(gears), -1, dtype=np.int64)
    for pair in lathe.chest.pinned:
        if pair.one in index and pair.other in index:
            mate[index[pair.one]] = index[pair.other]
            mate[index[pair.other]] = index[pair.one]
    allowed = {
        place: np.array([place in g.places and not g.unit for g in gears], dtype=np.bool_)
        for place in Place
    }
    allowed[Place.STUD] = np.array([Place.STUD in g.places for g in gears], dtype=np.bool_)
    if lathe.fixed_first_driver:
        allowed[Place.DRIVER] = np.arange(len(gears)) == first
    return Stock(
        gears=tuple(gears),
        owned=np.array([owned[g] for g in gears], dtype=np.int64),
        addable=addable,
        candidate=np.where(addable > 0, np.cumsum(addable > 0) - 1, -1).astype(np.int16),
        teeth=np.array([g.teeth for g in gears], dtype=np.int64),
        mesh_class=np.array([classes.index(g.mesh_class) for g in gears], dtype=np.int64),
        half_module=np.array([float(g.module / 2) for g in gears]),
        tip_radius=np.array([g.tip_radius for g in gears]),
        mate=mate,
        allowed=allowed,
        first=first,
    )


def owned_gears(lathe: Lathe) -> Counter[Gear]:
    """How many of each gear the lathe has, pinned ones and a fixed first driver included."""
    owned: Counter[Gear] = Counter(dict(lathe.chest.loose))
    for pair in lathe.chest.pinned:
        owned[pair.one] += pair.count
        owned[pair.other] += pair.count
    if lathe.fixed_first_driver and not owned[lathe.fixed_first_driver]:
        owned[lathe.fixed_first_driver] = 1
    return owned
