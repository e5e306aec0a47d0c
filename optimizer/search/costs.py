"""What a train costs whoever sets it up: whole numbers to be kept small, the first counting
most. The names below are the costs there are; an order of them tells what is looked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.arrays import Floats, Ints, Small
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.search.merit import SPARE, error_shares, many_demerits
from gearchest.optimizer.search.rows import TrainRows, error_units
from gearchest.optimizer.search.trains import PitchWindow, TrainSearch

DEMERITS, LOAD, ERROR = "demerits", "tooth load", "error"
"""See `merit`; tooth load in LOAD_UNIT; |error| in ERROR_UNIT."""

FINE_ERROR = "fine error"
"""|error| in FINE_ERROR_UNIT: equal ratios of other gears may round otherwise below it."""

CHANGES, GEARS, OVERDRIVEN, SHARE = "gears changed", "gears", "box overdriven", "tooth share"
"""Gears to put on where the usual train hangs; gears; 1 where a gearbox turns faster than the
spindle; tooth share in units of SPARE."""

TEETH, IDLERS, KINDS, IDLER_KINDS, LEVERS = "teeth", "idlers", "kinds", "idler kinds", "levers"
SMALLER_NUMBERS = (TEETH, IDLERS, KINDS, IDLER_KINDS, LEVERS)
"""What settles ties: tooth counts of drivers and driven gears, then of idlers; then kinds of
gears, lever positions and layout, so that no two trains differ in nothing."""

PLANNED = (DEMERITS, ERROR)
"""What a plan minds of trains."""

CLOSEST = (FINE_ERROR, LOAD, GEARS, *SMALLER_NUMBERS)
EASIEST = (LOAD, FINE_ERROR, GEARS, *SMALLER_NUMBERS)


def to_set_up(first: tuple[str, ...] = (DEMERITS,)) -> tuple[str, ...]:
    """The order in which trains are taken to be set up: what counts `first`, then the fewest
    gears changed of the usual train, the fewest gears, a gearbox not overdriven, the smaller
    error and tooth share, the smaller numbers."""
    return (*first, CHANGES, GEARS, OVERDRIVEN, FINE_ERROR, SHARE, *SMALLER_NUMBERS)


FINE_ERROR_UNIT = 1e-15

UNKNOWN_SHARE = 10**15
"""A tooth share that can't be known comes after all that can."""

_BITS = 10
"""Bits for one gear of a train told in one number."""


