"""Every cost of a train in plain fractions, and that none lies below what was said beforehand."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from itertools import islice

import numpy as np
import oracle
import pytest
from drawn import MAKING, STRENGTH, loose

from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Banjo, Drive, Lathe, Policy, Slot
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.costs import (
    CLOSEST,
    EASIEST,
    PLANNED,
    SMALLER_NUMBERS,
    UNKNOWN_SHARE,
    Costs,
    to_set_up,
)
from gearchest.optimizer.search.rows import TrainRows
from gearchest.optimizer.search.trains import TrainSearch

ALLOWED = Fraction(3, 10)
PITCH = mm(1)
FINE = [replace(MAKING.gear(z), module=Fraction(4, 5)) for z in (33, 44)]
LATHE = Lathe(
    "bench", mm(2), MAKING, Chest(loose(20, 20, 30, 45, 60, *FINE)),
    first_driver_turns=(Fraction(2), Fraction(3, 4)),
    gearbox=(("B", Fraction(1, 2)), ("A", Fraction(5, 4))),
    banjo=Banjo(100.0, (Slot(0.0, 500.0),), studs=2),
    policy=Policy(screw_torque=2.3, cutting_torque=1.9, hand_crank_above=Fraction(1, 2)),
    strength=STRENGTH,
)  # fmt: skip
USUAL = next(train for train in oracle.trains(LATHE) if train.layout.idlers == (1, 0))
OTHERS = replace(USUAL, drivers=(MAKING.gear(70), USUAL.drivers[1]), driven=(MAKING.gear(70),) * 2)
"""A usual train with gears that are not owned."""
UNKNOWN = replace(LATHE, chest=Chest(loose(
    20, 20, 30, replace(MAKING.gear(45), material="unheard of"), 60, *FINE)))  # fmt: skip
NYLON = [replace(MAKING.gear(z), material="nylon") for z in (30, 45)]
SOFT = replace(LATHE, chest=Chest(loose(20, 20, *NYLON, 60, *FINE)))
EVERY = ("demerits", "tooth load", "error", "fine error", "gears changed", "gears",
         "box overdriven", "tooth share", "teeth", "idlers", "kinds", "idler kinds",
         "levers")  # fmt: skip


def some_rows(
    lathe: Lathe, layout: Layout, most: int = 40, allowed: Fraction = ALLOWED
) -> TrainRows:
    """Ways of hanging what is near the pitch, a few evenly out of all."""
    search = TrainSearch(lathe, take_stock(lathe))
    window = search.window(PITCH, allowed, layout.stages)
    found = []
    for order in search.orders(layout, window):
        rows, seats = order.seats(order.distinct())
        for at, whole in search.with_idlers(layout, seats, 0):
            found.append(TrainRows.of(search, layout, window.take(rows[at]), whole))
    every = TrainRows.stack(found)
    assert len(every) > 1
    return every.take(np.arange(0, len(every), max(1, len(every) // most)))


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
@pytest.mark.parametrize("lathe", [LATHE, replace(LATHE, usual_train=USUAL), UNKNOWN, SOFT,
                                   replace(LATHE, gearbox=(), usual_train=OTHERS)])  # fmt: skip
def test_costs_are_what_fractions_say(lathe: Lathe, layout: Layout) -> None:
    rows = some_rows(lathe, layout)
    table = Costs(rows.search, ALLOWED, EVERY).of(rows)
    usual = oracle._by_place(lathe.usual_train) if lathe.usual_train else None
    for row, told in enumerate(table.tolist()):
        train = rows.train(row)
        cost = dict(zip(EVERY, told, strict=True))
        share, error = oracle.tooth_share(lathe, train), abs(oracle.error(lathe, train, PITCH))
        by_place = oracle._by_place(train)
        turns = oracle.ratio(train) / train.setting.gearbox_ratio
        assert cost["demerits"] == oracle.demerits(share, error / ALLOWED)
        assert cost["tooth load"] == pytest.approx(float(oracle.tooth_load(train)) * 1e3, abs=0.51)
        assert cost["error"] == pytest.approx(float(error) * 1e9, abs=0.51)
        assert cost["fine error"] == pytest.approx(float(error) * 1e15, rel=1e-12, abs=600)
        assert cost["gears changed"] == (
            0 if usual is None else sum(usual.get(p) != g for p, g in by_place.items())
        )
        assert cost["gears"] == len(train.gears)
        assert cost["box overdriven"] == (train.setting.gearbox is not None and turns > 1)
        if share is None:
            assert cost["tooth share"] == UNKNOWN_SHARE > 10**14
        else:
            assert cost["tooth share"] == pytest.approx(share * 1e9, abs=1)


def numbers(train: Train) -> tuple[object, ...]:
    """What settles ties, in the order in which it does."""
    groups = train.drivers, train.driven, sum(train.idlers, ())
    lever = train.setting
    return (
        *(tuple(gear.teeth for gear in group) for group in groups),
        *(tuple(gear.order for gear in group) for group in groups),
        lever.first_driver_turns, lever.gearbox or "", LAYOUTS.index(train.layout),
    )  # fmt: skip


def test_ties_are_settled_by_the_smaller_numbers_and_no_two_trains_tie() -> None:
    """Shorter trains before longer ones that begin alike; the idlers' teeth before the kinds of
    drivers of one count. As many teeth as change gears may have."""
    soft = replace(MAKING.gear(30), material="nylon")
    twice = replace(LATHE, chest=Chest(loose(20, 30, soft, 45, 500)), gearbox=(("A", Fraction(1)),))
    search = TrainSearch(twice, take_stock(twice))
    parts = []
    for layout in LAYOUTS[:5]:
        rows = some_rows(twice, layout, 10**6, Fraction(10**6))
        parts.append(replace(rows, search=search))
    every = TrainRows.stack(parts)
    costs = Costs(search, ALLOWED, SMALLER_NUMBERS).of(every)
    trains = [every.train(row) for row in range(len(every))]
    assert len(set(map(tuple, costs.tolist()))) == len(set(trains)) == len(trains) > 200
    order = sorted(range(len(trains)), key=lambda row: tuple(costs[row].tolist()))
    assert [trains[row] for row in order] == sorted(trains, key=numbers)
    alone = Costs(search, ALLOWED, ("gears",)).of(every)
    assert alone.tolist() == [[len(train.gears)] for train in trains]


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
@pytest.mark.parametrize(
    "drive", [None, Drive.SPINDLE, Drive.SCREW], ids=["either", "spindle", "screw"]
)
def test_no_train_costs_less_than_was_said_before_it_was_hung(
    layout: Layout, drive: Drive | None
) -> None:
    """And a train without idlers whose first driver and last driven gear are the hardest used
    costs nearly that."""
    for lathe in (LATHE, UNKNOWN):
        lathe = replace(lathe, policy=replace(lathe.policy, drive=drive))
        search = TrainSearch(lathe, take_stock(lathe))
        window = search.window(PITCH, ALLOWED, layout.stages)
        costs = Costs(search, ALLOWED, EVERY)
        floor = costs.floor(layout, window)
        least = np.full(len(window), 2**62)
        for order in search.orders(layout, window):
            rows, seats = order.seats(np.arange(len(window)))
            for at, whole in search.with_idlers(layout, seats, 0):
                cost = costs.hung(layout, window.take(rows[at]), whole)
                assert (floor[rows[at]] <= cost).all()
                np.minimum.at(least, rows[at], cost[:, 1])
        hung = least < 2**62
        assert hung.any()
        assert (floor[:, 1] > 0).all()
        assert (floor[:, 5] == sum(map(len, layout.seats))).all()
        assert (floor[:, [4, 6, 7]] == 0).all()
        if layout.stages == 1:
            assert (least[hung] - floor[hung, 1] <= 1).all()


def test_the_least_a_train_costs_beyond_an_error() -> None:
    """A tenth of an allowance of 3 in 10 is 1 of demerits, just beyond it 4; an error of 3 in 100
    is 30 million parts in a thousand million; a train of two stages has four gears at least."""
    costs = Costs(TrainSearch(LATHE, take_stock(LATHE)), ALLOWED, EVERY)
    beyond = ALLOWED / 10
    least = dict(zip(EVERY, costs.least(2, beyond), strict=True))
    assert least == dict.fromkeys(EVERY, 0) | {
        "demerits": 1, "error": 30_000_000, "fine error": pytest.approx(3 * 10**13, rel=1e-11),
        "gears": 4,
    }  # fmt: skip
    assert least["fine error"] <= 3 * 10**13
    assert costs.least(1, beyond + Fraction(1, 10**8))[0] == 4
    assert costs.least(1, Fraction(0))[0] == 1
    assert costs.least(3, None) == tuple(6 if name == "gears" else 0 for name in EVERY)


def test_orders_of_costs() -> None:
    """What is looked for: the nearest, the easiest on teeth, and what a setter would take."""
    ties = ("teeth", "idlers", "kinds", "idler kinds", "levers")
    looked_for = [PLANNED, CLOSEST, EASIEST]
    assert looked_for == [
        ("demerits", "error"),
        ("fine error", "tooth load", "gears", *ties),
        ("tooth load", "fine error", "gears", *ties),
    ]
    rest = ("gears changed", "gears", "box overdriven", "fine error", "tooth share", *ties)
    assert to_set_up() == ("demerits", *rest)
    assert to_set_up(("tooth load", "error")) == ("tooth load", "error", *rest)


@pytest.mark.parametrize("lathe", [LATHE, UNKNOWN])
def test_least_shares_and_loads_are_those_of_the_ends(lathe: Lathe) -> None:
    """Of one driver and one driven gear both are worked out: a lone pair has no other."""
    search = TrainSearch(lathe, take_stock(lathe))
    window = search.window(PITCH, ALLOWED, 1)
    teeth = search.teeth
    least = teeth.least_shares(window.combos, window.setting, idlers=False)
    idled = teeth.least_shares(window.combos, window.setting, idlers=True)
    loads = teeth.least_loads(window.combos, window.setting)
    trains = {train.gears: train for train in oracle.trains(lathe) if len(train.gears) == 2}
    levers = search.settings
    for row, number in enumerate(window.setting.tolist()):
        driver, driven = (
            search.stock.gears[side[row, 0]]
            for side in (window.combos.drivers, window.combos.driven)
        )
        if (driver, driven) not in trains:
            continue
        train = replace(trains[driver, driven], setting=levers[number])
        share = oracle.tooth_share(lathe, train)
        assert least[row] == pytest.approx(share or 0.0, rel=1e-11)
        assert least[row] <= (share or 0.0) * (1 + 1e-15)
        assert idled[row] == (0.0 if lathe is UNKNOWN else least[row])
        assert loads[row] == math.ceil(oracle.tooth_load(train) * 1000) - 1
    assert len(list(islice((x for x in least if x > 0), 9))) > 8


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
@pytest.mark.parametrize("usual", [USUAL, OTHERS], ids=["owned", "not owned"])
def test_gears_are_changed_no_fewer_than_was_said_before_a_train_was_hung(
    usual: Train, layout: Layout
) -> None:
    """Held to the fewest that any way of hanging a combination changes, counted train by train."""
    lathe = replace(LATHE, usual_train=usual)
    search = TrainSearch(lathe, take_stock(lathe))
    window = search.window(PITCH, ALLOWED, layout.stages)
    costs = Costs(search, ALLOWED, ("gears changed",))
    floor = costs.floor(layout, window)[:, 0]
    fewest = np.full(len(window), 99)
    for order in search.orders(layout, window):
        rows, seats = order.seats(np.arange(len(window)))
        for at, whole in search.with_idlers(layout, seats, 0):
            hung = TrainRows.of(search, layout, window.take(rows[at]), whole)
            some = range(0, len(hung), max(1, len(hung) // 40))
            for row in some:
                train = hung.train(row)
                there = dict(zip(layout.places, train.gears, strict=True))
                changed = sum(usual.hung.get(place) != gear for place, gear in there.items())
                combination = rows[at][row]
                fewest[combination] = min(fewest[combination], changed)
    met = fewest < 99
    assert met.any()
    assert (floor[met] <= fewest[met]).all()
    assert costs.least(layout.stages, None)[0] <= floor.min()
    assert floor.max() <= len(layout.places)
    if layout.idlers == usual.layout.idlers:
        assert (floor.min() == 0) == (usual is USUAL)
