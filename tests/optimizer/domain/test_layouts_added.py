"""A layout more is a line in LAYOUTS and nothing else, also where it takes more studs than any
before: three layouts over three studs are added here, and everything follows."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import oracle
import pytest
from drawn import MAKING, loose
from file_samples import LEAST, write
from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st
from longer_trains import ADDED, TRIPLE, arms_laid_out, longer_trains
from mounting import lathe_with, recheck, train_of

from gearchest.cli.faults import FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.optimizer.arm.fit_table import FitTable
from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.reaching import arm_reach
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Slot
from gearchest.optimizer.domain.layout import most_gears, most_studs
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.whatif import what_if
from gearchest.optimizer.search.answers import answer
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.search import find_options
from gearchest.reports.drawing.scale import letter_of
from gearchest.reports.drawing.train import train_svg
from gearchest.reports.trains.document import train_document

SLOW = settings(
    max_examples=30,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@pytest.fixture(scope="module", autouse=True)
def one_line_each() -> Iterator[None]:
    with longer_trains():
        yield


@SLOW
@given(arms_laid_out())
def test_a_train_over_three_studs_fits_where_a_search_finds_a_place(
    drawn: tuple[Lathe, Train],
) -> None:
    lathe, train = drawn
    assert lathe.banjo is not None
    looked_for = oracle.place(lathe, train)
    found = fit(lathe, train)
    event(f"{train.layout.name}: {looked_for.fits}")
    assume(looked_for.fits is not None)
    assert (found.fits is Fits.YES) == looked_for.fits
    if found.placement is not None and found.fits is Fits.YES:
        recheck(lathe.banjo, train, found.placement)
        if found.placement.tightest:
            assert found.placement.tightest.mm == pytest.approx(looked_for.tightest, abs=1e-5)
    else:
        assert found.misfits


@SLOW
@given(arms_laid_out(), st.integers(0, 2**32 - 1))
def test_the_table_says_the_same_of_many_trains(drawn: tuple[Lathe, Train], seed: int) -> None:
    """Of the train drawn and of others of its gears."""
    lathe, train = drawn
    stock = take_stock(replace(lathe, chest=Chest(loose(*train.gears))), under_cover=False)
    own = [stock.gears.index(gear) for gear in train.gears]
    others = np.random.default_rng(seed).choice(own, size=(20, len(own)))
    rows = [
        row
        for row in np.array([own, *others], dtype=np.int16)
        if all(
            len({gear.mesh_class for gear in stage}) == 1
            for stage in train_of(train.layout.idlers, *(stock.gears[i] for i in row)).stages
        )
    ]
    singly = [
        fit(lathe, train_of(train.layout.idlers, *(stock.gears[i] for i in row))).fits is Fits.YES
        for row in rows
    ]
    event(f"{train.layout.name}: {any(singly)}")
    assert FitTable(lathe, stock).mask(train.layout, np.array(rows)).tolist() == singly


@pytest.mark.parametrize(("apart", "mounts"), [(41.0, False), (42.4, False), (42.6, True)])
def test_studs_that_are_no_neighbours_keep_apart(apart: float, mounts: bool) -> None:
    """Five 40s in one plane, 40 mm from shaft to shaft; the third idler stands on a slot through
    the screw, the second beside it, the first on it again: their tips reach 21 mm each."""
    slots = (
        Slot(35.0, 100.0),
        Slot(38.0 + apart / 2, 42.0 + apart / 2, 0.0, math.sqrt(1600.0 - apart**2 / 4)),
    )
    lathe = lathe_with(Banjo(79.5 + apart, slots, studs=3, gap=0.5), 40)
    train = train_of((3,), 40, 40, 40, 40, 40)
    assert (fit(lathe, train).fits is Fits.YES) is mounts
    row = np.zeros((1, 5), dtype=np.int16)
    assert FitTable(lathe, take_stock(lathe)).mask(train.layout, row).tolist() == [mounts]


ROOMY = Banjo(
    130.0, (Slot(20.0, 160.0, 0.0), Slot(20.0, 160.0, 40.0)), studs=3, stud_hub=12.0, gap=0.5
)
TEETH = (20, 20, 22, 22, 50, 50, 56, 56)
"""Four drivers and four driven gears: only a triple compound reaches their ratio."""


def triple() -> tuple[Lathe, Want]:
    lathe = replace(lathe_with(ROOMY, *TEETH))
    pitch = mm(2 * Fraction(20 * 20 * 22 * 22, 50 * 50 * 56 * 56))
    return lathe, Want("fine", pitch, Allowance(Fraction(0)))


def _idlers_apart(train: Train) -> tuple[tuple[int, ...], ...]:
    """Tooth counts of drivers and driven gears, and of each stage's idlers in whatever order."""
    idlers = (sorted(gear.teeth for gear in stage) for stage in train.idlers)
    ends = (tuple(gear.teeth for gear in row) for row in (train.drivers, train.driven))
    return (*ends, *map(tuple, idlers))


