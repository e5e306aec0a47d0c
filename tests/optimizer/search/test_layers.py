"""Options however few are made, placed and tried at a time, against every train there is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache

import oracle
import pytest
from drawn import MAKING, STRENGTH, loose

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Chest, Gear, Place
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Policy, Slot
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search import cells, layers, placing, ranking, search
from gearchest.optimizer.search.costs import PLANNED
from gearchest.optimizer.search.options import OptionTable
from gearchest.optimizer.search.search import find_options

ONE = Lathe(
    "one stud", mm(2), MAKING, Chest(loose(20, 30, 45, 60)), banjo=Banjo(56.0, (Slot(5.0, 41.0),)),
    policy=Policy(screw_torque=4.0), strength=STRENGTH,
    first_driver_turns=(Fraction(1), Fraction(1, 2)),
)  # fmt: skip
TWO = replace(
    ONE, name="two studs", chest=Chest(loose(20, 30, 45)), first_driver_turns=(Fraction(1),),
    banjo=Banjo(64.0, (Slot(5.0, 70.0), Slot(5.0, 60.0, 70.0)), studs=2), right_hand_meshes=1,
)  # fmt: skip
BARE = replace(ONE, name="not measured", banjo=None, unmeasured_studs=2, right_hand_meshes=0)
SCREW_OR_STUD = replace(MAKING.gear(50), places=frozenset({Place.SCREW, Place.STUD}))
OFFERED: tuple[tuple[Gear, int | None], ...] = (
    (MAKING.gear(20), 1), (MAKING.gear(36), None), (SCREW_OR_STUD, 1)
)  # fmt: skip
WANTS = [
    Want("wide", mm("2.2"), Allowance(Fraction(1, 5))),
    Want("narrow", mm("1.31"), Allowance(Fraction(1, 60))),
    Want("exact", mm(3), Allowance(Fraction(0))),
    Want("left", mm("1.31"), Allowance(Fraction(1, 25)), left=True),
    Want("a pair", Pitch(Fraction(2, 3)), Allowance(Fraction(1, 1000))),
    Want("never", mm("1.31"), Allowance(Fraction(-1, 100))),
    Want("wide too", mm("1.31"), Allowance(Fraction(1, 12))),
]
Option = tuple[tuple[Gear, ...], tuple[int, ...]]


@cache
def trains(lathe: Lathe, most: int, left: bool) -> list[tuple[Train, bool]]:
    """Every train, and whether it fits."""
    return [(train, fit(lathe, train).fits is not Fits.NO)
            for train in oracle.trains(lathe, OFFERED, most, left=left)]  # fmt: skip


@cache
def due(lathe: Lathe, number: int, most: int, order: tuple[str, ...]) -> set[Option]:
    """Those that no other beats: that lacks a part of its gears at no more cost."""
    want, every = WANTS[number], set()
    for train, fits in trains(lathe, most, want.left):
        error = abs(oracle.error(lathe, train, want.pitch))
        if error > want.allowance.relative or not fits:
            continue
        share = oracle.tooth_share(lathe, train)
        off = error / want.allowance.relative if error else Fraction(0)
        costs = {
            "demerits": oracle.demerits(share, off),
            "tooth load": round(oracle.tooth_load(train) * 1000),
            "error": round(error * 10**9),
        }
        every.add((oracle.missing(lathe, train), tuple(costs[name] for name in order)))
    return {a for a in every if not any(
        b != a and b[1] <= a[1] and not Counter(b[0]) - Counter(a[0]) for b in every)}  # fmt: skip


def found(table: OptionTable, number: int, order: tuple[str, ...]) -> list[Option]:
    of = {"demerits": 0, "tooth load": 1, "error": 2}
    options = table.wants[number]
    return [
        (tuple(table.candidates[c] for c in lacks if c >= 0), tuple(costs[of[n]] for n in order))
        for lacks, costs in zip(options.missing.tolist(), options.costs.tolist(), strict=True)
    ]


def as_it_is(_: pytest.MonkeyPatch) -> None:
    """Nothing changed."""


def a_few_at_a_time(patch: pytest.MonkeyPatch) -> None:
    """Layers of some combinations, batches of two, idlers tried with one combination first."""
    patch.setattr(cells, "_MANY", 5)
    patch.setattr(layers, "_MANY", 6)
    patch.setattr(search, "FEW", -1)
    patch.setattr(placing, "_AT_ONCE", 2)
    patch.setattr(placing, "_FIRST_IDLED", 1)
    patch.setattr(ranking, "_FIRST", 2)
    patch.setattr(ranking, "_MANY", 3)


def in_layers(patch: pytest.MonkeyPatch) -> None:
    """Layers, each nearly whole."""
    patch.setattr(layers, "_MANY", 60)
    patch.setattr(search, "FEW", -1)


def one_gear_out(patch: pytest.MonkeyPatch) -> None:
    """Layers from which a gear goes as soon as it is of no use."""
    patch.setattr(layers, "_MANY", 20)
    patch.setattr(layers, "_WORTH", 1.1)
    patch.setattr(search, "FEW", 20)


@pytest.mark.parametrize("order", [PLANNED, ("tooth load", "error")], ids=["merit", "load"])
@pytest.mark.parametrize("lathe", [ONE, TWO, BARE], ids=lambda lathe: lathe.name)
@pytest.mark.parametrize("most", [0, 1, 2])
@pytest.mark.parametrize("so", [as_it_is, a_few_at_a_time, in_layers, one_gear_out])
def test_options_are_all_that_none_beats(
    monkeypatch: pytest.MonkeyPatch, so: Callable[[pytest.MonkeyPatch], None],
    lathe: Lathe, most: int, order: tuple[str, ...],
) -> None:  # fmt: skip
    so(monkeypatch)
    table = find_options(lathe, WANTS, OFFERED, most, order=order, workers=1)
    count = 0
    for number, want in enumerate(WANTS):
        options = found(table, number, order)
        count += len(options)
        assert len(options) == len(set(options))
        assert set(options) == due(lathe, number, most, order)
        assert [cost for _, cost in options] == sorted(cost for _, cost in options)
        for row, (lacks, _) in enumerate(options):
            train = table.wants[number].train(row)
            assert oracle.missing(lathe, train) == lacks
            assert abs(oracle.error(lathe, train, want.pitch)) <= want.allowance.relative
            assert fit(lathe, train).fits is not Fits.NO
    assert count > 2 * most
