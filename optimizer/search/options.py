"""The options that reach each want: what the plan chooses from.

An option is one train that fits within the want's allowance: the gears it lacks and what it
costs, its demerits, tooth load and |error|. Costs are integers, so that every comparison
downstream is exact and the same everywhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from gearchest.optimizer.domain.arrays import Ints, Small
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.hung import HungTrains

LOAD_UNIT = 1e-3
"""N of tooth load (for 1 N m at the leadscrew) in one unit of `WantOptions.load`."""

ERROR_UNIT = 1e-9
"""Relative error in one unit of `WantOptions.error`: parts per billion."""


@dataclass(frozen=True)
class WantOptions:
    """The undominated options of one want.

    An option is beaten by one that lacks a sub-multiset of its gears and costs no more, by the
    costs in the order they were asked for; it stands before those that cost more. `missing` is
    (n, k) of candidate indices, ascending along a row, padded at the end with -1; a gear needed
    twice stands twice. `costs` (n, 3): demerits, load and error, none negative. `train(i)`
    builds option i's train; `hung` are all of them, where they are of one lathe.
    """

    missing: Small
    costs: Ints
    train: Callable[[int], Train]
    hung: HungTrains | None = None

    def __len__(self) -> int:
        return len(self.costs)

    @property
    def demerits(self) -> Ints:
        """Demerits (see `merit`)."""
        return self.costs[:, 0]

    @property
    def load(self) -> Ints:
        """Tooth loads in LOAD_UNIT."""
        return self.costs[:, 1]

    @property
    def error(self) -> Ints:
        """|Relative errors| in ERROR_UNIT."""
        return self.costs[:, 2]


@dataclass(frozen=True)
class OptionTable:
    """Options of all wants over `candidates`, the gears that could be added (each kind
    once); `wants[i]` belongs to the i-th want. `most_missing`: options lacking more gears
    than this were not looked for."""

    candidates: tuple[Gear, ...]
    wants: tuple[WantOptions, ...]
    most_missing: int
