"""Trains told by numbers, as a table carries them by the ten thousand."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small, values_in
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.train import Setting, Train


@dataclass(frozen=True)
class HungTrains:
    """Trains, one a row: `layout` its number, `setting` its number among `settings`, `seats` the
    numbers of its gears among `gears`, in mesh order, padded with -1."""

    gears: tuple[Gear, ...]
    settings: tuple[Setting, ...]
    layout: Small
    setting: Small
    seats: Small

    def __len__(self) -> int:
        return len(self.layout)

    def take(self, rows: Ints | Bools) -> HungTrains:
        """Some of the rows."""
        return replace(
            self, layout=self.layout[rows], setting=self.setting[rows], seats=self.seats[rows]
        )

    def stack(self, other: HungTrains) -> HungTrains:
        """These rows and then those of another search."""
        other = other._told_as(self)
        return HungTrains(
            other.gears,
            other.settings,
            np.concatenate([self.layout, other.layout]),
            np.concatenate([self.setting, other.setting]),
            np.concatenate([self.seats, other.seats]),
        )

    def _told_as(self, other: HungTrains) -> HungTrains:
        """The same trains by another's numbers of gears and settings, and more where it lacks
        some."""
        if (self.gears, self.settings) == (other.gears, other.settings):
            return self
        gears = {gear: n for n, gear in enumerate(dict.fromkeys((*other.gears, *self.gears)))}
        settings = {
            one: n for n, one in enumerate(dict.fromkeys((*other.settings, *self.settings)))
        }
        place = np.array([*(gears[gear] for gear in self.gears), -1], dtype=np.int16)
        levers = np.array([settings[one] for one in self.settings], dtype=np.int16)
        return HungTrains(
            tuple(gears), tuple(settings), self.layout, levers[self.setting], place[self.seats]
        )

    def train(self, row: int) -> Train:
        """The train of one row."""
        gears = [self.gears[gear] for gear in self.seats[row].tolist() if gear >= 0]
        return Train.of(LAYOUTS[self.layout[row]], gears, self.settings[self.setting[row]])

    @property
    def told_apart(self) -> Ints:
        """(rows, columns) of numbers, those of two rows alike where the trains are."""
        columns = [self.layout[:, None], self.setting[:, None], self.seats]
        return np.concatenate(columns, axis=1).astype(np.int64)

    @property
    def products(self) -> tuple[Ints, Ints]:
        """Of the teeth of all drivers, and of all driven gears."""
        teeth = np.array([gear.teeth for gear in self.gears], dtype=np.int64)
        top, bottom = np.ones((2, len(self)), dtype=np.int64)
        for number in values_in(self.layout):
            of, column = self.layout == number, 0
            for idlers in LAYOUTS[number].idlers:
                top[of] *= teeth[self.seats[of, column]]
                column += idlers + 1
                bottom[of] *= teeth[self.seats[of, column]]
                column += 1
        return top, bottom

    @property
    def ratios(self) -> Floats:
        """Leadscrew turns per spindle turn, lever and gearbox included, each rounded once."""
        levers = [one.first_driver_turns * one.gearbox_ratio for one in self.settings]
        over = np.array([lever.numerator for lever in levers], dtype=object)[self.setting]
        under = np.array([lever.denominator for lever in levers], dtype=object)[self.setting]
        top, bottom = self.products  # whole numbers of any size: Python divides them exactly
        return np.asarray((top * over) / (bottom * under), dtype=np.float64)

    def bringing(self, seen: set[Gear]) -> list[int]:
        """Rows that hold a gear not `seen` in those before, which they add to it."""
        rows, there = [], self.seats >= 0
        known = np.array([gear in seen for gear in self.gears], dtype=np.bool_)
        while (new := (~known[self.seats] & there).any(axis=1)).any():
            row = int(new.argmax())
            held = self.seats[row][there[row]]
            known[held] = True
            seen.update(self.gears[gear] for gear in held.tolist())
            rows.append(row)
        return rows
