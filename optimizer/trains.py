"""Every train a lathe could carry for one pitch, as arrays: combinations, orders, idlers.

Combinations of drivers and driven gears come from the ratio alone; each can be hung in
several orders, and some layouts take idlers as well. Nothing here knows what is wanted of
the trains afterwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import permutations, product

import numpy as np
import numpy.typing as npt

from gearchest.optimizer.combine import Combos, Hands, hands, join, lacking
from gearchest.optimizer.fit_table import FitTable
from gearchest.optimizer.gear import Place
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.layout import LAYOUTS, Layout
from gearchest.optimizer.options import LOAD_UNIT
from gearchest.optimizer.pitch import Pitch
from gearchest.optimizer.stock import Bools, Ints, Small, Stock
from gearchest.optimizer.train import Setting, Train

SLACK = 1e-12
"""Relative widening of float windows; what falls into it is compared exactly."""

MOST_SEATS = max(sum(len(stage) for stage in layout.seats) for layout in LAYOUTS)


@dataclass(frozen=True)
class Window:
    """Combinations within a pitch's window: their signed relative error, and which setting
    each was found for."""

    combos: Combos
    error: npt.NDArray[np.float64]
    setting: Small

    def __len__(self) -> int:
        return len(self.error)

    def take(self, rows: Ints | Bools) -> Window:
        """Some of the rows."""
        return Window(self.combos.take(rows), self.error[rows], self.setting[rows])


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
        self._hands: dict[int, tuple[Hands, Hands]] = {}

    def layouts(self, *, left: bool) -> tuple[Layout, ...]:
        """The layouts this lathe has studs for and that cut the hand asked for, in the order
        of the table. Without a measured arm idlers are not placed and not counted."""
        return tuple(
            layout
            for layout in LAYOUTS
            if layout.studs <= self.lathe.studs
            and self.lathe.meshes_allowed(layout.meshes, left=left)
            and (self.lathe.banjo is not None or not any(layout.idlers))
        )

    def window(self, pitch: Pitch, allowed: Fraction, stages: int) -> Window:
        """All combinations of so many stages with |relative error| <= allowed."""
        if stages not in self._hands:
            self._hands[stages] = (
                hands(self.stock, stages, Place.DRIVER, self.most_missing),
                hands(self.stock, stages, Place.SCREW, self.most_missing),
            )
        drivers, driven = self._hands[stages]
        found = []
        for number, setting in enumerate(self.settings):
            scale = _Scale(self.lathe.leadscrew, pitch, setting)
            low, high = scale.bounds(allowed)
            for combos in join(drivers, driven, low, high, self.most_missing):
                error = scale.errors(self.stock, combos)
                rows = scale.within(self.stock, combos, error, allowed)
                kept = combos.take(rows)
                found.append(Window(kept, error[rows], np.full(len(kept), number, dtype=np.int16)))
        return _stack(found, stages)

    def orders(self, layout: Layout, window: Window) -> Iterator[tuple[Ints, Small]]:
        """Each order of hanging the combinations: (row numbers, (n, 2 x stages) gears as
        driver, driven, driver, driven, ...). Only rows whose meshing gears are of one class
        and sit where they may; idlers are not in yet."""
        for rows, drivers, driven in _permuted(window.combos, layout.stages):
            seats = np.stack([drivers, driven], axis=2).reshape(len(drivers), 2 * layout.stages)
            good = self._seats_allowed(seats)
            yield rows[good], seats[good]

    def _seats_allowed(self, seats: Small) -> Bools:
        stock, last = self.stock, seats.shape[1] - 1
        good = stock.allowed[Place.DRIVER][seats[:, 0]] & stock.allowed[Place.SCREW][seats[:, last]]
        for k in range(0, last, 2):
            good &= stock.mesh_class[seats[:, k]] == stock.mesh_class[seats[:, k + 1]]
        for k in range(1, last, 2):
            one, other = seats[:, k], seats[:, k + 1]
            good &= stock.allowed[Place.STUD][one] & stock.allowed[Place.STUD][other]
            # Members of a pinned pair share a stud with each other and with nothing else.
            loose = (stock.mate[one] < 0) & (stock.mate[other] < 0)
            good &= loose | (stock.mate[one] == other)
        return good

    def with_idlers(self, layout: Layout, seats: Small) -> Iterator[tuple[Ints, Small]]:
        """Put idlers between the gears: (row numbers, all seats in mesh order) for each choice
        of idlers that mesh."""
        usable = np.flatnonzero(self.stock.allowed[Place.IDLER])
        for chosen in product(usable.tolist(), repeat=sum(layout.idlers)):
            left = list(chosen)
            columns, good = [], np.ones(len(seats), dtype=np.bool_)
            for stage, count in enumerate(layout.idlers):
                columns.append(seats[:, 2 * stage])
                for _ in range(count):
                    idler = left.pop(0)
                    good &= (
                        self.stock.mesh_class[seats[:, 2 * stage]] == self.stock.mesh_class[idler]
                    )
                    columns.append(np.full(len(seats), idler, dtype=np.int16))
                columns.append(seats[:, 2 * stage + 1])
            rows = np.flatnonzero(good)
            if len(rows):
                yield rows, np.stack(columns, axis=1)[rows]

    def enough(self, seats: Small) -> Bools:
        """Rows that lack no more than may be missing, idlers counted."""
        return lacking(self.stock, seats, self.most_missing)[1]

    def loads(self, seats: Small, setting: Small) -> Ints:
        """Tooth load in LOAD_UNIT of (n, 2 x stages) gears, see `Train.stage_loads`."""
        stock = self.stock
        box = np.array([float(s.gearbox_ratio) for s in self.settings])
        torque = 2000.0 * box[setting]
        load = np.zeros(len(seats))
        for k in range(seats.shape[1] - 2, -1, -2):
            driver, driven = stock.teeth[seats[:, k]], stock.teeth[seats[:, k + 1]]
            load = np.maximum(load, torque / (2 * stock.half_module[seats[:, k + 1]] * driven))
            torque = torque * driver / driven
        return np.rint(load / LOAD_UNIT).astype(np.int64)

    def train(self, layout: Layout, setting: int, seats: npt.NDArray[np.integer]) -> Train:
        """The train in one row of seats (mesh order, idlers included)."""
        gears = [self.stock.gears[i] for i in seats if i >= 0]
        drivers, driven, idlers = [], [], []
        for count in layout.idlers:
            drivers.append(gears[0])
            idlers.append(tuple(gears[1 : count + 1]))
            driven.append(gears[count + 1])
            gears = gears[count + 2 :]
        return Train(layout, tuple(drivers), tuple(driven), tuple(idlers), self.settings[setting])


class _Scale:
    """From drivers/driven to actual/wanted pitch for one setting: a factor n/d, times pi or
    1/pi where just one of the two pitches carries pi."""

    def __init__(self, leadscrew: Pitch, wanted: Pitch, setting: Setting) -> None:
        levers = setting.first_driver_turns * setting.gearbox_ratio
        self.exact = levers * leadscrew.lead.rational / wanted.lead.rational
        self.irrational = math.pi ** (int(leadscrew.pi) - int(wanted.pi))

    def bounds(self, allowed: Fraction) -> tuple[float, float]:
        """Lowest and highest drivers/driven, a trifle too wide."""
        factor = float(self.exact) * self.irrational
        low = max(float(1 - allowed), 1e-9)
        return low / factor * (1 - SLACK), float(1 + allowed) / factor * (1 + SLACK)

    def errors(self, stock: Stock, combos: Combos) -> npt.NDArray[np.float64]:
        """Signed relative errors; exactly 0.0 where the error is zero."""
        top, bottom = (stock.teeth[g].prod(axis=1) for g in (combos.drivers, combos.driven))
        n, d = self.exact.numerator, self.exact.denominator
        fits = max(int(top.max(initial=1)) * n, int(bottom.max(initial=1)) * d) < 1 << 62
        if self.irrational == 1.0 and fits:
            error: npt.NDArray[np.float64] = (top * n - bottom * d) / (bottom * d)
            return error
        error = top / bottom * (float(self.exact) * self.irrational) - 1.0
        if self.irrational == 1.0:
            error[np.abs(error) < SLACK] = 0.0
        return error

    def within(
        self,
        stock: Stock,
        combos: Combos,
        error: npt.NDArray[np.float64],
        allowed: Fraction,
    ) -> Bools:
        """|error| <= allowed, exactly where the error is rational."""
        excess = np.abs(error) - float(allowed)
        good: Bools = excess <= 0.0
        if self.irrational == 1.0:
            for row in np.flatnonzero(np.abs(excess) <= SLACK):
                top = math.prod(stock.teeth[combos.drivers[row]].tolist())
                bottom = math.prod(stock.teeth[combos.driven[row]].tolist())
                good[row] = abs(self.exact * top / bottom - 1) <= allowed
        return good


def _stack(parts: list[Window], stages: int) -> Window:
    empty = np.zeros((0, stages), dtype=np.int16)
    parts = [*parts, Window(Combos(empty, empty), np.zeros(0), np.zeros(0, dtype=np.int16))]
    return Window(
        Combos(
            np.concatenate([part.combos.drivers for part in parts]),
            np.concatenate([part.combos.driven for part in parts]),
        ),
        np.concatenate([part.error for part in parts]),
        np.concatenate([part.setting for part in parts]),
    )


def _permuted(combos: Combos, stages: int) -> Iterator[tuple[Ints, Small, Small]]:
    """Every order of drivers and of driven gears; an order that only swaps equal gears is
    not given again for those rows."""
    for tops in permutations(range(stages)):
        for bottoms in permutations(range(stages)):
            again = _swaps_equals(combos.drivers, tops) | _swaps_equals(combos.driven, bottoms)
            rows = np.flatnonzero(~again)
            yield rows, combos.drivers[rows][:, list(tops)], combos.driven[rows][:, list(bottoms)]


def _swaps_equals(gears: Small, order: tuple[int, ...]) -> Bools:
    """Whether an order puts two equal gears (neighbours in an ascending row) out of turn."""
    again = np.zeros(len(gears), dtype=np.bool_)
    for one, other in _out_of_turn(order):
        again |= gears[:, one] == gears[:, other]
    return again


@lru_cache
def _out_of_turn(order: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """Column pairs (i, j), i < j, that `order` visits j first."""
    at = {column: k for k, column in enumerate(order)}
    return tuple((i, j) for i in at for j in at if i < j and at[j] < at[i])
