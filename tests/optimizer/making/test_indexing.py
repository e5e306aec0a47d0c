"""Dividing: every answer turned hole by hole on a model of the head, in exact fractions.

Printed settings: tests/checks/indexing.csv, source and status by row.
"""

import csv
import re
from collections import Counter
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import product
from math import gcd
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.catalogs.index_plates import index_plates
from gearchest.optimizer.domain.lathe import COMMON_HEAD, DividingHead
from gearchest.optimizer.making.divide import (
    compound,
    compound_moves,
    differential,
    divide,
    near_compound,
    nearest,
    plain,
    plate_pairs,
)
from gearchest.optimizer.making.indexing import Indexing
from gearchest.optimizer.making.plate_gears import with_idlers

CHECKS = Path(__file__).parents[2] / "checks"
ROWS = list(csv.DictReader((CHECKS / "indexing.csv").read_text().splitlines()))
CHEST = (20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 65, 80)
COARSE_PLATES = index_plates()[3:]  # the 24 to 66 set, in the checks' second column
HEADS = (
    COMMON_HEAD,
    DividingHead("60:1 head", 60, COMMON_HEAD.circles, COMMON_HEAD.plates),
    DividingHead("90:1 table", 90, (22, 27, 28, 34, 38)),
)


@dataclass
class Head:
    """A dividing head as a mechanism: a worm, a plate behind the crank, two pins.

    Angles are turns. The crank's pin stands in a hole of `circle` while it rests; the plate
    stands still, or is held by its back pin, or is driven by the work through gears.
    """

    ratio: int
    gearing: Fraction = Fraction(0)  # plate turns for a turn of the work, by its gears
    worm: Fraction = Fraction(0)
    plate: Fraction = Fraction(0)
    rests: list[tuple[Fraction, Fraction]] = field(default_factory=list)

    @property
    def work(self) -> Fraction:
        return self.worm / self.ratio

    def rest(self) -> None:
        self.rests.append((self.work, self.worm - self.plate))

    def crank(self, turns: int, circle: int, holes: int) -> None:
        """Pull the pin, swing past `turns` whole turns and `holes` holes of the plate."""
        passed = turns * circle + holes
        for _ in range(abs(passed)):
            self._past_one_hole(Fraction(1 if passed > 0 else -1, circle))

    def _past_one_hole(self, hole: Fraction) -> None:
        """The crank turns until it has passed a hole of the plate, which follows the work."""
        # worm moves w, plate gearing * w / ratio: their difference must become one hole
        moved = hole / (1 - self.gearing / self.ratio)
        self.worm += moved
        self.plate += self.gearing * moved / self.ratio

    def swing_plate(self, circle: int, holes: int) -> None:
        """Pull the back pin, turn plate and crank together past `holes` holes."""
        for _ in range(abs(holes)):
            step = Fraction(1 if holes > 0 else -1, circle)
            self.plate += step
            self.worm += step


def external_gearing(drivers, driven, idlers) -> Fraction:
    """Plate turns for a turn of the work: on the usual head an even number of meshes turns
    the plate with the crank (common practice; the check is of the count, not of the head)."""
    turns = Fraction(1)
    for driver, follower in zip(drivers, driven, strict=True):
        turns *= Fraction(driver, follower)
    meshes = len(drivers) + len(idlers)
    return turns if meshes % 2 == 0 else -turns


