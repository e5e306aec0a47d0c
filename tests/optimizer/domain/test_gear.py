"""The order gears stand in wherever they are listed."""

from __future__ import annotations

from dataclasses import fields, replace
from fractions import Fraction
from itertools import permutations

from gearchest.optimizer.domain.gear import Gear, Place

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