def test_reach_finds_every_train_that_trying_all_of_them_finds() -> None:
    """Trains of all layouts, over three studs among them, for one pitch and a wide allowance."""
    lathe = lathe_with(replace(ROOMY, driver_hub=20.0), 30, 40, 40, 50, 60, 60)
    want = Want("coarse", mm("1.6"), Allowance(Fraction(1, 20)))
    inside = [
        train
        for train in oracle.trains(lathe)
        if abs(oracle.error(lathe, train, want.pitch)) <= Fraction(1, 20)
    ]
    fits = {train: oracle.place(lathe, train).fits for train in inside}
    assert None not in fits.values()
    fitting = {train for train, good in fits.items() if good}
    assert {layout.name for layout in ADDED[1:]} <= {train.layout.name for train in fitting}
    assert len(fitting) < len(inside)
    found = Bench(lathe).reach(want, most=None)
    assert {one.train for one in found.trains} <= fitting
    # The same idlers the other way round are one answer.
    once = {_idlers_apart(train) for train in fitting}
    assert sorted(map(str, map(_idlers_apart, (one.train for one in found.trains)))) == sorted(
        map(str, once)
    )


def test_a_triple_compound_train_is_found_in_its_lightest_order() -> None:
    """All orders of four drivers and four driven gears, tried one by one."""
    lathe, want = triple()
    every = [t for t in oracle.trains(lathe) if oracle.error(lathe, t, want.pitch) == 0]
    assert {train.layout for train in every} == {TRIPLE}
    fitting = [train for train in every if fit(lathe, train).fits is Fits.YES]
    assert 10 < len(fitting) < len(every)
    best = min(oracle.tooth_load(train) for train in fitting)
    found = find_options(lathe, [want], [], 0).wants[0]
    assert [found.train(row).tooth_load for row in range(len(found.load))] == [best]


def test_every_gear_of_a_longer_train_may_be_missing() -> None:
    """The table behind ticked gears takes the owned ones for missing: all eight of a train."""
    lathe, want = triple()
    assert (most_studs(), most_gears(3)) == (3, 8)
    table = what_if(lathe, [want], [])
    assert {tuple(sorted(gear.teeth for gear in way.needs)) for way in table.ways[0]} == {TEETH}
    assert table.best(0, Counter(MAKING.gear(z) for z in TEETH))[1] is not None
    assert table.best(0, Counter(MAKING.gear(z) for z in TEETH[1:]))[1] is None


def test_sheets_show_three_studs() -> None:
    lathe, want = triple()
    found = find_options(lathe, [want], [], 0).wants[0].train(0)
    shown = answer(lathe, want, found, Counter())
    assert shown.fit.placement is not None
    told = train_document(lathe, shown)
    assert len(told["studs"]) == 3  # type: ignore[arg-type]
    picture = str(train_svg(lathe, shown, letter_of(lathe, [shown])))
    for words in (">stud 3<", ">plane 4<"):
        assert words in picture


def test_the_arms_reach_is_tried_over_three_studs_too() -> None:
    """Two 40s stand 40 mm apart, the fixed shafts 150 mm: only with three studs between them
    is the line long enough."""
    gears: list[Gear] = [MAKING.gear(40)] * 2
    far = Banjo(150.0, (Slot(30.0, 50.0), Slot(70.0, 130.0, 3.0)), studs=3)
    assert arm_reach(far, Chest(loose(*gears))).slots == {0, 1}
    assert arm_reach(replace(far, studs=2), Chest(loose(*gears))).slots == set()


def test_a_lathe_file_may_say_three_studs(tmp_path: Path) -> None:
    text = LEAST + "[banjo]\nstuds = {}\n"
    assert load_lathe(write(tmp_path, "three.toml", text.format(3))).studs == 3
    with pytest.raises(FaultsError, match="1 to 3"):
        load_lathe(write(tmp_path, "four.toml", text.format(4)))
