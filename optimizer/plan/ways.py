"""The ways to reach one want, the one to set up first standing first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import overload

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints, Small, distinct
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.hung import HungTrains


@dataclass(frozen=True)
class TrainWay:
    """One undominated way to reach a want. `exact`: without error; `needs`: loose gears, each as
    often as needed."""

    train: Train
    exact: bool
    needs: tuple[Gear, ...]


@dataclass(frozen=True)
class Ways(Sequence[TrainWay]):
    """Ways as numbers: a train is made of one when it is asked for. `exact`: which are without
    error; `missing`: what each needs among `candidates`, padded with -1."""

    hung: HungTrains
    exact: Bools
    missing: Small
    candidates: tuple[Gear, ...]

    def __len__(self) -> int:
        return len(self.hung)

    @overload
    def __getitem__(self, way: int) -> TrainWay: ...
    @overload
    def __getitem__(self, way: slice) -> Ways: ...
    def __getitem__(self, way: int | slice) -> TrainWay | Ways:
        if isinstance(way, slice):
            return self.take(np.arange(len(self))[way])
        if not -len(self) <= way < len(self):
            raise IndexError(way)
        needs = tuple(self.candidates[c] for c in self.missing[way].tolist() if c >= 0)
        return TrainWay(self.hung.train(way), bool(self.exact[way]), needs)

    def take(self, ways: Ints) -> Ways:
        """Some of them."""
        return Ways(self.hung.take(ways), self.exact[ways], self.missing[ways], self.candidates)

    def with_exact(self, others: Ways) -> Ways:
        """These and then others, no train without error told twice."""
        every = Ways(
            self.hung.stack(others.hung),
            np.concatenate([self.exact, others.exact]),
            np.concatenate([self.missing, others.missing]),
            self.candidates,
        )
        exact = np.flatnonzero(every.exact)
        first, _ = distinct(every.hung.told_apart[exact])
        kept = ~every.exact
        kept[exact[first]] = True
        return every.take(np.flatnonzero(kept))


def are_exact(lathe: Lathe, want: Want, hung: HungTrains) -> Bools:
    """Which trains have no error at all, in whole numbers of any size."""
    screw, wanted = lathe.leadscrew, want.pitch
    if screw.pi != wanted.pi:  # no ratio of gears is pi
        return np.zeros(len(hung), dtype=np.bool_)
    turns = [
        one.first_driver_turns * one.gearbox_ratio * screw.lead.rational / wanted.lead.rational
        for one in hung.settings
    ]
    over = np.array([turn.numerator for turn in turns], dtype=object)[hung.setting]
    under = np.array([turn.denominator for turn in turns], dtype=object)[hung.setting]
    top, bottom = hung.products
    return np.asarray(top * over == bottom * under, dtype=np.bool_)
