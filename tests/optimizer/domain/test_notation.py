"""Pitch notation: values worked out by hand from 25.4 mm to the inch."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.lathe import Banjo, Slot, one_of_several
from gearchest.optimizer.domain.notation import (
    NotationError,
    parse_distance,
    parse_length,
    parse_number,
    parse_pitch,
    parse_ratio,
    parse_speed,
    parse_tolerance,
)
from gearchest.optimizer.domain.pitch import Pitch, format_fraction


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        ("1.25 mm", Fraction(5, 4)),
        ("1,25 mm", Fraction(5, 4)),
        ("5/4 mm", Fraction(5, 4)),
        ("1.25MM", Fraction(5, 4)),
        ("8 tpi", Fraction(254, 80)),
        ("11.5 tpi", Fraction(254, 115)),
        ("11 1/2 tpi", Fraction(254, 115)),
        ("11-1/2 tpi", Fraction(254, 115)),
        ("11\u20131/2 TPI", Fraction(254, 115)),  # en dash, as pasted from a book
        ("11 - 1 / 2 tpi", Fraction(254, 115)),
        ("11\u00bd tpi", Fraction(254, 115)),
        ("8 threads per inch", Fraction(254, 80)),
        ("8 Threads/Inch", Fraction(254, 80)),
        ("8 t.p.i.", Fraction(254, 80)),
        ("1.25 mm pitch", Fraction(5, 4)),
        ("0.2 in", Fraction(508, 100)),
        ("1/5 in", Fraction(508, 100)),
        ("1 1/2 in", Fraction(381, 10)),
        ("0.2 inch", Fraction(508, 100)),
        ("0.2 inches", Fraction(508, 100)),
        ('1/5"', Fraction(508, 100)),
        ("8 thread per inch", Fraction(254, 80)),
        ("8 tpi.", Fraction(254, 80)),
    ],
)
def test_pitch_is_exact(written: str, mm: Fraction) -> None:
    pitch = parse_pitch(written)
    assert (pitch.rational, pitch.pi, pitch.starts) == (mm, False, 1)
    assert pitch.written == written


@pytest.mark.parametrize(
    ("written", "rational"), [("0.8 module", Fraction(4, 5)), ("20 dp", Fraction(127, 100))]
)
def test_worm_pitch_keeps_pi_apart(written: str, rational: Fraction) -> None:
    pitch = parse_pitch(written)
    assert pitch.pi
    assert pitch.rational == rational


@pytest.mark.parametrize("written", ["3 starts of 2 mm", "3startsof2mm", "3 STARTS OF 2 mm"])
def test_starts_multiply_into_the_lead(written: str) -> None:
    pitch = parse_pitch(written)
    assert (pitch.rational, pitch.starts, pitch.lead.rational) == (2, 3, 6)


@pytest.mark.parametrize(
    "written",
    ["", "8", "11-1/2", "1.25", "0 mm", "1/0 mm", "-2 mm", "1 2 mm", "1,250.5 mm", "1e3 mm",
     "nan mm", "8 furlongs", "0 starts of 2 mm", "1/2 starts of 2 mm", "99999 mm",
     "3 starts of 3 starts of 2 mm", "0.0001 mm", "1234567890 mm", "\u0663 mm"],
)  # fmt: skip
def test_what_is_no_pitch_is_refused_with_the_fix(written: str) -> None:
    with pytest.raises(NotationError) as caught:
        parse_pitch(written)
    assert caught.value.value.strip() in written or written in caught.value.value
    assert caught.value.allowed
    assert caught.value.fix


def test_a_bare_number_names_the_units() -> None:
    with pytest.raises(NotationError) as caught:
        parse_pitch("8")
    assert all(unit in caught.value.allowed for unit in ("mm", "tpi", "in", "module", "dp"))
    assert '"8 tpi"' in caught.value.fix


def test_lengths() -> None:
    assert parse_length("50 mm") == 50
    assert parse_length("3/4 in") == Fraction(1905, 100)
    for written in ("2.5 in", "2.5 inch", "2,5 inches", '2.5"', "2 1/2″", "6.35 cm", "2500 thou"):
        assert parse_length(written) == Fraction(635, 10), written
    with pytest.raises(NotationError):
        parse_length("8 tpi")


@pytest.mark.parametrize(
    ("written", "relative"),
    [
        ("0.4 %", Fraction(4, 1000)),
        ("0,4%", Fraction(4, 1000)),
        ("500 ppm", Fraction(5, 10_000)),
        ("0.05 mm/300 mm", Fraction(1, 6000)),
        ("0.001 in / 12 in", Fraction(1, 12_000)),
        ("0 %", Fraction(0)),
    ],
)
def test_tolerances(written: str, relative: Fraction) -> None:
    assert parse_tolerance(written) == relative


@pytest.mark.parametrize("written", ["0.4", "1/2", "5 mm", "100 %", "0.05 mm/0 mm", "0.1 mm/9 %"])
def test_what_is_no_tolerance_is_refused(written: str) -> None:
    with pytest.raises(NotationError):
        parse_tolerance(written)


def test_ratios_and_numbers() -> None:
    assert (parse_ratio("1/2"), parse_ratio("1,5"), parse_ratio("2")) == (
        Fraction(1, 2),
        Fraction(3, 2),
        2,
    )
    assert (parse_number("-1,5"), parse_number("3")) == (Fraction(-3, 2), 3)
    for wrong in ("0", "-1", "2:1", "x"):
        with pytest.raises(NotationError):
            parse_ratio(wrong)


def test_cutting_speeds() -> None:
    """A foot is 0.3048 m exactly."""
    assert (parse_speed("10 m/min"), parse_speed("7,5 m / min")) == (10, 7.5)
    assert parse_speed("100 ft/min") == pytest.approx(30.48)
    for wrong in ("10", "10 m", "10 m/s", "0 m/min", "9999 m/min", "fast"):
        with pytest.raises(NotationError):
            parse_speed(wrong)


@given(st.fractions(Fraction(1, 100), 200, max_denominator=999))
def test_any_fraction_of_a_millimetre_reads_back(value: Fraction) -> None:
    assert parse_pitch(f"{value} mm").rational == value


@settings(max_examples=200)
@given(st.text('0123456789.,/-+ eE%"\u00bdmintpdulosarf\u0663\x00', max_size=20))
def test_any_text_is_read_or_refused(text: str) -> None:
    for parse in (
        parse_pitch,
        parse_distance,
        parse_length,
        parse_tolerance,
        parse_ratio,
        parse_number,
        parse_speed,
    ):
        with contextlib.suppress(NotationError):
            parse(text)


@pytest.mark.parametrize(
    ("written", "inch"),
    [
        ("8 tpi", True), ("1/8 in", True), ("1/8 inch", True), ('1/8"', True), ("1/8\u2033", True),
        ("20 dp", True), ("2 starts of 8 tpi", True), ("3.175 mm", False), ("1 module", False),
        ("2 starts of 3 mm", False),
    ],
)  # fmt: skip
def test_a_pitch_knows_its_unit_which_takes_no_part_in_equality(written: str, inch: bool) -> None:
    pitch = parse_pitch(written)
    assert pitch.inch is pitch.lead.inch is inch
    assert pitch == replace(pitch, inch=not inch)


@pytest.mark.parametrize(
    ("written", "bare", "mm"),
    [
        ("7 1/4 in", 1, "184.15"), ('7 1/4"', 1, "184.15"), ("7.25 inches", 1, "184.15"),
        ("184 mm", None, "184"), ("18.4 cm", 1, "184"), ("18,4cm", 1, "184"), ("184", 1, "184"),
        ("7 1/4", "25.4", "184.15"), ("7,25", "25.4", "184.15"), ("18.4", 10, "184"),
        ("-5 mm", 1, "-5"), ("\u22120.5 in", 1, "-12.7"), ("0", 1, "0"), ("20 thou", 1, "0.508"),
    ],
)  # fmt: skip
def test_distances_by_hand(written: str, bare: str | int | None, mm: str) -> None:
    counted = None if bare is None else Fraction(bare)
    assert parse_distance(written, counted) == Fraction(mm)


def test_a_fraction_of_mm_is_asked_about() -> None:
    with pytest.raises(NotationError) as caught:
        parse_distance("4 5/16", Fraction(1))
    assert caught.value.fix == 'write "4 5/16 in"'
    with pytest.raises(NotationError) as caught:
        parse_distance("184")
    assert '"184 mm" or "184 in"' in caught.value.fix


@pytest.mark.parametrize(
    ("rational", "starts", "said"), [(0, 1, "greater than zero"), (-1, 1, "greater than zero"),
                                     (1, 0, "at least one start")]
)  # fmt: skip
def test_no_pitch_is_nothing(rational: int, starts: int, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Pitch(Fraction(rational), starts=starts)


def test_things_of_a_kind_are_counted_from_the_first() -> None:
    named = [one_of_several("slot", number) for number in range(6)]
    assert named == ["the first slot", "the second slot", "the third slot", "the fourth slot",
                     "slot 5", "slot 6"]  # fmt: skip


def test_a_slot_is_told_by_its_number_only_where_there_are_several() -> None:
    slot = Slot(10, 100)
    assert Banjo(100.0, (slot,)).slot_name(0) == "the slot"
    several = Banjo(100.0, (slot, slot))
    assert [several.slot_name(number) for number in (0, 1)] == ["the first slot", "the second slot"]


def test_two_units_are_offered_for_a_number_without_one() -> None:
    for parse, fix in (
        (parse_pitch, 'write "8 mm" or "8 tpi", whichever is meant'),
        (parse_length, 'write "8 mm" or "8 in", whichever is meant'),
        (parse_tolerance, 'write "8 %" or "8 ppm", whichever is meant'),
    ):
        with pytest.raises(NotationError) as caught:
            parse("8")
        assert caught.value.fix == fix


def test_units_that_are_known_are_named_each_once() -> None:
    for parse, known in (
        (parse_pitch, "mm, tpi, in, module, dp"), (parse_length, "mm, in, cm, thou"),
        (parse_tolerance, "%, ppm"),
    ):  # fmt: skip
        with pytest.raises(NotationError) as caught:
            parse("8 furlongs")
        assert caught.value.fix == f"use one of {known}"
        assert caught.value.problem == 'the unit "furlongs" is not known here'


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("0.0009 mm", None), ("0.001 mm", "1/1000"), ("10000 mm", "10000"), ("10000.1 mm", None),
        ("2 starts of 5000 mm", "5000"), ("2 starts of 5001 mm", None),
        ("100 starts of 1 mm", "1"), ("101 starts of 1 mm", None), ("1 start of 2 mm", "2"),
        ("000000003 starts of 2 mm", "2"), ("1234567890 starts of 2 mm", None),
        ("123456789 mm", None), ("1.23456789 mm", "1.23456789"), ("1.234567890 mm", None),
    ],
)  # fmt: skip
def test_what_a_pitch_can_be(written: str, read: str | None) -> None:
    """0.001 mm at least, a lead of 10 m at most, a hundred starts, nine digits."""
    if read is None:
        with pytest.raises(NotationError):
            parse_pitch(written)
    else:
        assert parse_pitch(written).rational == Fraction(read)


@pytest.mark.parametrize(
    ("written", "read"),
    [("0.5 m/min", 0.5), ("1000 m/min", 1000), ("1000.1 m/min", None), ("1 ft/min", 0.3048)],
)
def test_cutting_speeds_end_at_a_kilometre_a_minute(written: str, read: float | None) -> None:
    if read is None:
        with pytest.raises(NotationError, match="at such a speed"):
            parse_speed(written)
    else:
        assert parse_speed(written) == pytest.approx(read)


@pytest.mark.parametrize(
    ("value", "told"),
    [("1/1000000", "0.000001"), ("1/10000000", "1/10000000"), ("5/4", "1.25"), ("1/3", "1/3"),
     ("-5/4", "-1.25"), ("20", "20"), ("100", "100"), ("0", "0")],
)  # fmt: skip
def test_fractions_are_told_as_decimals_of_six_places_where_they_are_such(
    value: str, told: str
) -> None:
    assert format_fraction(Fraction(value)) == told
