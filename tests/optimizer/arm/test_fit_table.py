"""Many trains at once against one after another, on arms where some of them just do not fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from drawn import MAKING, loose
from longer_trains import ADDED, longer_trains
from mounting import lathe_with, train_of

from gearchest.optimizer.arm.fit_table import FitTable
from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Slot
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.domain.stock import take_stock

FINE = [replace(MAKING.gear(z), module=Fraction(3, 4)) for z in (36, 64)]
GEARS = loose(18, 25, 34, 47, *FINE)
ONE_SLOT = Banjo(55.0, (Slot(18.0, 48.0),), studs=2, gap=0.4)
TWO_STUDS = replace(ONE_SLOT, axis_distance=75.0, slots=(Slot(10.0, 80.0), Slot(5.0, 60.0, 70.0)))
ARMS = {
    "one slot": ONE_SLOT,
    "a short swing": replace(ONE_SLOT, swing=(33.0, 38.0)),
    "a swing below": replace(ONE_SLOT, swing=(-52.0, -44.0)),
    "hubs": replace(ONE_SLOT, driver_hub=24.0, stud_hub=9.0, screw_hub=21.0),
    "a hub on studs": replace(ONE_SLOT, slots=(Slot(5.0, 90.0),), stud_hub=30.0),
    "a cover": replace(ONE_SLOT, largest_tip_diameter=45.0),
    "two slots": replace(ONE_SLOT, slots=(Slot(25.0, 60.0, -20.0, 9.0), Slot(12.0, 45.0, 50.0))),
    "far apart": replace(ONE_SLOT, axis_distance=82.0, slots=(Slot(10.0, 90.0),)),
    "two studs": TWO_STUDS,
    "behind the pivot": replace(ONE_SLOT, slots=(Slot(-60.0, -15.0, 160.0, -6.0),)),
    "gaps": replace(ONE_SLOT, slots=(Slot(10.0, 90.0),), gap=4.0),
    "in direct mesh": replace(ONE_SLOT, axis_distance=36.0, slots=(Slot(20.0, 40.0),), studs=1),
    "not measured": None,
}  # fmt: skip


def some(layout: Layout, count: int) -> list[tuple[int, ...]]:
    """Gears seat by seat, each stage of one module, evenly out of all there are."""
    kinds = [gear for gear, _ in GEARS]
    every = []
    stages = [len(stage) for stage in layout.seats]
    for fine in product((False, True), repeat=len(stages)):
        of = [[k for k, gear in enumerate(kinds) if (gear.module < 1) == one] for one in fine]
        seats = [kind for one, size in zip(of, stages, strict=True) for kind in [one] * size]
        every += list(product(*seats))
    step = max(1, len(every) // count)
    return every[:: step + (step % 2 == 0)]


@pytest.mark.parametrize("name", ARMS)
def test_trains_fit_together_as_each_does_alone(name: str) -> None:
    lathe = replace(lathe_with(ARMS[name]), chest=Chest(GEARS), unmeasured_studs=2)
    agree(lathe, [one for one in LAYOUTS if lathe.banjo is not None or not any(one.idlers)])


def agree(lathe: Lathe, layouts: Sequence[Layout]) -> None:
    stock = take_stock(lathe, under_cover=False)
    table, fitting, count = FitTable(lathe, stock), 0, 0
    for layout in layouts:
        rows = some(layout, 50)
        trains = [train_of(layout.idlers, *(stock.gears[k] for k in row)) for row in rows]
        singly = [fit(lathe, train).fits is not Fits.NO for train in trains]
        mask = table.mask(layout, np.array(rows, dtype=np.int16))
        assert mask.dtype == np.bool_
        assert mask.tolist() == singly
        fitting, count = fitting + sum(singly), count + len(singly)
    assert count / 40 < fitting < count * 39 / 40


@pytest.mark.parametrize("layout", ADDED, ids=lambda layout: layout.name)
def test_trains_over_three_studs_too(layout: Layout) -> None:
    arm = replace(TWO_STUDS, studs=3, driver_hub=9.0, stud_hub=9.0, screw_hub=9.0)
    with longer_trains():
        agree(replace(lathe_with(arm), chest=Chest(GEARS)), [layout])


@pytest.mark.parametrize("gears", [GEARS, ()])
def test_no_trains_fit_of_none(gears: tuple[tuple[Gear, int], ...]) -> None:
    lathe = replace(lathe_with(ONE_SLOT), chest=Chest(gears))
    table = FitTable(lathe, take_stock(lathe))
    for layout in LAYOUTS:
        count = sum(map(len, layout.seats))
        assert table.mask(layout, np.zeros((0, count), dtype=np.int16)).tolist() == []
