"""Which of all trains is set up: by exact fractions, and alike by the whole numbers of a search."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import numpy as np
import oracle
import pytest
from drawn import MAKING, STRENGTH, loose

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fit, Fits
from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Policy, Slot
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.stock import owned_gears, take_stock
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search.answers import answer, choice_key, nearest_to_fitting, widths
from gearchest.optimizer.search.cells import Cells
from gearchest.optimizer.search.costs import Costs, to_set_up
from gearchest.optimizer.search.own_choice import own_choice
from gearchest.optimizer.search.result import Verdict
from gearchest.optimizer.search.trains import TrainSearch

SOFT = replace(MAKING.gear(30), material="nylon")
LATHE = Lathe(
    "bench", mm(2), MAKING, Chest(loose(20, 30, SOFT, 40, 60)),
    first_driver_turns=(Fraction(1), Fraction(1, 2)),
    gearbox=(("A", Fraction(1)), ("B", Fraction(3, 2))),
    banjo=Banjo(60.0, (Slot(5.0, 200.0),)), policy=Policy(screw_torque=0.9), strength=STRENGTH,
)  # fmt: skip
WANT = Want("a thread", mm(2), Allowance(Fraction(1, 2)))


def test_the_windows_that_trains_are_looked_for_in() -> None:
    """Four times as wide each time, from a two-thousandth, up to a twentieth."""
    twentieth = Fraction(1, 20)
    assert list(widths(Fraction(0))) == [
        Fraction(4, 2000), Fraction(16, 2000), Fraction(64, 2000), twentieth
    ]  # fmt: skip
    assert (
        list(widths(Fraction(-1))) == list(widths(Fraction(1, 2000))) == list(widths(Fraction(0)))
    )
    assert list(widths(Fraction(1, 100))) == [Fraction(1, 25), twentieth]
    assert list(widths(Fraction(1, 80))) == [twentieth]
    assert list(widths(Fraction(49, 1000))) == [twentieth]
    assert list(widths(twentieth)) == list(widths(Fraction(1, 5))) == []


@pytest.mark.parametrize("first", [("demerits",), ("tooth load", "error"), ("error", "demerits")])
@pytest.mark.parametrize("usual", [True, False])
def test_fractions_and_whole_numbers_put_all_trains_in_one_order(
    first: tuple[str, ...], usual: bool
) -> None:
    every = [train for train in oracle.trains(LATHE) if train.layout.idlers in ((0,), (1,), (0, 0))]
    lathe = replace(LATHE, usual_train=every[40] if usual else None)
    search = TrainSearch(lathe, take_stock(lathe))
    costs = Costs(search, WANT.allowance.relative, to_set_up(first))
    rows = Cells.of(search, WANT, WANT.allowance.relative).first(costs, None)
    told = [rows.train(row) for row in range(len(rows))]
    owned = owned_gears(lathe)
    answers = [answer(lathe, WANT, train, owned) for train in told]
    assert len(told) > 60
    assert [
        one.train for one in sorted(answers, key=lambda one: choice_key(lathe, one, first))
    ] == told
    assert len({choice_key(lathe, one, first) for one in answers}) == len(told)


def test_a_key_figure_by_figure() -> None:
    """30/40 on a 2 mm screw with a box of 3/2: 2.25 mm, an eighth too much, a quarter of what is
    allowed: 3 tenths begun, 9 demerits. 1.5 N m from the box on the 40 at 20 mm: 75 N."""
    lathe = replace(LATHE, policy=Policy(screw_torque=0.01), usual_train=None)
    train = next(t for t in oracle.trains(lathe)
                 if [g.teeth for g in t.gears] == [30, 40] and t.gears[0].material == "steel"
                 and t.setting == Setting(Fraction(1), "B", Fraction(3, 2)))  # fmt: skip
    one = answer(lathe, WANT, train, owned_gears(lathe))
    assert (one.error, one.merit.demerits) == (Fraction(1, 8), 9)
    share = oracle.tooth_share(lathe, train)
    assert share is not None
    gears = train.gears
    rest = ((30,), (40,), (), (gears[0].order,), (gears[1].order,), (), 1, "B", 0)
    key = (9, 0, 2, False, Fraction(1, 8), round(share * 1e9), *rest)
    assert choice_key(lathe, one) == key
    loads = choice_key(lathe, one, ("tooth load", "error"))
    assert loads == (75_000, 125_000_000, *key[1:])
    unknown = replace(one, merit=replace(one.merit, tooth_share=None))
    assert choice_key(lathe, unknown)[5] == math.inf
    hung = replace(lathe, usual_train=replace(train, drivers=(MAKING.gear(60),)))
    assert choice_key(hung, one)[1] == 1


@pytest.mark.parametrize(
    ("allowed", "fits", "verdict"),
    [
        (Fraction(1, 8), Fits.YES, Verdict.IN_TOLERANCE),
        (Fraction(1, 8), Fits.UNCHECKED, Verdict.IN_TOLERANCE),
        (Fraction(1, 8), Fits.NO, Verdict.DOES_NOT_FIT),
        (Fraction(1, 9), Fits.YES, Verdict.NO_TRAIN),
    ],
)
def test_the_verdict_of_one_train(allowed: Fraction, fits: Fits, verdict: Verdict) -> None:
    """An eighth off; of another pitch exact, a twentieth and a hair more than a twentieth."""
    train = next(t for t in oracle.trains(LATHE) if [g.teeth for g in t.gears] == [30, 40]
                 and t.setting.gearbox == "B" and t.setting.first_driver_turns == 1)  # fmt: skip
    placed = Fit(fits)
    want = replace(WANT, allowance=Allowance(allowed))
    found = answer(LATHE, want, train, Counter([MAKING.gear(30)]), placed)
    assert (found.verdict, found.fit, found.error) == (verdict, placed, Fraction(1, 8))
    assert found.missing == (
        (MAKING.gear(40),) if train.gears[0].material == "steel" else train.gears
    )
    exact = answer(LATHE, replace(want, pitch=mm("2.25")), train, Counter(), placed)
    assert exact.verdict is (Verdict.DOES_NOT_FIT if fits is Fits.NO else Verdict.EXACT)
    tight = replace(want, allowance=Allowance(Fraction(1, 1000)))
    for pitch, due in (
        (Fraction(45, 21), Verdict.OFF),
        (Fraction(2142857, 10**6), Verdict.NO_TRAIN),
    ):
        off = replace(tight, pitch=replace(mm(1), rational=pitch))
        assert answer(LATHE, off, train, Counter(), placed).verdict is due
    assert answer(LATHE, want, train, Counter()).fit == fit(LATHE, train)


def test_the_nearest_miss_is_that_with_the_fewest_reasons_and_then_the_least_off() -> None:
    train = next(iter(oracle.trains(LATHE)))
    misses = [
        answer(LATHE, WANT, train, Counter(), Fit(Fits.NO, None, ("x",) * count, (), short))
        for count, short in ((2, 0.1), (1, 5.0), (1, 3.0), (3, 0.0))
    ]
    assert nearest_to_fitting(misses) is misses[2]
    assert nearest_to_fitting([]) is None


def test_an_own_choice_takes_the_levers_that_err_least_and_is_never_no_train() -> None:
    """40/20 on 2 mm makes 4 mm, with the lever 2; with the box 6 and 3. For 3.1 mm the last but one
    is nearest; for 10 mm 6 is, and far off as it is it is told."""
    train = next(t for t in oracle.trains(LATHE) if [g.teeth for g in t.gears] == [40, 20])
    levers = [Setting(turns, name, ratio) for turns in LATHE.first_driver_turns
              for name, ratio in LATHE.gearbox]  # fmt: skip
    for pitch, makes, verdict in (
        ("3.1", 3, Verdict.IN_TOLERANCE), ("2", 2, Verdict.EXACT), ("10", 6, Verdict.OFF)
    ):  # fmt: skip
        want = Want("x", mm(pitch), Allowance(Fraction(1, 25)))
        lathe = replace(LATHE, banjo=Banjo(30.0, (Slot(5.0, 200.0),)))
        found = own_choice(lathe, want, train, levers)
        assert 2 * found.train.ratio == makes
        assert found.verdict is verdict
        assert float(found.error) == pytest.approx(makes / float(pitch) - 1)
    assert np.isclose(float(found.error), -0.4)
