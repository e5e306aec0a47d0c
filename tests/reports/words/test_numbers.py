"""Numbers as people read them, some against decimal arithmetic."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction

import pytest
import report_samples as samples
from hypothesis import example, given
from hypothesis import strategies as st

from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.reports.words.numbers import (
    MINUS,
    NARROW_SPACE,
    allowance,
    error,
    inch_first,
    percent,
    pitch_pair,
    significant,
)


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (0.0123, 3, "0.0123"), (9.996, 3, "10.0"), (0.09996, 3, "0.100"), (999.6, 3, "1000"),
        (0.63, 3, "0.630"), (12345, 3, "12345"), (0, 3, "0"), (-0.0123, 2, f"{MINUS}0.012"),
        (1, 3, "1.00"), (1e-7, 2, "0.00000010"),
    ],
)  # fmt: skip
def test_significant_digits_worked_by_hand(value: float, digits: int, text: str) -> None:
    assert significant(value, digits) == text


@given(
    st.floats(-1e9, 1e9).filter(lambda value: value == 0 or abs(value) > 1e-12), st.integers(1, 6)
)
@example(9.996, 3)
@example(0.5, 1)
@example(2.5, 1)
@example(99.5, 2)
@example(999999.5, 6)
def test_significant_digits_are_those_of_decimal_arithmetic(value: float, digits: int) -> None:
    """The float's exact value, rounded half to even to so many digits; whole figures in full."""
    exact = Decimal(value)
    rounded = Context(prec=digits, rounding=ROUND_HALF_EVEN).plus(exact)
    unit = min(Decimal(1), Decimal((0, (1,), rounded.adjusted() - digits + 1)))
    wanted = Context(prec=50, rounding=ROUND_HALF_EVEN).quantize(exact, unit)
    text = significant(value, digits).replace(MINUS, "-")
    assert Decimal(text) == wanted
    if value and abs(wanted) < 10**digits:
        assert len(Decimal(text).as_tuple().digits) == digits
    assert "e" not in text.lower()


def test_a_small_share_keeps_its_digits() -> None:
    assert percent(0.000123).replace("\u202f", " ") == "0.012 %"


READ = {"%": Fraction(1, 100), "ppm": Fraction(1, 1_000_000)}


def read(text: str) -> Fraction:
    """The share that a reader takes from a text."""
    number, sign = text.strip(f"+{MINUS}±").split(NARROW_SPACE)
    past = Fraction(number.startswith(">"), 10**30)  # more than, by less than floats can tell
    return Fraction(number.lstrip(">").replace("<1", "0")) * READ[sign] + past


SHARES = st.fractions(Fraction(1, 10**7), Fraction(1, 20), max_denominator=10**9)


NEAR = st.fractions(-1, 1, max_denominator=1000), st.integers(0, 9)
"""How far past an allowance, as a share of it."""


@given(SHARES, st.builds(lambda share, power: share / 10**power, *NEAR))
@example(Fraction(1, 1000), Fraction(1, 10**8))
@example(Fraction(1096, 10**6), Fraction(1, 1000))
@example(Fraction(999, 10**6), Fraction(1, 1000))
@example(Fraction(1, 1000), Fraction(0))
@example(Fraction(1, 10**7), Fraction(1, 21 * 10**9))
def test_an_error_is_never_on_the_wrong_side_of_its_allowance(
    allowed: Fraction, past: Fraction
) -> None:
    """Read off the page, an error beyond the allowance is more than it, any other is not."""
    off = allowed * (1 + past)
    limit = read(allowance(allowed))
    assert 0 < limit <= allowed
    for value in (off, -off):
        if value:
            assert (read(error(value, allowed)) > limit) == (off > allowed)


def test_an_error_has_no_more_decimals_than_it_takes() -> None:
    allowed = Fraction(1, 1000)
    shown = [error(allowed * Fraction(n), allowed) for n in ("1", "1.2", "1.002", "-1.00002")]
    assert [text.replace(NARROW_SPACE, " ") for text in shown] == [
        "+0.10 %", "+0.12 %", "+0.1002 %", f"{MINUS}0.100002 %",
    ]  # fmt: skip
    assert error(1e-6, 0) == f"+1{NARROW_SPACE}ppm"


def test_more_than_all_of_a_share_is_never_100_percent() -> None:
    assert [percent(share).replace(NARROW_SPACE, " ") for share in (0.999, 1, 1.002, 1.2)] == [
        "100 %", "100 %", "100.2 %", "120 %",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(0), "no error"),
        (Fraction(1, 8000), "+125 ppm"),
        (-0.000874, "−874 ppm"),
        (Fraction(-1, 100), "−1.00 %"),
        (1e-9, "+<1 ppm"),
    ],
)
def test_errors_are_written_in_ppm_or_per_cent(value: Fraction | float, text: str) -> None:
    assert error(value).replace("\u202f", " ") == text


@pytest.mark.parametrize(
    ("pitch", "inch", "first", "second"),
    [
        (mm(1), False, "1 mm", "25.4 tpi"),
        (tpi(8), True, "8 tpi", "3.175 mm"),
        (tpi(Fraction(23, 2)), True, "11.5 tpi", "2.2087 mm"),
        (mm("0.7"), True, "36.29 tpi", "0.7 mm"),
        (Pitch(Fraction(1), pi=True), False, "3.1416 mm", "8.085 tpi"),
    ],
)
def test_pitches_stand_in_the_lathes_unit_first(
    pitch: Pitch, inch: bool, first: str, second: str
) -> None:
    pair = pitch_pair(pitch, inch=inch)
    assert tuple(text.replace("\u202f", " ") for text in pair) == (first, second)
    lathe = samples.mini_lathe(leadscrew=tpi(8))
    assert inch_first(lathe)
    assert not inch_first(samples.mini_lathe(leadscrew=mm("1.5")))
    assert not inch_first(samples.mini_lathe(leadscrew=mm("3.175")))  # as the file says
