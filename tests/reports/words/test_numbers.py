"""Numbers as people read them, against decimal arithmetic."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gearchest.reports.words.numbers import MINUS, percent, significant


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
