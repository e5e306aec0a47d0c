"""The order gears stand in wherever they are listed."""

from __future__ import annotations

from dataclasses import fields, replace
from fractions import Fraction
from itertools import permutations

from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair, Place

PLAIN = Gear(40, Fraction(1))
OTHERWISE = {
    "teeth": 41,
    "module": Fraction(5, 4),
    "pressure_angle": Fraction(29, 2),
    "face_width": Fraction(8),
    "material": "brass",
    "places": frozenset({Place.IDLER}),
    "unit": "40/50",
}


def test_the_order_tells_any_two_kinds_apart() -> None:
    assert OTHERWISE.keys() == {field.name for field in fields(Gear)}
    kinds = [PLAIN, *(replace(PLAIN, **{name: value}) for name, value in OTHERWISE.items())]  # type: ignore[arg-type]
    assert all(one.order != other.order for one, other in permutations(kinds, 2))
    wide = replace(PLAIN, face_width=Fraction(10))
    listed = sorted([*kinds, wide], key=lambda gear: gear.order)
    assert all(
        sorted(mixed, key=lambda gear: gear.order) == listed
        for mixed in (listed[::-1], listed[1::2] + listed[::2])
    )


def test_a_gear_whose_width_nobody_knows_stands_before_the_narrowest() -> None:
    narrow = [replace(PLAIN, face_width=Fraction(n, 4)) for n in (1, 4, 5)]
    assert sorted([*narrow[::-1], PLAIN], key=lambda gear: gear.order) == [PLAIN, *narrow]


def test_radii_go_with_the_module() -> None:
    gear = Gear(40, Fraction(3, 2))
    assert (gear.pitch_radius, gear.tip_radius) == (30.0, 31.5)
    assert gear.mesh_class == (Fraction(3, 2), 20)


def test_a_chest_counts_both_gears_of_a_pinned_pair() -> None:
    pair = PinnedPair(PLAIN, replace(PLAIN, teeth=50), 3)
    assert (
        Chest(((PLAIN, 2), (replace(PLAIN, teeth=30), 1)), (pair, replace(pair, count=1))).size
        == 11
    )
