"""What each want comes to with one set of gears added after another.

A plan asks the same of every step's gears, and most steps change little for most wants. So the
combinations of all steps are made at once, and those that a set can hang are told by what they
lack. What a set's answer says of another is not looked for again: of the combinations both can
hang none comes before the train found, and where the other set holds that train as well, only
those it can hang besides are looked at, and only as far as they could come before it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cached_property

import numpy as np

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fit
from gearchest.optimizer.domain.arrays import Bools, Ints, Small
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.stock import Stock, owned_gears, take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.answers import NEAR_MISSES, answer, nearest_to_fitting, widths
from gearchest.optimizer.search.combine import lacking
from gearchest.optimizer.search.costs import CLOSEST, DEMERITS, Costs, to_set_up
from gearchest.optimizer.search.ranking import Pool, Windows
from gearchest.optimizer.search.result import Answer, Verdict, WantStep
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.trains import TrainSearch


class Settler:
    """A lathe with each of some `sets` of gears added, ready to answer for want after want.
    `first`: the costs of a train that count most when one is to be set up."""

    def __init__(
        self,
        lathe: Lathe,
        sets: Sequence[Sequence[Gear]],
        first: tuple[str, ...] = (DEMERITS,),
    ) -> None:
        self.lathe = lathe
        self.order = to_set_up(first)
        every: Counter[Gear] = Counter()
        for added in sets:
            every |= Counter(added)
        self._most = every.total()
        # Gears too big for the cover stay in: their trains compute, and do not fit.
        stock = take_stock(lathe, added=list(every.elements()), under_cover=False)
        self.search = TrainSearch(lathe, stock)
        self.added = [_counted(stock, Counter(added)) for added in sets]
        bare = stock.owned - _counted(stock, every)
        number = np.arange(len(stock.gears), dtype=np.int16)
        self._bare = replace(stock, owned=bare, addable=stock.owned, candidate=number)
        self.chests = [
            TrainSearch(lathe, replace(stock, owned=bare + added)) for added in self.added
        ]
        self._owned = owned_gears(lathe)
        self._fits: dict[Train, Fit] = {}

    def settle(self, want: Want) -> list[WantStep]:
        """By set, the want's verdict and the train to set up (see `WantStep`)."""
        judged = _Judged(self, want)
        return [judged.step(number) for number in range(len(self.chests))]

    def answer(self, want: Want, train: Train) -> Answer:
        """A train judged; where it stands is worked out once."""
        if train not in self._fits:
            self._fits[train] = fit(self.lathe, train)
        return answer(self.lathe, want, train, self._owned, self._fits[train])

    def windows(self, want: Want, allowed: Fraction) -> Windows:
        """The combinations within an allowance, by number of stages."""
        stages = {layout.stages for layout in self.search.layouts(left=want.left)}
        return {n: self.search.window(want.pitch.lead, allowed, n) for n in sorted(stages)}

    def lacks(self, windows: Windows) -> dict[int, Small]:
        """Which gears the lathe lacks of each combination, by their numbers in the stock."""
        return {
            n: lacking(
                self._bare,
                np.concatenate([window.combos.drivers, window.combos.driven], axis=1),
                min(self._most, 2 * n),
            )[0]
            for n, window in windows.items()
        }


def _counted(stock: Stock, gears: Counter[Gear]) -> Ints:
    return np.array([gears[gear] for gear in stock.gears], dtype=np.int64)


