"""Every train a lathe could carry for one pitch, as arrays: combinations, orders, idlers.

Combinations of drivers and driven gears come from the ratio alone; each can be hung in
several orders, and some layouts take idlers as well. Nothing here knows what is wanted of
the trains afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import product
from threading import Lock

import numpy as np

from gearchest.optimizer.arm.fit_table import FitTable
from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small
from gearchest.optimizer.domain.gear import Place
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS, Layout, layouts_over
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.stock import Stock
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.combine import CHUNK, Combos, Halves, halves, join, lacking
from gearchest.optimizer.search.orders import Order, orders
from gearchest.optimizer.search.ratios import SLACK, PitchRatios
from gearchest.optimizer.search.teeth import Teeth


@dataclass(frozen=True)
class PitchWindow:
    """Combinations within a pitch's window: their signed relative error, which setting each
    was found for, and the candidate numbers of the gears it lacks (see `combine.lacking`)."""

    combos: Combos
    error: Floats
    setting: Small
    lacks: Small

    def __len__(self) -> int:
        return len(self.error)

    def take(self, rows: Ints | Bools) -> PitchWindow:
        """Some of the rows."""
        return PitchWindow(
            self.combos.take(rows), self.error[rows], self.setting[rows], self.lacks[rows]
        )

    @staticmethod
    def stack(parts: Sequence[PitchWindow]) -> PitchWindow:
        """All rows of all parts; at least one part."""
        return PitchWindow(
            Combos(
                np.concatenate([part.combos.drivers for part in parts]),
                np.concatenate([part.combos.driven for part in parts]),
            ),
            np.concatenate([part.error for part in parts]),
            np.concatenate([part.setting for part in parts]),
            np.concatenate([part.lacks for part in parts]),
        )


def settings(lathe: Lathe) -> tuple[Setting, ...]:
    """Every position of the lever and the gearbox."""
    boxes: tuple[tuple[str | None, Fraction], ...] = lathe.gearbox or ((None, Fraction(1)),)
    return tuple(
        Setting(turns, name, ratio)
        for turns, (name, ratio) in product(lathe.first_driver_turns, boxes)
    )


class TrainSearch:
    """Trains from one stock on one lathe, lacking at most `most_missing` gears."""

    def __init__(self, lathe: Lathe, stock: Stock, most_missing: int = 0) -> None:
        self.lathe = lathe
        self.stock = stock
        self.most_missing = most_missing
        self.settings = settings(lathe)
        self.fits = FitTable(lathe, stock)
        self.teeth = Teeth(lathe, stock, self.settings)
        self._halves: dict[int, tuple[Halves, Halves]] = {}
        self._making_halves = Lock()

    @cached_property
    def as_usual(self) -> dict[Layout, list[tuple[int, int]]]:
        """By layout, the columns at whose places the usual train hangs a gear of the stock, and
        which; none where the lathe names no usual train."""
        hung = self.lathe.usual_train.hung if self.lathe.usual_train else {}
        index = {gear: number for number, gear in enumerate(self.stock.gears)}
        return {
            layout: [
                (column, index[hung[place]])
                for column, place in enumerate(layout.places)
                if place in hung and hung[place] in index
            ]
            for layout in LAYOUTS
        }

    @cached_property
    def lever_ranks(self) -> Ints:
        """The rank of each setting: slower first driver, then the gearbox's name."""
        settings = self.settings
        by = sorted(range(len(settings)), key=lambda n: (settings[n].first_driver_turns,
                                                         settings[n].gearbox or ""))  # fmt: skip
        rank = np.empty(len(settings), dtype=np.int64)
        rank[by] = np.arange(len(settings))
        return rank

    def layouts(self, *, left: bool) -> tuple[Layout, ...]:
        """The layouts this lathe has studs for and that cut the hand asked for, in the order
        of the table. Without a measured arm idlers are not placed and not counted."""
        return tuple(
            layout
            for layout in layouts_over(self.lathe.studs)
            if self.lathe.meshes_allowed(layout.meshes, left=left)
            and (self.lathe.banjo is not None or not any(layout.idlers))
        )

    def window(
        self,
        pitch: Pitch,
        allowed: Fraction,
        stages: int,
        ask: Ask = go_on,
        beyond: Fraction | None = None,
    ) -> PitchWindow:
        """All combinations of so many stages with |relative error| <= allowed, and > `beyond`
        where that is given, that lack no
        more gears than may be missing, setting by setting; none where less than nothing is
        allowed. `ask` is called between the parts of the work."""
        if allowed < 0:
            return self._nothing(stages)
        parts = [self._nothing(stages)]
        halves = self.halves_of(stages)
        parts += self.parts(pitch, allowed, halves, (0, self.most_missing), ask, beyond)
        every = PitchWindow.stack(parts)
        if len(self.settings) > 1:
            every = every.take(np.argsort(every.setting, kind="stable"))
        return every

    def parts(
        self,
        pitch: Pitch,
        allowed: Fraction,
        halves: tuple[Halves, Halves],
        lacking_of: tuple[int, int],
        ask: Ask,
        beyond: Fraction | None = None,
    ) -> Iterator[PitchWindow]:
        """The same a part at a time, of these driver and driven halves, those that together
        lack from so many to so many gears. What two halves lack apart they may lack more of
        together: one gear twice."""
        drivers, driven = halves
        ratios = PitchRatios(self.lathe.leadscrew, pitch, self.settings)
        for side in (0,) if beyond is None else (-1, 1):
            low, high = ratios.bounds(allowed, beyond, side)
            for combos, setting in join(drivers, driven, low, high, *lacking_of):
                ask()
                error = ratios.errors(self.stock, combos, setting)
                good = ratios.within(self.stock, combos, error, setting, allowed)
                if beyond is not None:
                    good &= (error * side > 0.0) & ~ratios.within(
                        self.stock, combos, error, setting, beyond
                    )
                if not good.all():
                    combos, error, setting = combos.take(good), error[good], setting[good]
                gears = np.concatenate([combos.drivers, combos.driven], axis=1)
                lacks, good = lacking(self.stock, gears, self.most_missing)
                part = PitchWindow(combos, error, setting, lacks)
                yield part if good.all() else part.take(good)

    def about(self, allowed: Fraction, stages: int) -> float:
        """About how many combinations of so many stages a pitch has within an allowance."""
        return self.joined(self.halves_of(stages), 0, self.most_missing) * float(allowed)

    def joined(self, halves: tuple[Halves, Halves], least: int, most: int) -> int:
        """How many combinations there are of halves that together lack from `least` to `most`
        gears, whatever they cut."""
        drivers, driven = halves
        pairs = sum(
            size * sum(driven.sizes[max(0, least - i) : most + 1 - i])
            for i, size in enumerate(drivers.sizes[: most + 1])
        )
        return pairs * len(self.settings)

    def narrowed(self, window: PitchWindow, pitch: Pitch, allowed: Fraction) -> PitchWindow:
        """Those combinations of a pitch's window that are within a smaller allowance."""
        ratios = PitchRatios(self.lathe.leadscrew, pitch, self.settings)
        near = window.take(np.abs(window.error) <= abs(float(allowed)) + SLACK)
        if allowed < 0:
            return near.take(np.zeros(len(near), dtype=np.bool_))
        return near.take(ratios.within(self.stock, near.combos, near.error, near.setting, allowed))

    def _nothing(self, stages: int) -> PitchWindow:
        empty = np.zeros((0, stages), dtype=np.int16)
        lacks = np.zeros((0, self.most_missing), dtype=np.int16)
        return PitchWindow(Combos(empty, empty), np.zeros(0), np.zeros(0, dtype=np.int16), lacks)

    def halves_of(self, stages: int) -> tuple[Halves, Halves]:
        """Driver halves and driven halves, made once; pitches may be searched in threads."""
        with self._making_halves:
            if stages not in self._halves:
                self._halves[stages] = (
                    halves(self.stock, stages, Place.DRIVER, self.most_missing),
                    halves(self.stock, stages, Place.SCREW, self.most_missing),
                )
            return self._halves[stages]

    def orders(self, layout: Layout, window: PitchWindow) -> Iterator[Order]:
        """Each order of hanging the combinations of a window; idlers are not in yet."""
        return orders(self.stock, window.combos, layout.stages)

    def with_idlers(
        self, layout: Layout, seats: Small, missing: int
    ) -> Iterator[tuple[Ints, Small]]:
        """Put idlers that mesh between the gears, in chunks: (row numbers, all seats in mesh
        order) of the trains that lack exactly `missing` gears, idlers counted."""
        step = CHUNK // max(1, len(self.stock.gears))
        for first in range(0, len(seats), step):
            rows = np.arange(first, min(first + step, len(seats)))
            chunk = seats[first : first + step]
            lacks = self._lack_count(chunk)
            column = 1
            for count in layout.idlers:
                for _ in range(count):
                    within, chunk, lacks = self._insert_idler(chunk, column, lacks, missing)
                    rows = rows[within]
                    column += 1
                column += 2
            exact = lacks == missing
            yield rows[exact], chunk[exact]

    def _insert_idler(
        self, seats: Small, column: int, lacks: Ints, most: int
    ) -> tuple[Ints, Small, Ints]:
        """Every row with every idler that may stand at `column` without lacking too much."""
        stock = self.stock
        idlers = np.flatnonzero(stock.allowed[Place.IDLER]).astype(np.int16)
        used = np.zeros((len(seats), len(idlers)), dtype=np.int64)
        for seat in seats.T:
            used += seat[:, None] == idlers
        gone = used >= stock.owned[idlers]
        good = stock.mesh_class[seats[:, column - 1]][:, None] == stock.mesh_class[idlers]
        good &= lacks[:, None] + gone <= most
        good &= ~gone | (used - stock.owned[idlers] < stock.addable[idlers])
        rows, which = np.nonzero(good)
        wider = np.insert(seats[rows], column, idlers[which], axis=1)
        return rows, wider, lacks[rows] + gone[rows, which]

    def _lack_count(self, seats: Small) -> Ints:
        lacks: Ints = (lacking(self.stock, seats, seats.shape[1])[0] >= 0).sum(axis=1)
        return lacks
