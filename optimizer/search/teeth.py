"""What the teeth of many trains carry and bear, over arrays; `strength.loads` says the same of
one train."""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small, values_in
from gearchest.optimizer.domain.gear import Place
from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.domain.stock import Stock
from gearchest.optimizer.domain.tooth import face_taken
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.search.columns import across
from gearchest.optimizer.search.combine import Combos
from gearchest.optimizer.search.options import LOAD_UNIT
from gearchest.optimizer.strength.lewis import IDLER_SHARE, tooth_limit
from gearchest.optimizer.strength.rim import rim_share

_DOWN = 1 - 1e-12
"""A bound rounded down is still one."""


class Teeth:
    """The teeth of one stock's gears on one lathe; `settings` are told by their numbers."""

    def __init__(self, lathe: Lathe, stock: Stock, settings: tuple[Setting, ...]) -> None:
        self._lathe = lathe
        self._stock = stock
        self._levers = np.array([float(s.first_driver_turns) for s in settings])
        self._boxes = np.array([float(s.gearbox_ratio) for s in settings])

    def loads(self, layout: Layout, seats: Small, setting: Small) -> Ints:
        """Tooth load in LOAD_UNIT of each row of `seats` (gear indices in mesh order); see
        `Train.stage_loads`."""
        teeth, diameter = self._stock.teeth, self._diameter
        torque = 2000.0 * self._boxes[setting]
        most = np.zeros(len(seats))
        for gears in reversed(_stages(layout, seats)):
            driver, driven = gears[:, 0], gears[:, -1]
            most = np.maximum(most, torque / diameter[driven])
            torque = torque * teeth[driver] / teeth[driven]
        return np.rint(most / LOAD_UNIT).astype(np.int64)

    def least_loads(self, combos: Combos, setting: Small) -> Ints:
        """Loads in LOAD_UNIT that no order of a combination comes below.

        The last mesh carries 2000 g / (m z) with z one of the driven gears; the first carries
        the same times drivers/driven x (first driven/first driver), that is 2000 g R / (m A).
        """
        last = across(np.maximum, self._diameter, combos.driven)
        first = across(np.maximum, self._diameter, combos.drivers)
        newtons = 2000.0 * self._boxes[setting] * np.maximum(1 / last, self.turns(combos) / first)
        least: Ints = np.floor(newtons / LOAD_UNIT * _DOWN).astype(np.int64)
        return least

    def shares(self, layout: Layout, seats: Small, setting: Small) -> Floats:
        """The tooth share of each row of `seats`; not a number where it can't be known."""
        teeth = self._stock.teeth
        stages = _stages(layout, seats)
        turns = np.ones(len(seats))
        for gears in stages:
            turns = turns * teeth[gears[:, 0]] / teeth[gears[:, -1]]
        torque, _ = self._torques(turns, setting)
        share = np.zeros(len(seats))
        for gears in stages:
            load = 2000.0 * torque / self._diameter[gears[:, 0]]
            torque = torque * teeth[gears[:, -1]] / teeth[gears[:, 0]]
            last = gears.shape[1] - 1
            for k in range(last):
                one, other = gears[:, k], gears[:, k + 1]
                bears = np.minimum(
                    self._bears[one] * (IDLER_SHARE if k > 0 else 1.0),
                    self._bears[other] * (IDLER_SHARE if k + 1 < last else 1.0),
                )
                face = np.minimum(self._face[one], self._face[other])
                share = np.maximum(share, load / (bears * face))
        return share

    def least_shares(self, combos: Combos, setting: Small, *, idlers: bool) -> Floats:
        """A tooth share that no order of a combination comes below, with `idlers` in it or
        without; 0 where one of its gears can't be checked, or where an idler might not be. The
        first driver carries the torque of its shaft with no more than its own face, and so does
        the last driven gear."""
        if idlers and np.isnan(self._bears[self._stock.allowed[Place.IDLER]]).any():
            return np.zeros(len(combos.drivers))
        first, last = self._torques(self.turns(combos), setting)
        least = np.maximum(
            first * across(np.minimum, self._asks, combos.drivers),
            last * across(np.minimum, self._asks, combos.driven),
        )
        known: Floats = np.where(np.isnan(least), 0.0, least * _DOWN)
        return known

    def turns(self, combos: Combos) -> Floats:
        """Turns of the last driven gear for one of the first driver."""
        top, bottom = (
            across(np.multiply, self._stock.teeth, gears)
            for gears in (combos.drivers, combos.driven)
        )
        turns: Floats = top / bottom
        return turns

    def turns_of(self, layout: Small, seats: Small) -> Floats:
        """The same of trains, by layout number and padded seats."""
        turns = np.ones(len(seats))
        for number in values_in(layout):
            of = layout == number
            for gears in _stages(LAYOUTS[number], seats[of]):
                turns[of] *= self._stock.teeth[gears[:, 0]] / self._stock.teeth[gears[:, -1]]
        return turns

    def _torques(self, turns: Floats, setting: Small) -> tuple[Floats, Floats]:
        """N m on the first driver's shaft and on the last driven gear's, by row. The end that
        drives decides."""
        policy, box, lever = self._lathe.policy, self._boxes[setting], self._levers[setting]
        last = policy.screw_torque * box
        first = policy.cutting_torque / lever
        from_screw = self._from_screw(turns * box * lever)
        return np.where(from_screw, first, last * turns), np.where(from_screw, first / turns, last)

    def _from_screw(self, screw_turns: Floats) -> Bools:
        policy = self._lathe.policy
        if policy.drive is not None:
            return np.full(len(screw_turns), policy.drive is Drive.SCREW)
        from_screw: Bools = screw_turns > float(policy.hand_crank_above) * (1 + 1e-12)
        return from_screw

    @cached_property
    def _diameter(self) -> Floats:
        """Pitch diameter in mm, by gear."""
        diameter: Floats = 2 * self._stock.half_module * self._stock.teeth
        return diameter

    @cached_property
    def _face(self) -> Floats:
        """mm, by gear."""
        return np.array([float(face_taken(g.face_width, g.module)) for g in self._stock.gears])

    @cached_property
    def _bears(self) -> Floats:
        """N for each mm of face, by gear; not a number where it can't be known."""
        bears = []
        for gear in self._stock.gears:
            rim = rim_share(self._lathe.making, gear)
            limit = tooth_limit(gear, None, self._lathe.strength, rim=rim).newtons
            bears.append(np.nan if limit is None else limit / float(face_taken(None, gear.module)))
        return np.array(bears)

    @cached_property
    def _asks(self) -> Floats:
        """Share of what a gear bears, with all of its own face, that 1 N m on its shaft takes."""
        asks: Floats = 2000.0 / self._diameter / (self._bears * self._face)
        return asks


def _stages(layout: Layout, seats: Small) -> list[Small]:
    """The columns of each stage: driver, idlers, driven."""
    starts = np.cumsum([0, *(len(stage) for stage in layout.seats)]).tolist()
    return [seats[:, a:b] for a, b in pairwise(starts)]