def turn_through(way: Indexing) -> Head:
    """Divide the whole circle: one rest for every tooth, and one where it closes."""
    gears = way.gears
    gearing = external_gearing(gears.drivers, gears.driven, gears.idlers) if gears else Fraction(0)
    head = Head(way.head.ratio, gearing)
    head.rest()
    for tooth in range(way.teeth):
        if way.spread:
            circle = way.moves[0].circle
            total = way.head.ratio * circle
            place = [(2 * k * total + way.teeth) // (2 * way.teeth) for k in (tooth, tooth + 1)]
            head.crank(0, circle, place[1] - place[0])
        else:
            head.crank(way.turns, *(_pair(way.moves[0]) if way.moves else (1, 0)))
            if way.method == "compound":
                head.swing_plate(*_pair(way.moves[1]))
        head.rest()
    return head


def _pair(move):
    return move.circle, move.holes


def check(way: Indexing, owned=CHEST) -> None:
    head = turn_through(way)
    stands = [work for work, _ in head.rests]
    assert stands == list(way.positions)
    assert way.exact == (way.method != "none" and stands[-1] == 1)
    if way.method in ("plain", "differential") or way.exact:
        assert stands == [Fraction(k, way.teeth) for k in range(way.teeth + 1)]
        assert way.closure == 0
        assert way.largest_spacing_error == 0
    for circle in (move.circle for move in way.moves):
        assert circle in way.head.circles
    if way.moves and way.method != "compound":  # the pin always finds a hole of its circle
        assert all((rel * way.moves[0].circle).denominator == 1 for _, rel in head.rests)
    if way.method == "compound" and way.head.plates:
        one, other = (move.circle for move in way.moves)
        assert any({one, other} <= set(plate) for plate in way.head.plates)
    if way.gears:
        taken = Counter((*way.gears.drivers, *way.gears.driven, *way.gears.idlers))
        assert taken <= Counter(owned)
        if len(way.gears.drivers) == 1:
            assert way.gears.idlers  # a bare pair does not reach from spindle to plate


@pytest.mark.parametrize("head", HEADS, ids=lambda head: head.name)
def test_every_answer_turns_the_whole_circle(head):
    for teeth in (63, 97, 127, *range(8, 136, 3 if head is COMMON_HEAD else 11)):
        for way in divide(head, teeth, CHEST):
            check(way)


def test_every_differential_answer_turns_the_whole_circle():
    for teeth in range(51, 136, 12):
        for way in differential(COMMON_HEAD, teeth, CHEST, most=8):
            check(way)


@given(
    st.integers(5, 120),
    st.sets(st.integers(5, 70), min_size=1, max_size=6),
    st.integers(2, 200),
    st.lists(st.integers(15, 80), max_size=6),
)
@settings(max_examples=25, deadline=None)
def test_any_head_and_chest(ratio, circles, teeth, chest):
    head = DividingHead("any", ratio, tuple(sorted(circles)))
    for way in divide(head, teeth, chest):
        check(way, chest)


@pytest.mark.parametrize("head", HEADS, ids=lambda head: head.name)
@pytest.mark.parametrize("teeth", [*range(2, 130), 144, 360])
def test_plain_finds_every_circle_and_no_other(head, teeth):
    found = {move.circle for way in plain(head, teeth) for move in way.moves}
    usable = {c for c in head.circles if (head.ratio * c) % teeth == 0}
    assert found == (set() if head.ratio % teeth == 0 else usable)


@pytest.mark.parametrize("teeth", [51, 63, 69, 77, 87, 91, 93, 99, 127, 53])
def test_compound_against_trying_every_pair_of_moves(teeth):
    tried = {
        frozenset({(one, a), (two, b)})
        for one, two in plate_pairs(COMMON_HEAD)
        for a, b in product(range(-one, one + 1), range(-two, two + 1))
        # a/one + b/two - 40/teeth is whole
        if a and b and ((a * two + b * one) * teeth - 40 * one * two) % (one * two * teeth) == 0
    }
    exact = compound(COMMON_HEAD, teeth, most=1000)
    for way in exact:
        moves = {_pair(move) for move in way.moves}
        assert frozenset(moves) in tried
    assert bool(exact) == bool(tried)


@pytest.mark.parametrize("teeth", [127, 53, 97, 113])
def test_near_compound_has_the_least_error_of_all_pairs(teeth):
    found = near_compound(COMMON_HEAD, teeth)
    wanted = Fraction(40, teeth)
    least = min(
        abs(round((wanted - Fraction(b, two)) * one) / Fraction(one) - wanted + Fraction(b, two))
        for pair in plate_pairs(COMMON_HEAD)
        for one, two in (pair, pair[::-1])
        for b in range(-two // 2, two // 2 + 1)
        if b
    )
    assert abs(found.crank - wanted) == least
    assert found.closure == teeth * found.error  # the last space takes up the rest


@pytest.mark.parametrize("teeth", [51, 53, 63, 97, 127])
def test_nearest_is_within_half_a_hole_and_closes(teeth):
    way = nearest(COMMON_HEAD, teeth)
    circle = way.moves[0].circle
    hole = Fraction(1, 40 * circle)
    assert way.closure == 0
    assert max(abs(d) for d in way.deviations) <= hole / 2
    check(way)
    for other in COMMON_HEAD.circles:  # no circle does better
        rivals = replace(way, moves=(replace(way.moves[0], circle=other),))
        assert rivals.largest_spacing_error >= way.largest_spacing_error


def test_127_is_not_plain_on_the_common_plates():
    row = next(r for r in ROWS if r["method"] == "impossible plain")
    assert row["divisions_or_value"] == "127"
    every_circle = tuple(sorted({c for plate in index_plates() for c in plate}))
    assert not plain(COMMON_HEAD, 127)
    assert not plain(DividingHead("all plates", 40, every_circle), 127)
    assert plain(DividingHead("with 127 holes", 40, (127,)), 127)


def test_63_is_compound_exact_on_40_and_plain_on_60():
    row = next(r for r in ROWS if r["method"] == "compound exact")
    assert row["divisions_or_value"] == "63"
    assert not plain(COMMON_HEAD, 63)
    moves = [{_pair(move) for move in way.moves} for way in compound(COMMON_HEAD, 63)]
    assert {(21, 4), (27, 12)} in moves
    sixty = HEADS[1]
    assert [_pair(way.moves[0]) for way in plain(sixty, 63)] == [(21, 20)]


PRINTED_PLAIN = {
    "6": (Fraction(40, 6), {(6, 12, 18), (6, 26, 39)}),
    "15": (Fraction(40, 15), {(2, 18, 27)}),
}


@pytest.mark.parametrize("teeth", PRINTED_PLAIN)
def test_plain_settings_as_printed(teeth):
    row = next(r for r in ROWS if r["method"] == "plain" and r["divisions_or_value"] == teeth)
    assert row["status"] == "SEEN"
    turns, settings_printed = PRINTED_PLAIN[teeth]
    ways = plain(COMMON_HEAD, int(teeth))
    found = {(way.turns, way.moves[0].holes, way.moves[0].circle) for way in ways}
    assert settings_printed <= found
    assert all(way.crank == turns for way in ways)


@pytest.mark.parametrize(
    ("value", "degrees", "turns", "holes", "circle"),
    [("35 deg", Fraction(35), 3, 16, 18), ("54 min", Fraction(54, 60), 0, 2, 20)],
)
def test_angles_as_printed(value, degrees, turns, holes, circle):
    # an angle is a division of the circle into 360/angle parts: 9 degrees a turn at 40:1
    assert any(row["divisions_or_value"] == value for row in ROWS)
    assert degrees / 9 == turns + Fraction(holes, circle)


def angular_rows():
    return [row for row in ROWS if row["method"].startswith("angular table")]


@pytest.mark.parametrize("row", angular_rows(), ids=lambda row: row["setting"])
def test_angular_tables_as_printed(row):
    """The handbook's compound move for a part of a turn is among ours; none of ours is worse."""
    plates = COMMON_HEAD.plates if "B&S" in row["method"] else COARSE_PLATES
    head = DividingHead("handbook", 40, tuple(c for p in plates for c in p), tuple(plates))
    wanted = Fraction(row["divisions_or_value"])
    (a, one), (b, two) = ((int(x), int(y)) for x, y in re.findall(r"(\d+)/(\d+)", row["setting"]))
    sign = -1 if "-" in row["setting"] else 1
    printed = Fraction(a, one) + sign * Fraction(b, two)
    error = abs(printed - wanted)
    assert error < Fraction(1, 20_000)  # the table is to four places
    found = compound_moves(head, wanted, within=error)
    assert found
    assert abs(found[0][0]) <= error
    pairs = [{_pair(move) for move in (crank, plate)} for _, crank, plate in found]
    assert {(one, a), (two, sign * b)} in pairs


@pytest.mark.parametrize("teeth", ["61", "63", "127"])
def test_differential_as_the_textbooks_have_it(teeth):
    """The textbook's setting (approximate number A, ratio 40 (A - N)/A) turns out N teeth."""
    row = next(
        r for r in ROWS if r["method"] == "differential" and r["divisions_or_value"] == teeth
    )
    index, ratio = re.search(r": (\d+/\d+) turn.*?= (-?\d+/\d+)", row["setting"]).groups()
    crank, gearing = Fraction(index), Fraction(ratio)
    head = Head(40, gearing)
    for _ in range(int(teeth)):
        head.crank(0, crank.denominator, crank.numerator)
    assert head.work == 1
    # and ours finds it when the gears for it are in the chest
    gears = (abs(gearing.numerator) * 8, abs(gearing.denominator) * 8, 40, 44)
    ours = differential(COMMON_HEAD, int(teeth), gears, most=50)
    assert (crank, gearing) in {(way.crank, way.gears.plate_turns) for way in ours}


def test_the_common_head_has_the_plates_of_the_handbooks():
    """Three plates for a 40:1 head, as handbooks list them (from memory): 15 to 20; 21 to 33 by
    the odd counts left; 37 to 49."""
    assert COMMON_HEAD.plates == (
        (15, 16, 17, 18, 19, 20),
        (21, 23, 27, 29, 31, 33),
        (37, 39, 41, 43, 47, 49),
    )
    assert COMMON_HEAD.circles == tuple(circle for plate in COMMON_HEAD.plates for circle in plate)


def test_every_printed_row_is_used():
    used = {"plain", "compound exact", "impossible plain", "differential"}
    rest = {row["method"] for row in ROWS} - used
    assert all(method.startswith("angular table") for method in rest)
    assert {r["divisions_or_value"] for r in ROWS if r["method"] == "plain"} == {
        *PRINTED_PLAIN, "35 deg", "54 min",
    }  # fmt: skip


def test_a_plate_on_the_spindle_has_no_worm_to_compound_or_gear():
    direct = DividingHead("direct", 1, (24, 60))
    assert [way.method for way in divide(direct, 127, CHEST)] == ["none"]
    assert {way.method for way in divide(direct, 20, CHEST)} == {"plain"}


def test_the_smaller_error_comes_first():
    for teeth in (53, 127):
        for head in (COMMON_HEAD, DividingHead("few", 40, (15, 16))):
            ways = divide(head, teeth)
            errors = [way.largest_spacing_error for way in ways]
            assert errors == sorted(errors)


@pytest.mark.parametrize("teeth", [61, 63, 127])
def test_a_simple_pair_before_a_compound_one_and_few_gears_before_many(teeth):
    ways = differential(COMMON_HEAD, teeth, CHEST, most=50)
    counts = [
        (
            len(way.gears.drivers),
            sum(map(len, (way.gears.drivers, way.gears.driven, way.gears.idlers))),
        )
        for way in ways
    ]
    assert counts == sorted(counts)
    assert len(set(counts)) > 1


def test_without_gears_enough_there_is_no_differential():
    assert not differential(COMMON_HEAD, 127, (20, 60))  # no idler left
    assert [way.method for way in divide(COMMON_HEAD, 127)] == ["compound", "none"]


def test_circles_of_different_plates_make_no_compound_move():
    apart = DividingHead("apart", 40, (21, 27), ((21,), (27,)))
    assert not compound(apart, 63)
    assert compound(DividingHead("together", 40, (21, 27)), 63)


def test_plain_needs_a_circle_the_divisor_shares():
    # 40/57 needs a multiple of 57 holes: none on the common plates
    assert gcd(40, 57) == 1
    assert not plain(COMMON_HEAD, 57)


def test_the_crank_moves_in_every_differential_and_not_far_from_plain():
    """80/20 turns the plate as a ratio of 4 does: the crank would have nothing to do."""
    low = DividingHead("low", 4, (16,))
    ways = differential(low, 127, (16, 20, 24, 30, 40, 63, 80), most=99)
    assert ways
    for way in ways:
        assert way.moves[0].holes + 16 * way.turns >= 1
        assert abs(way.crank - Fraction(4, 127)) <= Fraction(1, 4) + Fraction(1, 16)


@pytest.mark.parametrize("teeth", [51, 63, 77, 93])
def test_compound_moves_of_few_holes_come_first(teeth):
    every = compound(COMMON_HEAD, teeth, most=1000)
    holes = [sum(abs(move.holes) for move in way.moves) for way in every]
    assert holes == sorted(holes)
    assert compound(COMMON_HEAD, teeth) == every[:3]
    back = compound_moves(COMMON_HEAD, Fraction(4, 63))  # some with the crank against the plate
    assert {crank.holes > 0 for _, crank, _ in back} == {True, False}
    holes = [abs(crank.holes) + abs(plate.holes) for _, crank, plate in back]
    assert holes == sorted(holes)
    for way in every:
        crank, plate = way.moves
        assert 0 < abs(crank.holes) < crank.circle
        assert 0 < abs(plate.holes) <= plate.circle / 2


@pytest.mark.parametrize("teeth", [53, 127])
def test_of_gearings_alike_the_slower_plate_comes_first(teeth):
    ways = differential(COMMON_HEAD, teeth, CHEST, most=50)
    keys = [
        (len(way.gears.drivers), 2 * len(way.gears.drivers) + len(way.gears.idlers),
         abs(way.gears.plate_turns))
        for way in ways
    ]  # fmt: skip
    assert keys == sorted(keys)
    assert len({way.gears for way in ways}) == len(ways)
    assert all(way.crank > 0 for way in ways)


@pytest.mark.parametrize("teeth", [24, 36, 45])
def test_plain_settings_on_large_circles_come_first(teeth):
    sixty = DividingHead("sixty", 60, COMMON_HEAD.circles)
    circles = [way.moves[0].circle for way in plain(sixty, teeth)]
    assert len(circles) > 1
    assert circles == sorted(circles, reverse=True)


def test_idlers_nearest_forty_teeth_are_taken():
    for gears in ((60, 30, 80, 45, 20, 38), (38, 20, 45, 80, 30, 60)):
        geared = with_idlers((30,), (60,), True, gears)
        assert geared is not None
        assert geared.idlers == (38,)
        assert with_idlers((30,), (60,), True, (30, 60, 43, 38)).idlers == (38,)
        assert with_idlers((30,), (60,), False, (30, 60, 37, 42, 80)).idlers == (37, 42)
        assert with_idlers((30,), (60,), False, gears).idlers == (38, 45)


@pytest.mark.parametrize("teeth", [53, 61, 63, 97, 127])
def test_a_gearing_is_told_on_the_largest_circle_that_serves(teeth):
    ways = differential(COMMON_HEAD, teeth, CHEST, most=50)
    assert ways
    for way in ways:
        crank = (40 - way.gears.plate_turns) / teeth
        serve = [circle for circle in COMMON_HEAD.circles if (crank * circle).denominator == 1]
        assert way.crank == crank
        assert way.moves[0].circle == max(serve)


@pytest.mark.parametrize("teeth", [71, 86, 91, 107])
def test_a_compound_move_moves_crank_and_plate_though_one_alone_came_nearer(teeth):
    few = DividingHead("few", 40, (15, 16))
    found = near_compound(few, teeth)
    assert all(move.holes for move in found.moves)
    alone = min(
        abs(Fraction(round(Fraction(40, teeth) * circle), circle) - Fraction(40, teeth))
        for circle in few.circles
    )
    assert alone < abs(found.crank - Fraction(40, teeth))


def test_a_compound_move_off_by_more_than_a_hole_of_the_finest_circle_is_none():
    """Quarters of a turn are the finest that 2 and 4 holes make; 49 stand on a plate alone."""
    head = DividingHead("coarse", 40, (2, 4, 49), ((2, 4), (49,)))
    assert near_compound(head, 9) is None
    assert near_compound(head, 18) is None  # 2 2/9 turns for 2 1/4: 0.028 of a turn, 1/49 is 0.020
    assert [way.method for way in divide(head, 9)] == ["none"]


@pytest.mark.parametrize("head", HEADS, ids=lambda head: head.name)
def test_moves_within_an_error_are_those_of_all_pairs_of_holes_tried(head):
    """The crank within a turn, the plate within half a one: of each pair of circles, whichever of
    the two the crank has, the crank's hole nearest what is left."""
    part, within = Fraction(head.ratio, 97) % 1, Fraction(1, 4000)
    tried = set()
    for pair in plate_pairs(head):
        for one, two in (pair, pair[::-1]):
            for b in (b for b in range(-(two // 2), two // 2 + 1) if b):
                a = round((part - Fraction(b, two)) * one)
                if 0 < abs(a) < one and abs(Fraction(a, one) + Fraction(b, two) - part) <= within:
                    tried.add(frozenset({(one, a), (two, b)}))
    found = compound_moves(head, part, within)
    assert {frozenset(map(_pair, moves)) for _, *moves in found} == tried
    for error, crank, plate in found:
        assert error == crank.turn + plate.turn - part
    assert [abs(error) for error, *_ in found] == sorted(abs(error) for error, *_ in found)


@pytest.mark.parametrize("teeth", [13, 23, 31, 39])
def test_whole_turns_go_before_a_compound_move(teeth):
    found = near_compound(DividingHead("few", 40, (15, 16)), teeth)
    assert found.turns == 40 // teeth
    assert abs(found.crank - Fraction(40, teeth)) <= Fraction(1, 2 * 15 * 16)
    (exact, *_) = compound(DividingHead("far", 96, (21, 27)), 63)
    assert exact.turns == 1
    assert exact.crank == Fraction(96, 63)


@pytest.mark.parametrize(
    "circle", [15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33, 37, 39, 41, 43, 47, 49]
)
def test_each_circle_of_the_common_head_divides_by_itself(circle: int) -> None:
    """Common practice, no source: three plates of six circles go with a 40:1 head. Four times as
    many teeth as a circle has holes take ten of its holes."""
    assert sum(circle in plate for plate in COMMON_HEAD.plates) == 1
    found = [way.moves for way in plain(COMMON_HEAD, 4 * circle)]
    assert [(move.circle, move.holes) for (move,) in found].count((circle, 10)) == 1
