"""Demerits by the rule's own words, in fractions; tooth shares shaft by shaft."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np
import oracle
import pytest
from drawn import STRENGTH, lathes, loose
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Banjo, Drive, GearMaking, Lathe, Policy, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.combine import Combos
from gearchest.optimizer.search.merit import (
    Merit,
    demerits,
    error_share,
    error_shares,
    many_demerits,
)
from gearchest.optimizer.search.options import LOAD_UNIT
from gearchest.optimizer.search.teeth import Teeth
from gearchest.optimizer.search.trains import settings as lever_settings
from gearchest.optimizer.strength.loads import tooth_share

SHARES = st.fractions(0, 3, max_denominator=400)


@given(tooth=SHARES, error=st.fractions(0, 1, max_denominator=400))
@example(tooth=Fraction(1, 2), error=Fraction(0))
@example(tooth=Fraction(11, 20), error=Fraction(3, 10))
@example(tooth=Fraction(1), error=Fraction(1))
@example(tooth=Fraction(0), error=Fraction(1, 10**12))
def test_demerits_are_what_the_rule_says(tooth: Fraction, error: Fraction) -> None:
    due = oracle.demerits(tooth, error)
    assert demerits(float(tooth), float(error)) == due
    assert many_demerits(np.array([float(tooth)]), np.array([float(error)])).tolist() == [due]


@pytest.mark.parametrize(
    ("tooth", "error", "due"),
    [
        (0.50, 0.0, 0),
        (0.51, 0.0, 1),
        (0.75, 0.0, 25),
        (1.00, 0.0, 100),
        (1.01, 0.0, 121 + 1000),
        (0.31, 0.046, 1),
        (0.20, 1.0, 100),
        (None, 0.5, 25),
        (None, 0.0, 0),
        (None, math.inf, 100_000**2),  # where none is allowed; as from 10,000 allowances on
        (None, 10_000.0, 100_000**2),
        (None, 9_000.0, 90_000**2),
    ],
)
def test_worked_demerits(tooth: float | None, error: float, due: int) -> None:
    assert demerits(tooth, error) == due
    many = many_demerits(np.array([math.nan if tooth is None else tooth]), np.array([error]))
    assert many.tolist() == [due]


@pytest.mark.parametrize(
    ("share", "over"), [(None, False), (1.0, False), (1 + 5e-10, False), (1 + 2e-9, True)]
)
def test_a_tooth_that_carries_what_it_bears_is_not_overloaded(
    share: float | None, over: bool
) -> None:
    assert Merit(Drive.SPINDLE, share, 0.0, 0).overloaded == over


def test_an_allowance_of_nothing_admits_exact_trains_alone() -> None:
    assert error_share(Fraction(0), Fraction(0)) == 0
    assert error_share(Fraction(1, 10**9), Fraction(0)) == math.inf
    for allowed in (Fraction(0), Fraction(-1, 100)):
        assert error_shares(np.array([0.0, -1e-9, 0.5]), allowed).tolist() == [
            0,
            math.inf,
            math.inf,
        ]
    assert (
        error_share(Fraction(1, 400), Fraction(1, 100))
        == error_share(0.0025, Fraction(1, 100))
        == 0.25
    )
    shares = error_shares(np.array([0.0, -0.0025, 0.02]), Fraction(1, 100))
    assert shares.tolist() == pytest.approx([0.0, 0.25, 2.0])


@settings(max_examples=60, deadline=None)
@given(lathe=lathes(), pick=st.randoms(use_true_random=False))
def test_tooth_shares_of_one_train_and_of_many(lathe: Lathe, pick: object) -> None:
    trains = list(oracle.trains(lathe))
    assume(trains)
    agree(lathe, pick.sample(trains, min(len(trains), 40)))  # type: ignore[attr-defined]


@pytest.mark.parametrize("drive", Drive)
def test_shares_of_every_layout_with_soft_and_narrow_gears(drive: Drive) -> None:
    """At module 0.8, through a lever and a box that are both no 1: a soft pair, narrow gears, and
    each gear an idler somewhere."""
    making = GearMaking(Fraction(4, 5), face_width=Fraction(7))
    soft = [replace(making.gear(z), material="nylon") for z in (24, 45)]
    narrow = [replace(making.gear(z), face_width=Fraction(3)) for z in (30, 52)]
    arm = Banjo(80.0137, (Slot(5.0, 150.0),), studs=2)
    lathe = Lathe(
        "mixed", mm(2), making, Chest(loose(*soft, *narrow, making.gear(20), making.gear(60))),
        first_driver_turns=(Fraction(3, 4),), gearbox=(("A", Fraction(2)),), banjo=arm,
        policy=Policy(screw_torque=1.7, cutting_torque=2.3, drive=drive), strength=STRENGTH,
    )  # fmt: skip
    trains = list(oracle.trains(lathe))[::5]
    assert {train.layout for train in trains} == {one for one in LAYOUTS if one.studs <= 2}
    agree(lathe, trains)


def agree(lathe: Lathe, trains: Sequence[Train]) -> None:
    """That a train's share and those of an array are what following the power gives, and the
    least that any order of its gears could have is no more."""
    stock = take_stock(lathe, under_cover=False)
    levers = lever_settings(lathe)
    teeth = Teeth(lathe, stock, levers)
    for train in trains:
        due = oracle.tooth_share(lathe, train)
        one = tooth_share(lathe, train)
        number = np.array([levers.index(train.setting)], dtype=np.int16)
        seats = np.array([[stock.gears.index(gear) for gear in train.gears]], dtype=np.int16)
        many = teeth.shares(train.layout, seats, number)
        assert train.layout in LAYOUTS
        drivers, driven = (
            np.array([sorted(stock.gears.index(g) for g in side)], dtype=np.int16)
            for side in (train.drivers, train.driven)
        )
        idlers = any(train.layout.idlers)
        combos = Combos(drivers, driven)
        least = teeth.least_shares(combos, number, idlers=idlers)[0]
        load = oracle.tooth_load(train) / Fraction(LOAD_UNIT)
        assert abs(teeth.loads(train.layout, seats, number)[0] - load) < Fraction(501, 1000)
        assert teeth.least_loads(combos, number)[0] <= load
        if due is None:
            assert one is None
            assert np.isnan(many[0])
            assert least == 0
        else:
            assert one == pytest.approx(due, rel=1e-12)
            assert many[0] == pytest.approx(due, rel=1e-12)
            assert least <= due * (1 + 1e-12)
