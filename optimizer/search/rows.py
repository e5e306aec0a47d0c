"""Trains as arrays, one a row; a `Train` is built only of a row that somebody asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small, values_in
from gearchest.optimizer.domain.layout import LAYOUTS, Layout, most_gears
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.hung import HungTrains
from gearchest.optimizer.search.merit import error_shares, many_demerits
from gearchest.optimizer.search.options import ERROR_UNIT
from gearchest.optimizer.search.trains import PitchWindow, TrainSearch

Columns = tuple[Small, Ints, Floats, Floats, Small, Small, Small]


@dataclass(frozen=True)
class TrainRows:
    """Trains that one search found.

    `lacks`: candidate numbers of the gears missing (see `combine.lacking`); `load` in
    LOAD_UNIT; `share`: the tooth share, not a number where it can't be known; `error` relative
    and signed; `layout` and `setting` by their numbers; `seats`:
    gear indices in mesh order, padded with -1.
    """

    search: TrainSearch
    lacks: Small
    load: Ints
    share: Floats
    error: Floats
    layout: Small
    setting: Small
    seats: Small

    @classmethod
    def of(
        cls, search: TrainSearch, layout: Layout, window: PitchWindow, seats: Small
    ) -> TrainRows:
        """The combinations of a window, each hung in one way."""
        padded = np.full((len(seats), most_gears(search.lathe.studs)), -1, dtype=np.int16)
        padded[:, : seats.shape[1]] = seats
        return cls(
            search,
            window.lacks,
            search.teeth.loads(layout, seats, window.setting),
            search.teeth.shares(layout, seats, window.setting),
            window.error,
            np.full(len(seats), LAYOUTS.index(layout), dtype=np.int16),
            window.setting,
            padded,
        )

    @classmethod
    def none(cls, search: TrainSearch) -> TrainRows:
        """No trains at all."""
        small = np.zeros(0, dtype=np.int16)
        return cls(
            search,
            np.zeros((0, search.most_missing), dtype=np.int16),
            np.zeros(0, dtype=np.int64),
            np.zeros(0),
            np.zeros(0),
            small,
            small,
            np.zeros((0, most_gears(search.lathe.studs)), dtype=np.int16),
        )

    def __len__(self) -> int:
        return len(self.load)

    @property
    def columns(self) -> Columns:
        """All but the search, as it is made of."""
        return (
            self.lacks, self.load, self.share, self.error, self.layout, self.setting, self.seats
        )  # fmt: skip

    @property
    def by_layout(self) -> list[tuple[int, Bools | slice]]:
        """Numbers of the layouts there are, each with the rows that have it."""
        if not len(self):
            return []
        first = int(self.layout[0])
        if (self.layout == first).all():
            return [(first, slice(None))]
        return [(n, self.layout == n) for n in values_in(self.layout)]

    def take(self, rows: Ints | Bools) -> TrainRows:
        """Some of the rows."""
        return TrainRows(
            self.search,
            self.lacks[rows],
            self.load[rows],
            self.share[rows],
            self.error[rows],
            self.layout[rows],
            self.setting[rows],
            self.seats[rows],
        )

    @staticmethod
    def stack(parts: Sequence[TrainRows]) -> TrainRows:
        """All rows of all parts, which are of one search; at least one part."""
        return TrainRows(
            parts[0].search,
            np.concatenate([part.lacks for part in parts]),
            np.concatenate([part.load for part in parts]),
            np.concatenate([part.share for part in parts]),
            np.concatenate([part.error for part in parts]),
            np.concatenate([part.layout for part in parts]),
            np.concatenate([part.setting for part in parts]),
            np.concatenate([part.seats for part in parts]),
        )

    def demerits(self, allowed: Fraction) -> Ints:
        """Demerits for an allowance."""
        return many_demerits(self.share, error_shares(self.error, allowed))

    @property
    def error_units(self) -> Ints:
        """|error| in whole ERROR_UNITs."""
        return error_units(self.error)

    @property
    def hung(self) -> HungTrains:
        """The trains alone."""
        gears, settings = self.search.stock.gears, self.search.settings
        return HungTrains(gears, settings, self.layout, self.setting, self.seats)

    def train(self, row: int) -> Train:
        """The train of one row."""
        return self.hung.train(row)


def error_units(error: Floats) -> Ints:
    """Relative errors as whole ERROR_UNITs, without their signs."""
    return np.rint(np.abs(error) / ERROR_UNIT).astype(np.int64)
