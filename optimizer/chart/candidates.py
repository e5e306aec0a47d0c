"""The trains each thread of a chart may take, and the setups they make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from gearchest.optimizer.chart.question import EMPTY, AlikeThreads, ChartQuestion
from gearchest.optimizer.domain.arrays import Ints, Small, distinct, values_in
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS, layouts_over
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.cells import Cells
from gearchest.optimizer.search.costs import Costs, to_set_up
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.search import search_key
from gearchest.optimizer.search.trains import TrainSearch

Key = tuple[Pitch, Fraction, bool]
"""What threads have in common that the same trains cut: see `search_key`."""

SHARING = 4
"""Demerits that a thread may take on so that gears can stay where they are."""


MOST_SERVED = 16_000_000
"""Setups times threads, at most: what each setup is to each thread stands in a table."""

PLENTY = 30_000_000
"""Combinations of all threads, times threads, beyond which not all their trains are made."""

_MOST_TRAINS = 250
"""Trains of a thread that are made then, at most."""


@dataclass(frozen=True)
class Candidates:
    """`question`: what is to be chosen from. `kinds`: by thread of the question the wants it
    stands for; `uncovered`: wants that no train covers; all by their numbers. `trains`: by thread,
    those to be set up first coming first; `row_of`: which of them each of its setups is."""

    question: ChartQuestion
    kinds: tuple[tuple[int, ...], ...]
    uncovered: tuple[int, ...]
    trains: tuple[TrainRows, ...]
    row_of: tuple[Ints, ...]

    def train(self, kind: int, setup: int) -> Train:
        """The train of a setup with the levers as a thread needs them."""
        at = int(np.searchsorted(self.question.threads[kind].setups, setup))
        return self.trains[kind].train(int(self.row_of[kind][at]))

    def best(self, kind: int) -> Train:
        """The train that the thread would be set up with alone."""
        return self.trains[kind].train(0)


def candidates(
    lathe: Lathe, wants: Sequence[Want], added: Sequence[Gear] = (), ask: Ask = go_on
) -> Candidates:
    """All trains within `SHARING` demerits of the best, of every want that can be cut; where the
    best is exact, exact ones. Where there are too many, only the first of each want.
    `ask` is called often and ends the search by raising."""
    search = TrainSearch(lathe, take_stock(lathe, added=added))
    alike: dict[Key, list[int]] = {}
    for number, want in enumerate(wants):
        alike.setdefault(search_key(lathe, want), []).append(number)
    stages = {layout.stages for want in wants for layout in search.layouts(left=want.left)}
    widths = sum((allowed for _, allowed, _ in alike if allowed > 0), Fraction(0))
    room = None
    if sum(search.about(widths, n) for n in stages) * len(alike) > PLENTY:
        room = max(1, min(_MOST_TRAINS, MOST_SERVED // len(alike) ** 2))
    found, uncovered, whole = {}, [], True
    for key, numbers in alike.items():
        ask()
        trains = _trains(search, wants[numbers[0]], key[1], room, ask)
        if room is not None and len(trains) > room:
            trains, whole = trains.take(np.arange(room)), False
        if len(trains):
            found[key] = trains
        else:
            uncovered += numbers
    return _gathered(search, found, alike, uncovered, whole=whole)


def _trains(
    search: TrainSearch, want: Want, allowed: Fraction, room: int | None, ask: Ask
) -> TrainRows:
    """The trains that a thread may take, those first that are to be set up first; one more than
    there is `room` for stands for all that come after it."""
    cells = Cells.of(search, want, allowed, ask)
    costs = Costs(search, allowed, to_set_up())
    best = cells.first(costs)
    if not len(best):
        return best
    if best.error[0] == 0.0:
        cells = cells.exact
    most = int(best.demerits(allowed)[0]) + SHARING
    if room is not None:
        rows = cells.first(costs, room + 1)
        return rows.take(rows.demerits(allowed) <= most)
    rows = cells.within(costs, most)
    return rows.take(np.lexsort(costs.of(rows).T[::-1]))


def _gathered(
    search: TrainSearch,
    found: dict[Key, TrainRows],
    alike: dict[Key, list[int]],
    uncovered: Sequence[int],
    *,
    whole: bool,
) -> Candidates:
    """The setups of all trains, each once: of lever positions with one setup a thread takes the
    one that is to be set up first."""
    lathe, stock = search.lathe, search.stock
    kinds = {gear: number for number, gear in enumerate(stock.gears)}
    if lathe.usual_train:
        for gear in lathe.usual_train.gears:
            kinds.setdefault(gear, len(kinds))
    places = _places(lathe)
    every = [_by_place(rows, places) for rows in found.values()]
    none = np.zeros((0, len(places)), dtype=np.int16)
    hung = np.concatenate([none, *every])
    first, number = distinct(hung)
    ends = np.cumsum([len(rows) for rows in every])
    threads, row_of = [], []
    for key, setups in zip(found, np.split(number, ends[:-1]), strict=bool(found)):
        served, rows = np.unique(setups, return_index=True)
        demerits = found[key].demerits(key[1])[rows]
        threads.append(AlikeThreads(served, demerits, len(alike[key])))
        row_of.append(rows)
    start = np.full(len(places), EMPTY, dtype=np.int16)
    if lathe.usual_train:
        for place, gear in lathe.usual_train.hung.items():
            start[places[place]] = kinds[gear]
    question = ChartQuestion(
        hung[first], start, lathe.usual_train is not None, tuple(threads), whole
    )
    return Candidates(
        question, tuple(tuple(alike[key]) for key in found), tuple(sorted(uncovered)),
        tuple(found.values()), tuple(row_of),
    )  # fmt: skip


def _places(lathe: Lathe) -> dict[tuple[int, int], int]:
    """The places that trains on this lathe can fill, numbered."""
    layouts = [*layouts_over(lathe.studs)]
    if lathe.usual_train:
        layouts.append(lathe.usual_train.layout)
    every = sorted({place for layout in layouts for place in layout.places})
    return {place: number for number, place in enumerate(every)}


def _by_place(rows: TrainRows, places: dict[tuple[int, int], int]) -> Small:
    """(trains, places): kinds of gears."""
    gears = np.full((len(rows), len(places)), EMPTY, dtype=np.int16)
    for number in values_in(rows.layout):
        of = np.flatnonzero(rows.layout == number)
        for column, place in enumerate(LAYOUTS[number].places):
            gears[of, places[place]] = rows.seats[of, column]
    return gears
