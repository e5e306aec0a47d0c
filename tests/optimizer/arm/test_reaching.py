"""What an arm reaches: by trying every pair of gears, and without trying more than it takes."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest

from gearchest.optimizer.arm import reaching
from gearchest.optimizer.arm.closing import postures
from gearchest.optimizer.arm.geometry import within_slot, within_swing
from gearchest.optimizer.arm.reaching import arm_reach, spans
from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair
from gearchest.optimizer.domain.lathe import Banjo, Slot

CHEST = Chest(tuple((Gear(z, Fraction(4, 5)), 1) for z in range(20, 80, 3)))
BANJO = Banjo(axis_distance=80.0, slots=(Slot(20, 60), Slot(70, 75, angle=30)), swing=(-90, 90))


@pytest.mark.parametrize(
    "banjo",
    [
        BANJO,
        replace(BANJO, swing=(100.0, 120.0)),
        replace(BANJO, swing=(39.5, 40.0)),
        replace(BANJO, slots=(Slot(20, 60), Slot(200, 210))),
        replace(BANJO, slots=(Slot(200, 210),)),
        # The second slot is come to long after the first.
        replace(BANJO, slots=(Slot(20, 30), Slot(55, 60, angle=30))),
        replace(BANJO, slots=(Slot(55, 60), Slot(20, 30, angle=120)), swing=(-10.0, 90.0)),
    ],
)
def test_stopping_early_changes_nothing(banjo: Banjo) -> None:
    standing = [
        posture
        for chain in product(spans(CHEST), repeat=2)
        for posture in postures(banjo, chain)
        if posture.arm_angle is not None
        and all(
            within_slot(banjo.slots[i], t)
            for i, t in zip(posture.slots, posture.positions, strict=True)
        )
    ]
    angles = [posture.arm_angle or 0.0 for posture in standing]
    swings = any(within_swing(banjo, angle) for angle in angles)
    found = arm_reach(banjo, CHEST)
    assert found.slots == {i for posture in standing for i in posture.slots}
    assert found.swings == swings
    assert found.angles == ((min(angles), max(angles)) if angles and not swings else None)
    assert found.complete


def test_a_large_chest_takes_no_longer_than_it_must(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = 0

    def counted(*given: object) -> object:
        nonlocal tried
        tried += 1
        return postures(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(reaching, "postures", counted)
    chest = Chest(tuple((Gear(z, Fraction(4, 5)), 1) for z in range(20, 320)))
    assert arm_reach(BANJO, chest).swings
    assert tried < len(spans(chest)) ** 2 / 10


def test_spans_are_thinned_evenly_from_the_least_to_the_most() -> None:
    every = [float(n) for n in range(100)]
    assert reaching._thinned(every, 12) == [0, 9, 18, 27, 36, 45, 54, 63, 72, 81, 90, 99]
    assert reaching._thinned(every[:12], 12) == every[:12]
    assert [reaching._most_spans(studs) for studs in (2, 3)] == [12, 6]


def test_a_gear_meshes_with_its_like_where_two_are_owned() -> None:
    """Of module 0.8 a 20 and a 30 stand 20 mm apart, two 20s 16 mm; a third 20 adds nothing. Gears
    of another module mesh among themselves, those of a pinned pair with any."""
    small, large = (Gear(z, Fraction(4, 5)) for z in (20, 30))
    fine = Gear(40, Fraction(1, 2))
    assert spans(Chest(((small, 1), (large, 1), (fine, 1)))) == [20.0]
    for count in (2, 3):
        assert spans(Chest(((small, count), (large, 1), (fine, 1)))) == [16.0, 20.0]
    assert spans(Chest(((small, 1), (fine, 2)))) == [20.0]
    pair = PinnedPair(large, fine)
    assert spans(Chest(((small, 1),), (pair,))) == [20.0]
