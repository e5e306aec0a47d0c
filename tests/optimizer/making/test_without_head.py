"""Dividing without a head: the work turned tooth by tooth, and every way tried."""

import math
from collections import Counter
from fractions import Fraction
from itertools import permutations

import pytest

from gearchest.optimizer.making.plate_gears import plate_gearings
from gearchest.optimizer.making.without_head import DegreeWheel, gear_dividers

CHEST = (20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 65, 80)


@pytest.mark.parametrize("teeth", range(12, 130))
def test_a_geared_divider_comes_round_exactly(teeth):
    for way in gear_dividers(teeth, CHEST):
        turned = Fraction(0)
        detent = 0
        for _ in range(teeth):
            detent += way.step
            turned = Fraction(detent, way.index)  # turns of the index gear's shaft
            for driver, driven in zip(way.drivers, way.driven, strict=True):
                turned *= Fraction(driver, driven)
        assert turned == 1
        assert Counter((way.index, *way.drivers, *way.driven)) <= Counter(CHEST)


def test_where_none_is_found_none_exists():
    """Every index gear with every simple pair, tried outright."""
    owned = (20, 30, 35, 45)
    for teeth in range(12, 100):
        tried = {
            index
            for index in owned
            if any((index * k) % teeth == 0 for k in (1,)) or index % teeth == 0
        }
        tried |= {
            index
            for index, driver, driven in permutations(owned, 3)
            for step in range(1, index // 2 + 1)
            if Fraction(step, index) * Fraction(driver, driven) == Fraction(1, teeth)
        }
        if tried:
            assert gear_dividers(teeth, owned)
    assert not gear_dividers(127, CHEST)  # a prime no gear of the chest holds


def test_the_simplest_way_comes_first():
    # every other tooth of an 80 makes 40
    way = gear_dividers(40, CHEST)[0]
    assert (way.index, way.step, way.drivers) == (40, 1, ())


def test_degree_wheel_never_adds_up():
    wheel = DegreeWheel(63, Fraction(1, 10))
    assert wheel.settings[0] == 0
    assert wheel.settings[-1] == 360
    assert all(s % Fraction(1, 10) == 0 for s in wheel.settings)
    assert 0 < wheel.largest_error <= Fraction(1, 20)
    assert DegreeWheel(60, Fraction(1)).largest_error == 0


def test_plates_are_geared_with_all_that_is_there_and_no_more():
    """Every ordered pair and every two pairs of the gears tried outright, all four at once too."""
    owned = (20, 25, 40, 40)
    ratios = {Fraction(a, b) for a, b in permutations(owned, 2)}
    ratios |= {Fraction(a * b, c * d) for a, b, c, d in permutations(owned, 4)}
    found = plate_gearings(owned)
    every = {Fraction(a, b) for a in range(65) for b in range(1, 65)} | ratios
    assert {ratio for ratio in every if found.get(ratio)} == ratios
    for ratio in ratios:
        drivers, driven = found.get(ratio) or ((), ())
        assert Counter(drivers + driven) <= Counter(owned)
        assert Fraction(math.prod(drivers), math.prod(driven)) == ratio


def test_of_trains_that_turn_a_plate_alike_the_simplest_is_taken():
    found = plate_gearings((20, 30, 40, 40, 60, 80))
    assert found.get(Fraction(1, 2)) == ((20,), (40,))
    assert found.get(Fraction(3, 8)) == ((30,), (80,))
    assert found.get(Fraction(1, 7)) is None
    assert found.get(Fraction(3, 16)) == ((20, 30), (40, 80))


def test_two_pairs_are_tried_where_one_does_not_do():
    """Six gears, every two pairs and every step tried outright."""
    owned = (21, 24, 33, 36, 40, 55)
    found = 0
    for teeth in range(61, 130):
        tried = {
            (index, step, tuple(sorted((a, b))), tuple(sorted((c, d))))
            for index, a, b, c, d in permutations(owned, 5)
            if (index * c * d) % (teeth * a * b) == 0
            and 0 < (step := index * c * d // (teeth * a * b)) <= index // 2
        }
        ways = gear_dividers(teeth, owned, most=1000)
        if tried and not any(len(way.drivers) < 2 for way in ways):
            found += 1
            assert {(w.index, w.step, w.drivers, w.driven) for w in ways} == tried
    assert found