class _Judged:
    """One want, set after set."""

    def __init__(self, settler: Settler, want: Want) -> None:
        self._settler, self._want = settler, want
        self._windows = settler.windows(want, want.allowed_on(settler.lathe))
        self._wider: dict[Fraction, _Firsts] = {}
        self._answers: dict[tuple[int, ...], Answer] = {}

    @cached_property
    def _best(self) -> _Firsts:
        return _Firsts(self._settler, self._want, self._windows, self._settler.order)

    @cached_property
    def _exact(self) -> _Firsts:
        exact = {n: w.take(w.error == 0.0) for n, w in self._windows.items()}
        return _Firsts(self._settler, self._want, exact, self._settler.order)

    @cached_property
    def _misses(self) -> _Firsts:
        return _Firsts(
            self._settler, self._want, self._windows, CLOSEST, NEAR_MISSES, fitting=False
        )

    def step(self, number: int) -> WantStep:
        """What one set comes to."""
        for best in self._judged(self._best.of(number)):
            without = [] if best.error == 0 else self._judged(self._exact.of(number))
            return WantStep(best.verdict, best, without_error=next(iter(without), None))
        shown = nearest_to_fitting(self._judged(self._misses.of(number)))
        shown = shown or self._other(number)
        return WantStep(shown.verdict if shown else Verdict.NO_TRAIN, shown)

    def _other(self, number: int) -> Answer | None:
        """The fitting train nearest beyond the allowance."""
        for width in widths(self._want.allowed_on(self._settler.lathe)):
            if width not in self._wider:
                windows = self._settler.windows(self._want, width)
                self._wider[width] = _Firsts(self._settler, self._want, windows, CLOSEST)
            for found in self._judged(self._wider[width].of(number)):
                return found
        return None

    def _judged(self, rows: TrainRows) -> list[Answer]:
        """Trains as answers, each made once."""
        found = []
        for row, seats in enumerate(rows.seats.tolist()):
            key = (int(rows.layout[row]), int(rows.setting[row]), *seats)
            if key not in self._answers:
                self._answers[key] = self._settler.answer(self._want, rows.train(row))
            found.append(self._answers[key])
        return found


class _Firsts:
    """The first trains out of some combinations, set after set."""

    def __init__(
        self,
        settler: Settler,
        want: Want,
        windows: Windows,
        order: tuple[str, ...],
        most: int = 1,
        *,
        fitting: bool = True,
    ) -> None:
        layouts = settler.search.layouts(left=want.left)
        self._settler, self._windows, self._most = settler, windows, most
        self._fitting = fitting
        self._costs = Costs(settler.search, want.allowed_on(settler.lathe), order)
        self._pool = Pool.of(windows, layouts, self._costs) if layouts else None
        self._lacks = settler.lacks(windows)
        self._nth = {n: _nth(lacks) for n, lacks in self._lacks.items()}
        idled = np.array([any(layout.idlers) for layout in LAYOUTS])
        self._idled: Bools = idled[self._pool.layout] if self._pool else np.zeros(0, np.bool_)
        self._known: dict[int, tuple[Bools, TrainRows]] = {}

    def of(self, number: int) -> TrainRows:
        """The first trains that a set can hang."""
        if self._pool is None:
            return TrainRows.none(self._settler.search)
        held = self._held(self._pool, number)
        open_rows, start = held, []
        for other, (had, found) in self._known.items():
            if self._has(number, other, found):
                # an idler may be a gear that the other set had not
                open_rows = open_rows & (~had | self._idled)
                start.append(found)
        first = self._pool.take(open_rows).first(
            self._costs, self._windows, self._most, fitting=self._fitting,
            chest=self._settler.chests[number], start=TrainRows.stack(start) if start else None,
        )  # fmt: skip
        self._known[number] = held, first
        return first

    def _held(self, pool: Pool, number: int) -> Bools:
        """Which combinations a set can hang, idlers apart."""
        added = np.append(self._settler.added[number], np.iinfo(np.int64).max)
        held = np.zeros(len(pool.row), dtype=np.bool_)
        for layout in np.unique(pool.layout).tolist():
            n, of = LAYOUTS[layout].stages, pool.layout == layout
            can: Bools = np.all(self._nth[n] < added[self._lacks[n]], axis=1)
            held[of] = can[pool.row[of]]
        return held

    def _has(self, number: int, other: int, found: TrainRows) -> bool:
        """Whether a set has the gears of all trains found with another one."""
        settler = self._settler
        if (settler.added[other] <= settler.added[number]).all():
            return True
        owned = settler.chests[number].stock.owned
        return all(
            count <= owned[gear]
            for seats in found.seats.tolist()
            for gear, count in Counter(seats).items()
            if gear >= 0
        )


def _nth(lacks: Small) -> Small:
    """Of each gear in ascending rows, how many like it stand before it."""
    nth = np.zeros_like(lacks)
    for k in range(1, lacks.shape[1]):
        nth[:, k] = np.where(lacks[:, k] == lacks[:, k - 1], nth[:, k - 1] + 1, 0)
    return nth
