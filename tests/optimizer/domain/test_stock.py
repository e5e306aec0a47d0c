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


def test_what_is_owned_alone_cannot_be_added_and_is_no_candidate() -> None:
    stock = take_stock(lathe(SMALL, SMALL, MIDDLE), [(replace(SMALL, teeth=30), 3), (MIDDLE, 1)])
    assert [gear.teeth for gear in stock.gears] == [20, 30, 40]
    assert stock.owned.tolist() == [1, 0, 1]
    assert stock.addable.tolist() == [0, 3, 1]
    assert stock.candidate.tolist() == [-1, 0, 1]
    assert [gear.teeth for gear in stock.candidates] == [30, 40]
    assert take_stock(lathe(MIDDLE), [(SMALL, 1)]).candidate.tolist() == [0, -1]
    assert (stock.teeth.tolist(), stock.first) == ([20, 30, 40], -1)
    assert stock.half_module.tolist() == [0.4, 0.4, 0.4]
    assert stock.tip_radius.tolist() == pytest.approx([8.8, 12.8, 16.8])
    assert stock.mesh_class.tolist() == [0, 0, 0]


def test_a_first_driver_that_overtops_the_cover_is_none_of_the_gears() -> None:
    machine = replace(lathe(SMALL, MIDDLE), fixed_first_driver=LARGE)
    stock = take_stock(machine)
    assert (stock.first, stock.gears) == (-1, (SMALL, MIDDLE))
    assert not stock.allowed[Place.DRIVER].any()
    assert take_stock(machine, under_cover=False).first == 2
    assert take_stock(machine, under_cover=False).owned.tolist() == [1, 1, 1]


def test_gears_of_a_pair_sit_on_studs_alone_and_others_where_they_may() -> None:
    idler = replace(MIDDLE, places=frozenset({Place.IDLER}))
    one, other = (replace(gear, unit="20+40") for gear in (SMALL, MIDDLE))
    stock = take_stock(lathe(idler, SMALL, pinned=(PinnedPair(one, other, 2),)))
    kinds = list(stock.gears)
    assert stock.owned[kinds.index(one)] == stock.owned[kinds.index(other)] == 2
    may = {
        gear: {place for place in Place if stock.allowed[place][kinds.index(gear)]}
        for gear in kinds
    }
    assert may == {
        SMALL: set(Place), one: {Place.STUD}, other: {Place.STUD}, idler: {Place.IDLER},
    }  # fmt: skip
    assert not stock.uniform
    assert take_stock(lathe(SMALL, MIDDLE)).uniform
    assert not take_stock(lathe(SMALL, replace(MIDDLE, module=Fraction(1)))).uniform


def test_gears_added_are_owned() -> None:
    stock = take_stock(lathe(SMALL), [(MIDDLE, 2)], added=(MIDDLE, SMALL))
    assert stock.owned.tolist() == [2, 1]
    assert stock.addable.tolist() == [0, 2]


def test_one_gear_that_may_not_sit_everywhere_makes_a_chest_uneven() -> None:
    idler = replace(MIDDLE, places=frozenset({Place.IDLER}))
    assert not take_stock(lathe(idler, SMALL)).uniform