@dataclass(frozen=True)
class Costs:
    """The costs of trains for one allowance, (n, len(order)) a batch of trains."""

    search: TrainSearch
    allowed: Fraction
    order: tuple[str, ...] = PLANNED

    def of(self, rows: TrainRows) -> Ints:
        """By train."""
        columns: Mapping[str, Callable[[], Ints]] = {
            DEMERITS: lambda: rows.demerits(self.allowed),
            LOAD: lambda: rows.load,
            ERROR: lambda: rows.error_units,
            FINE_ERROR: lambda: _fine(rows.error),
            CHANGES: lambda: _changes(rows),
            GEARS: lambda: (rows.seats >= 0).sum(axis=1),
            OVERDRIVEN: lambda: _overdriven(rows),
            SHARE: lambda: _share_units(rows),
            TEETH: lambda: self._told(rows, self.search.stock.teeth, idlers=False),
            IDLERS: lambda: self._told(rows, self.search.stock.teeth, idlers=True),
            KINDS: lambda: self._told(rows, None, idlers=False),
            IDLER_KINDS: lambda: self._told(rows, None, idlers=True),
            LEVERS: lambda: self.search.lever_ranks[rows.setting] * len(LAYOUTS) + rows.layout,
        }
        return _side_by_side([columns[name]() for name in self.order])

    def hung(self, layout: Layout, window: PitchWindow, seats: Small) -> Ints:
        """By combination, hung as `seats` say."""
        return self.of(TrainRows.of(self.search, layout, window, seats))

    def floor(self, layout: Layout, window: PitchWindow) -> Ints:
        """By combination, a cost that no way of hanging it in a layout comes below."""
        teeth, setting = self.search.teeth, window.setting
        share = teeth.least_shares(window.combos, setting, idlers=any(layout.idlers))
        known = {
            DEMERITS: many_demerits(share, error_shares(window.error, self.allowed)),
            LOAD: teeth.least_loads(window.combos, setting),
            ERROR: error_units(window.error),
            FINE_ERROR: _fine(window.error),
            GEARS: np.full(len(window), len(layout.places)),
            CHANGES: self._least_changes(layout, window),
        }
        none = np.zeros(len(window), dtype=np.int64)
        return _side_by_side([known.get(name, none) for name in self.order])

    def least(self, stages: int, beyond: Fraction | None) -> tuple[int, ...]:
        """A cost that no train of so many stages or more comes below whose error lies `beyond`."""
        error = np.array([max(0.0, float(beyond or 0) * (1 - 1e-12))])
        far = many_demerits(np.zeros(1), error_shares(error, self.allowed))
        known = {
            DEMERITS: 0 if beyond is None else max(1, int(far[0])),
            ERROR: int(error_units(error)[0]),
            FINE_ERROR: int(_fine(error)[0]),
            GEARS: 2 * stages,
            CHANGES: self._fewest_changes(stages),
        }
        return tuple(known.get(name, 0) for name in self.order)

    def _least_changes(self, layout: Layout, window: PitchWindow) -> Ints:
        """By combination, how many gears are put on at least: where the usual train hangs a gear
        that it has not, and where it hangs none."""
        search, combos = self.search, window.combos
        if search.lathe.usual_train is None:
            return np.zeros(len(window), dtype=np.int64)
        put_on = np.full(len(window), len(layout.places))
        ends = _columns(layout, idlers=False)
        for column, gear in search.as_usual[layout]:
            if column not in ends:  # an idler may be any gear
                put_on -= 1
                continue
            half = combos.drivers if ends.index(column) < 3 else combos.driven
            put_on -= (half == gear).any(axis=1)
        return put_on

    def _fewest_changes(self, stages: int) -> int:
        """The same of any train of so many stages or more."""
        if self.search.lathe.usual_train is None:
            return 0
        return min(
            len(layout.places) - len(self.search.as_usual[layout])
            for layout in LAYOUTS
            if layout.stages >= stages
        )

    def _told(self, rows: TrainRows, by_gear: Ints | None, *, idlers: bool) -> Ints:
        """Drivers and driven gears, or idlers, in one number that sorts as they do; gears by
        `by_gear`, else by their place in the stock."""
        told = np.zeros(len(rows), dtype=np.int64)
        for number, of in rows.by_layout:
            for place, column in enumerate(_columns(LAYOUTS[number], idlers=idlers)):
                if column is not None:
                    seat = rows.seats[of, column]
                    value = seat if by_gear is None else by_gear[seat]
                    told[of] |= (value.astype(np.int64) + 1) << (_BITS * (5 - place))
        return told


def _side_by_side(columns: list[Ints]) -> Ints:
    table = np.empty((len(columns[0]), len(columns)), dtype=np.int64)
    for k, column in enumerate(columns):
        table[:, k] = column
    return table


def _columns(layout: Layout, *, idlers: bool) -> list[int | None]:
    """Columns of the drivers and then of the driven gears, or of the idlers, in mesh order;
    None where a longer train would have one."""
    drivers: list[int | None] = []
    driven: list[int | None] = []
    between: list[int | None] = []
    column = 0
    for count in layout.idlers:
        drivers.append(column)
        between += range(column + 1, column + 1 + count)
        driven.append(column + 1 + count)
        column += count + 2
    if idlers:
        return between
    short: list[int | None] = [None] * (3 - len(drivers))
    return [*drivers, *short, *driven, *short]


def _changes(rows: TrainRows) -> Ints:
    """Gears to put on where the usual train hangs; 0 where the lathe names none."""
    count = np.zeros(len(rows), dtype=np.int64)
    if rows.search.lathe.usual_train is None:
        return count
    for number, of in rows.by_layout:
        count[of] = len(LAYOUTS[number].places)
        for column, gear in rows.search.as_usual[LAYOUTS[number]]:
            count[of] -= rows.seats[of, column] == gear
    return count


def _overdriven(rows: TrainRows) -> Ints:
    """1 where a gearbox is turned faster than the spindle."""
    settings = rows.search.settings
    boxed = np.array([setting.gearbox is not None for setting in settings])
    turns = np.array([float(setting.first_driver_turns) for setting in settings])
    if not boxed.any():
        return np.zeros(len(rows), dtype=np.int64)
    speed = rows.search.teeth.turns_of(rows.layout, rows.seats) * turns[rows.setting]
    over: Ints = (boxed[rows.setting] & (speed > 1.0 + 1e-12)).astype(np.int64)
    return over


def _share_units(rows: TrainRows) -> Ints:
    """Tooth shares in units of SPARE."""
    units = np.round(rows.share / SPARE)
    units = np.where(np.isnan(units), float(UNKNOWN_SHARE), units)
    whole: Ints = np.minimum(units, UNKNOWN_SHARE).astype(np.int64)
    return whole


def _fine(error: Floats) -> Ints:
    fine: Ints = np.rint(np.abs(error) / FINE_ERROR_UNIT).astype(np.int64)
    return fine
