"""Signs brought to those of a keyboard, in measures of every kind."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearchest.optimizer.domain.notation import parse_length, parse_pitch
from gearchest.optimizer.domain.typography import plain


@pytest.mark.parametrize(
    ("set_as", "typed"),
    [
        ("1\u00bd\u2033", '1 1/2"'),
        ("1\u20091\u20444 in", "1 1/4 in"),
        ("1\u00b9\u2044\u2082 in", "1 1/2 in"),  # raised and lowered figures
        ("G\u00bd", "g1/2"),
        ("M10\u00a0\u00d7\u202f1,25", "m10 x 1,25"),
        ("1/2''", '1/2"'),
        ("1/2\u2019\u2019 \u201cBSP\u201d", '1/2" "bsp"'),
        ("M8\u22121 \u2014 6H", "m8-1 - 6h"),
        ("\u041c10\u04451", "m10x1"),  # Cyrillic letters
        ("\ufeffM\u200b10\u00ad", "m10"),  # signs that cannot be seen
    ],
)
def test_signs_become_those_of_a_keyboard(set_as: str, typed: str) -> None:
    assert plain(set_as) == typed


@given(st.text(max_size=30))
def test_plain_text_stays_as_it_is(text: str) -> None:
    assert plain(plain(text)) == plain(text)


def test_measures_are_read_in_such_signs() -> None:
    assert parse_pitch("11\u2014\u00bd\u202fTPI").rational == Fraction(254, 115)
    assert parse_length("1\u00a01\u20442''") == Fraction(381, 10)
    assert parse_length("\u200b7,5\u00a0mm") == Fraction(15, 2)
