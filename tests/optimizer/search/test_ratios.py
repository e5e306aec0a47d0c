"""How far off combinations are, in fractions."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from functools import cache

import numpy as np
import oracle
import pytest
from drawn import MAKING, loose

from gearchest.optimizer.domain.arrays import Ints, Small
from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.search.combine import Combos
from gearchest.optimizer.search.ratios import SLACK, PitchRatios
from gearchest.optimizer.search.trains import PitchWindow, TrainSearch, settings

LATHE = Lathe(
    "bench", mm(3), MAKING, Chest(loose(20, 30, 35, 40, 50, 63, 70)),
    first_driver_turns=(Fraction(1), Fraction(1, 2)),
    gearbox=(("A", Fraction(1)), ("B", Fraction(3, 4))), unmeasured_studs=2,
)  # fmt: skip
STOCK = take_stock(LATHE)
LEVERS = settings(LATHE)
PI = Pitch(Fraction(1), pi=True)


@cache
def every() -> tuple[Combos, Small]:
    """Two over two, with every setting."""
    pairs = [(a, b) for a in range(7) for b in range(a, 7)]
    rows = [(a, b, n) for a in pairs for b in pairs for n in range(4)]
    drivers, driven = (np.array([row[k] for row in rows], dtype=np.int16) for k in (0, 1))
    return Combos(drivers, driven), np.array([row[2] for row in rows], dtype=np.int16)


@cache
def all_turns() -> list[Fraction]:
    return turns(*every())


def turns(combos: Combos, setting: Ints | Small) -> list[Fraction]:
    """Leadscrew turns per spindle turn, in fractions."""
    found = []
    for tops, bottoms, n in zip(combos.drivers, combos.driven, setting, strict=True):
        top, bottom = (math.prod(STOCK.teeth[side].tolist()) for side in (tops, bottoms))
        lever = LEVERS[n]
        found.append(Fraction(top, bottom) * lever.first_driver_turns * lever.gearbox_ratio)
    return found


def test_settings_are_every_lever_with_every_position_of_the_box() -> None:
    half, box = Fraction(1, 2), Fraction(3, 4)
    assert [(s.first_driver_turns, s.gearbox, s.gearbox_ratio) for s in LEVERS] == [
        (1, "A", 1), (1, "B", box), (half, "A", 1), (half, "B", box)
    ]  # fmt: skip
    (plain,) = settings(replace(LATHE, first_driver_turns=(half,), gearbox=()))
    assert (plain.first_driver_turns, plain.gearbox, plain.gearbox_ratio) == (half, None, 1)


FINE = Pitch(Fraction(10**16 + 1, 10**16))
"""Whole numbers of 64 bits do not hold what this takes."""


@pytest.mark.parametrize("screw", [mm(3), tpi(8), PI, FINE])
@pytest.mark.parametrize("wanted", [mm("1.5"), tpi(11), PI, replace(mm("1.5"), starts=3), FINE])
def test_errors_are_those_of_fractions_and_nought_where_there_is_none(
    screw: Pitch, wanted: Pitch
) -> None:
    combos, setting = every()
    errors = PitchRatios(screw, wanted, LEVERS).errors(STOCK, combos, setting)
    pi = (oracle.PI if screw.pi else 1) / (oracle.PI if wanted.pi else Fraction(1))
    lead = screw.rational * screw.starts * pi / (wanted.rational * wanted.starts)
    due = [turn * lead - 1 for turn in all_turns()]
    whole = not (screw.pi or wanted.pi or FINE in (screw, wanted))
    rel, least = (1e-15, 0.0) if whole else (1e-14, 4e-15)
    assert errors.tolist() == pytest.approx([float(e) for e in due], rel=rel, abs=least)
    exact = [abs(error) < SLACK and screw.pi == wanted.pi for error in due]
    assert (errors == 0.0).tolist() == exact
    assert any(exact) or screw != wanted


@pytest.mark.parametrize(
    ("screw", "box"),
    [
        (Fraction(10**17), Fraction(1)),
        (Fraction(1, 10**17), Fraction(1)),
        (Fraction(1), Fraction(10**17)),
        (Fraction(1), Fraction(1, 10**17)),
        (Fraction(2 * 10**15), Fraction(1)),
        (Fraction(1, 2 * 10**15), Fraction(1)),
    ],
)
def test_whole_numbers_that_grow_too_large_do_no_harm(screw: Fraction, box: Fraction) -> None:
    """4,900 over 400 teeth and the other way round; nothing wraps round at 2 to the 63rd."""
    levers = settings(replace(LATHE, gearbox=(("A", Fraction(1)), ("B", box))))
    ratios = PitchRatios(Pitch(screw), mm(1), levers)
    for tops, bottoms in ((6, 0), (0, 6)):
        combos = Combos(np.array([[tops, tops]]), np.array([[bottoms, bottoms]]))
        turns = Fraction(70, 20) ** 2 if tops else Fraction(20, 70) ** 2
        for number in range(4):
            setting = np.array([number], dtype=np.int16)
            lever = levers[number].first_driver_turns * levers[number].gearbox_ratio
            due = float(turns * screw * lever - 1)
            found = ratios.errors(STOCK, combos, setting)
            assert found.tolist() == pytest.approx([due], rel=1e-12)
    none = Combos(np.zeros((0, 2), dtype=np.int16), np.zeros((0, 2), dtype=np.int16))
    assert len(ratios.errors(STOCK, none, np.zeros(0, dtype=np.int16))) == 0


@pytest.mark.parametrize("allowed", [Fraction(0), Fraction(1, 50), Fraction(5, 16)])
@pytest.mark.parametrize("wanted", [mm("1.5"), FINE])
def test_within_is_to_the_last_bit(wanted: Pitch, allowed: Fraction) -> None:
    """At just the allowance is in, a part in ten million million past it is out."""
    combos, setting = every()
    ratios = PitchRatios(LATHE.leadscrew, wanted, LEVERS)
    errors = ratios.errors(STOCK, combos, setting)
    due = [turn * 3 / wanted.rational - 1 for turn in all_turns()]
    for width in (allowed, allowed + Fraction(1, 10**16), allowed - Fraction(1, 10**16)):
        good = ratios.within(STOCK, combos, errors, setting, width)
        assert good.tolist() == [abs(error) <= width for error in due]
    if wanted != FINE:
        assert any(abs(error) == allowed for error in due)


@pytest.mark.parametrize("wanted", [mm("1.5"), PI])
def test_bounds_hold_all_that_err_so_much_and_little_more(wanted: Pitch) -> None:
    """Of 3 mm over 1.5: from 0.9 to 1.1 of 1/2 with neither lever nor box, of 1 with the lever."""
    ratios = PitchRatios(mm(3), wanted, LEVERS)
    one = 1.5 / 3 if wanted == mm("1.5") else math.pi / 3
    of = np.array([one, one / 0.75, one * 2, one * 2 / 0.75])
    tenth, third = Fraction(1, 10), Fraction(1, 3)
    for side, allowed, beyond, least, most in (
        (0, tenth, None, 0.9, 1.1),
        (-1, third, tenth, 2 / 3, 0.9),
        (1, third, tenth, 1.1, 4 / 3),
        (1, third, None, 1.0, 4 / 3),
        (-1, third, None, 2 / 3, 1.0),
        (0, Fraction(3), None, 1e-9, 4.0),
    ):
        low, high = ratios.bounds(allowed, beyond, side)
        assert (low / of).tolist() == pytest.approx([least] * 4, rel=1e-11)
        assert (high / of).tolist() == pytest.approx([most] * 4, rel=1e-11)
        assert (low < least * of * (1 - 5e-13)).all()
        assert (high > most * of * (1 + 5e-13)).all()


def rows(window: PitchWindow) -> list[tuple[object, ...]]:
    combos, setting = window.combos, window.setting.tolist()
    parts = combos.drivers.tolist(), combos.driven.tolist(), setting, window.error.tolist()
    return sorted((tuple(a), tuple(b), n, error) for a, b, n, error in zip(*parts, strict=True))


@pytest.mark.parametrize("wanted", [mm("1.5"), PI])
def test_a_window_is_all_that_err_so_much(wanted: Pitch) -> None:
    """Between two errors, up to one, and the wider one narrowed come to the same; settings follow
    each other; less than nothing allowed leaves nothing."""
    search = TrainSearch(LATHE, STOCK)
    narrow, wide = Fraction(1, 40), Fraction(1, 5)
    whole = search.window(wanted, wide, 2)
    assert (np.diff(whole.setting) >= 0).all()
    assert set(whole.setting.tolist()) == {0, 1, 2, 3}
    pi = 1 / oracle.PI if wanted.pi else Fraction(1)
    due = [turn * 3 * pi / wanted.rational - 1 for turn in turns(whole.combos, whole.setting)]
    assert whole.error.tolist() == pytest.approx([float(error) for error in due], abs=1e-12)
    near, far = search.window(wanted, narrow, 2), search.window(wanted, wide, 2, beyond=narrow)
    assert 0 < len(near) < len(whole)
    assert sorted(rows(near) + rows(far)) == rows(whole)
    assert rows(near) == [row for row in rows(whole) if abs(row[3]) <= float(narrow)]  # type: ignore[arg-type]
    assert (far.error > 0).any()
    assert (far.error < 0).any()
    assert rows(search.narrowed(whole, wanted, narrow)) == rows(near)
    assert (
        len(search.window(wanted, -narrow, 2)) == len(search.narrowed(whole, wanted, -narrow)) == 0
    )
    assert sum(1 for _ in rows(PitchWindow.stack([near, far]))) == len(whole)


def test_every_combination_is_counted_before_any_is_made() -> None:
    """Of seven gears owned once: 7 over 7 and 21 over 21, those that use one gear twice among
    them, with four settings each. With two more on offer, 9 and 36 less what lacks both."""
    search = TrainSearch(LATHE, STOCK)
    assert search.joined(search.halves_of(1), 0, 0) == 4 * 7 * 7
    assert search.joined(search.halves_of(2), 0, 0) == 4 * 21 * 21
    assert search.about(Fraction(1, 100), 2) == pytest.approx(4 * 21 * 21 / 100)
    stock = take_stock(LATHE, [(MAKING.gear(z), 1) for z in (80, 90)])
    more = TrainSearch(LATHE, stock, 2)
    halves = more.halves_of(2)
    assert halves[0].sizes == halves[1].sizes == [21, 14, 1]
    assert more.joined(halves, 0, 0) == 4 * 21 * 21
    assert more.joined(halves, 1, 1) == 4 * 2 * 21 * 14
    assert more.joined(halves, 0, 2) == 4 * (21 * 36 + 14 * 35 + 21)
    assert more.joined(halves, 2, 2) == 4 * (2 * 21 + 14 * 14)
