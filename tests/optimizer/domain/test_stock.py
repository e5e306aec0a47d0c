"""The chest as numbers: who is tied to whom, what may stand where, what is one kind."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair, Place
from gearchest.optimizer.domain.lathe import Banjo, GearMaking, Lathe, Slot
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.stock import UNLIMITED, take_stock

MODULE = Fraction(4, 5)
SMALL, MIDDLE, LARGE = (Gear(teeth, MODULE) for teeth in (20, 40, 90))


def lathe(*loose: Gear, pinned: tuple[PinnedPair, ...] = (), cover: float = 60.0) -> Lathe:
    """A cover that a 90 of module 0.8 (73.6 mm) overtops."""
    banjo = Banjo(100.0, (Slot(10, 140),), largest_tip_diameter=cover)
    chest = Chest(tuple((gear, 1) for gear in loose), pinned)
    return Lathe("a lathe", mm(2), GearMaking(MODULE), chest, banjo=banjo)


@pytest.mark.parametrize("pair", [PinnedPair(LARGE, SMALL), PinnedPair(SMALL, LARGE)])
def test_the_half_of_a_pair_that_is_left_has_no_mate(pair: PinnedPair) -> None:
    """One half overtops the cover: the other is not tied to whatever gear took its number."""
    stock = take_stock(lathe(MIDDLE, pinned=(pair,)))
    assert stock.gears == (SMALL, MIDDLE)
    assert stock.mate.tolist() == [-1, -1]
    assert take_stock(lathe(MIDDLE, pinned=(pair,)), under_cover=False).mate.tolist() == [2, -1, 0]


def test_candidates_are_counted_by_kind_and_no_further_than_matters() -> None:
    stock = take_stock(lathe(SMALL), [(SMALL, 1), (MIDDLE, None), (SMALL, 1), (MIDDLE, 1)])
    assert stock.owned.tolist() == [1, 0]
    assert stock.addable.tolist() == [2, UNLIMITED]
    assert stock.candidate.tolist() == [0, 1]


def test_a_fixed_first_driver_alone_stands_on_its_shaft() -> None:
    machine = replace(lathe(SMALL, MIDDLE), fixed_first_driver=MIDDLE)
    stock = take_stock(machine)
    assert stock.allowed[Place.DRIVER].tolist() == [False, True]
    assert np.all(stock.allowed[Place.SCREW])
