"""Ways as letters: what `whatif_table.js` reads three bytes a way of."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Hashable, Sequence
from typing import Generic, TypeVar

import numpy as np

from gearchest.optimizer.domain.arrays import Floats, Ints, distinct
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.plan.ways import Ways

T = TypeVar("T", bound=Hashable)


class Listed(Generic[T]):
    """Things by the order in which they first came."""

    def __init__(self) -> None:
        self.things: dict[T, int] = {}

    def place(self, thing: T) -> int:
        return self.things.setdefault(thing, len(self.things))


FIRST_LETTER = 93
"""Numbers are written as letters from `]` on: past the quotation mark, the backslash and `<`,
which JSON would spell out."""

DIGITS = 64
"""Counts are written in two letters, this many to the first."""


def packed_ways(
    ways: Ways,
    places: dict[Gear, int],
    settings: Listed[Setting],
    heads: Listed[tuple[int, int, bool]],
    turn: float,
) -> tuple[str, str]:
    """Ways in ascending order as text, and which is to be set up before which: for every head its
    number, how many ways there are and their first gears, second gears and so on, which packs
    best."""
    hung = ways.hung
    head = np.zeros(len(ways), dtype=np.int64)
    for rows in _by_first(np.stack([hung.layout, hung.setting, ways.exact], axis=1)):
        layout, setting = int(hung.layout[rows[0]]), hung.settings[hung.setting[rows[0]]]
        head[rows] = heads.place((layout, settings.place(setting), bool(ways.exact[rows[0]])))
    place = np.array([*(places.get(gear, -1) for gear in hung.gears), -1], dtype=np.int64)
    gears = place[hung.seats]
    rank = np.lexsort((*gears.T[::-1], head))  # the last counts most, then the first gear
    found = []
    for number in np.unique(head).tolist():
        rows = rank[head[rank] == number]
        seats = sum(LAYOUTS[hung.layout[rows[0]]].idlers, 2 * LAYOUTS[hung.layout[rows[0]]].stages)
        found += [number, *divmod(len(rows), DIGITS), *gears[rows, :seats].T.ravel().tolist()]
    return _text(found), _ranks(rank, _off(ways, turn)[rank])


def _by_first(rows: Ints) -> list[Ints]:
    """Numbers of rows that are alike, of those first that come first."""
    first, of = distinct(rows)
    return [np.flatnonzero(of == kind) for kind in np.argsort(first).tolist()]


def _off(ways: Ways, turn: float) -> Floats:
    """The sizes of the errors, to the bit what the page makes of them."""
    return np.where(ways.exact, 0.0, np.abs(ways.hung.ratios * turn - 1))


def _ranks(ranks: Ints, off: Floats) -> str:
    """Which way is to be set up before which. The ways of small error mostly come first, so they
    are taken by it, and told is how many of those left each is set up after: the last digits of
    all first, then those before of the ways that can have any."""
    left, after = list(range(len(ranks))), []
    for rank in ranks[np.argsort(off, kind="stable")].tolist():
        after.append(bisect_left(left, rank))
        left.pop(after[-1])
    digits, unit = [], 1
    while unit < len(ranks):
        digits += [number // unit % DIGITS for number in after[: len(ranks) - unit]]
        unit *= DIGITS
    return _text(digits)


def _text(numbers: Sequence[int]) -> str:
    return "".join(chr(FIRST_LETTER + number) for number in numbers)
