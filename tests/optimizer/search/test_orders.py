"""Ways of hanging a combination, against every train that gears seat by seat come to."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import numpy as np
import oracle
import pytest
from drawn import MAKING, loose

from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair, Place
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Slot
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.search.combine import Combos
from gearchest.optimizer.search.orders import orders
from gearchest.optimizer.search.trains import TrainSearch

ARM = Banjo(100.0, (Slot(0.0, 500.0),), studs=2)
PLAIN = Lathe("plain", mm(2), MAKING, Chest(loose(20, 20, 30, 40, 45, 50)), banjo=ARM)
FINE = [replace(MAKING.gear(z), module=Fraction(4, 5)) for z in (30, 50)]
STUD = replace(MAKING.gear(35), places=frozenset({Place.STUD}))
DRIVER = replace(MAKING.gear(28), places=frozenset({Place.DRIVER, Place.IDLER}))
SCREW = replace(MAKING.gear(38), places=frozenset({Place.SCREW}))
ONE, OTHER = (replace(MAKING.gear(z), unit="pair") for z in (18, 48))
LATHES = {
    "any gear anywhere": PLAIN,
    "two modules": replace(PLAIN, chest=Chest(loose(20, 30, 40, 45, *FINE))),
    "where gears may sit": replace(PLAIN, chest=Chest(loose(20, 30, 45, STUD, DRIVER, SCREW))),
    "a pinned pair": replace(PLAIN, chest=Chest(loose(20, 30, 40, 45), (PinnedPair(ONE, OTHER),))),
    "a pinned pair twice": replace(
        PLAIN, chest=Chest(loose(20, 30), (PinnedPair(ONE, OTHER, 2),))
    ),
    "a fixed first driver": replace(PLAIN, fixed_first_driver=MAKING.gear(30)),
}  # fmt: skip
ANY = Fraction(10**6)
"""An allowance that every train keeps."""


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
@pytest.mark.parametrize("name", LATHES)
def test_every_train_is_hung_once(name: str, layout: Layout) -> None:
    """Of all combinations of a chest, idlers put in as well."""
    lathe = LATHES[name]
    search = TrainSearch(lathe, take_stock(lathe))
    window = search.window(mm(2), ANY, layout.stages)
    found: list[tuple[Gear, ...]] = []
    for order in search.orders(layout, window):
        rows, seats = order.seats(order.distinct())
        for at, row in zip(rows.tolist(), seats.tolist(), strict=True):
            combo = window.combos.take(np.array([at]))
            assert sorted(row[::2]) == combo.drivers[0].tolist()
            assert sorted(row[1::2]) == combo.driven[0].tolist()
        for at, whole in search.with_idlers(layout, seats, 0):
            assert whole[:, [0, -1]].tolist() == seats[at][:, [0, -1]].tolist()
            found += [tuple(search.stock.gears[gear] for gear in row) for row in whole.tolist()]
    due = [train.gears for train in oracle.trains(lathe) if train.layout == layout]
    assert len(due) > 1 or sum(layout.idlers)
    assert Counter(found) == Counter(due)


def test_larger_driven_gears_are_tried_nearer_the_screw_first() -> None:
    stock = take_stock(PLAIN)
    combos = Combos(np.array([[0, 1, 2]]), np.array([[0, 2, 3]]))
    found = list(orders(stock, combos, 3))
    assert len(found) == len({(order.tops, order.bottoms) for order in found}) == 36
    assert (found[0].tops, found[0].bottoms) == ((0, 1, 2), (0, 1, 2))
    assert all(one.bottoms <= other.bottoms for one, other in pairwise(found))
    rows, seats = found[1].seats(np.array([0]))
    assert (rows.tolist(), seats.tolist()) == ([0], [[0, 0, 2, 2, 1, 3]])


def test_an_order_that_swaps_equals_is_none() -> None:
    """20 20 30 over 40 40 40 has three orders, 20 30 40 over 45 45 45 six, 20 20 20 over 40 40 40
    one."""
    stock = take_stock(PLAIN)
    drivers, driven = [[0, 0, 1], [0, 1, 2], [0, 0, 0]], [[2, 2, 2], [3, 3, 3], [2, 2, 2]]
    combos = Combos(np.array(drivers), np.array(driven))
    rows = [row for order in orders(stock, combos, 3) for row in order.distinct().tolist()]
    assert [rows.count(row) for row in range(3)] == [3, 6, 1]
