"""What people measure, read: pitches worked out by hand."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.threads.measurement import parse_count

INCH = Fraction(127, 5)

COUNTS = {
    (
        10,
        Fraction("15.2"),
    ): "10 threads in 15.2 mm|10 in 15.2 mm|10 threads over 15,2 mm"
    "|10 thr. in 15.2mm"
    "|15.2 mm for 10 threads|15.2 mm / 10|15.2 mm over 10|15.2/10 mm|10 threads = 15.2 mm"
    "|10 pitches measure 15.2 mm|15.2 mm 10 threads|10\u00a0threads in 15.2\u202fmm",
    (11, INCH): '11 in 1 in|11 in an inch|11 threads in 1"|11 in the inch|11 threads in 1 inch',
    (7, INCH / 2): "7 threads in 1/2 in|7 in ½″|1/2 in for 7|7 threads over 0.5 in",
    (Fraction(21, 2), INCH): "10 1/2 threads in 1 in|10.5 in 1 in|10½ in an inch",
}


@pytest.mark.parametrize(
    ("written", "threads", "length"),
    [(text, *said) for said, texts in COUNTS.items() for text in texts.split("|")],
)
def test_a_count_is_read_with_the_error_of_a_rule(
    written: str, threads: Fraction, length: Fraction
) -> None:
    count = parse_count(written)
    assert (count.threads, count.length, count.error) == (threads, length, 0.1)
    assert count.counted
    assert not count.turned
    least, most = count.each
    assert least == pytest.approx((float(length) - 0.1) / float(threads))
    assert most == pytest.approx((float(length) + 0.1) / float(threads))


@pytest.mark.parametrize(
    ("written", "pitch", "error"),
    [
        ("1.5 mm", 1.5, 0.05),
        ("pitch 1.52", 1.52, 0.0152),
        ("pitch 0,81", 0.81, 0.0081),
        ("pitch 1.52 mm", 1.52, 0.0152),  # half a digit is less than a gauge tells: 1 %
        ("p = 1,5 mm", 1.5, 0.05),
        ("20 tpi", 1.27, 1.27 * 0.5 / 20),
        ("20 threads per inch", 1.27, 1.27 * 0.5 / 20),
        ("20 to the inch", 1.27, 1.27 * 0.5 / 20),
        ("11 1/2 tpi", 25.4 / 11.5, 25.4 / 11.5 * 0.25 / 11.5),
        ("16 t.p.i.", 1.5875, 1.5875 * 0.5 / 16),
        ("0.05 in", 1.27, 0.005 * 25.4),
        ("1/20 in", 1.27, 0.0127),
    ],
)
def test_a_pitch_as_read_is_off_by_half_its_last_digit(
    written: str, pitch: float, error: float
) -> None:
    count = parse_count(written)
    assert not count.counted
    assert float(count.length / count.threads) == pytest.approx(pitch)
    assert count.error == pytest.approx(error)


def test_turns_give_the_lead_and_starts_are_kept() -> None:
    five = parse_count("5 turns in 70 mm")
    assert (five.turned, five.threads, five.length) == (True, 5, 70)
    assert parse_count("lead 14 mm").turned
    three = parse_count("3 starts of 2 mm")
    assert (three.starts, three.length, three.turned) == (3, 2, False)


def test_the_error_said_counts() -> None:
    assert parse_count("10 in 15.2 mm", Fraction(1, 2)).error == 0.5
    assert parse_count("20 tpi", Fraction(1, 100)).error == 0.01


@pytest.mark.parametrize(
    ("written", "problem", "fix"),
    [
        ("10 threads in 15.2", "unit is missing", '"15.2 mm"'),
        ("pitch 1.5", "unit is missing", '"1.5 mm"'),
        ("10", "unit is missing", '"10 tpi"'),
        ("10 crests in 15.2 mm", "one thread less", '"9 threads in 15.2 mm"'),
        ("0 in 5 mm", "cannot be counted", "check the number"),
        ("2000 in 5 mm", "cannot be counted", "check the number"),
        ("10 in 0 mm", "greater than zero", "length"),
        ("1 module", "not measured", "some threads"),
        ("a few threads", "cannot be read", '"10 threads in 15.2 mm"'),
        ("", "cannot be read", '"10 threads in 15.2 mm"'),
    ],
)
def test_what_cannot_be_read_gets_its_cure(written: str, problem: str, fix: str) -> None:
    with pytest.raises(NotationError) as refused:
        parse_count(written)
    assert problem in refused.value.problem
    assert fix in refused.value.fix
    assert refused.value.value == written


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet='0123456789 .,/"-inmtpiofhreadsuc½', max_size=30))
def test_any_text_is_a_count_or_refused(written: str) -> None:
    with suppress(NotationError):
        count = parse_count(written)
        assert count.threads > 0
        assert count.length > 0
        assert count.error > 0
