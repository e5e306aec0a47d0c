"""Threads that come in pairs of both hands."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.pitch import MM_PER_INCH, tpi
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.turning.paired import pair_of


def cycle(inches: Fraction, threads: int) -> Thread:
    return Thread("c", tpi(threads), inches * MM_PER_INCH, "cycle", series="cycle")


@pytest.mark.parametrize(
    ("inches", "threads", "word"),
    [
        (Fraction(9, 16), 20, "pedal"),
        (Fraction(1, 2), 20, "pedal"),
        (Fraction(11, 8), 24, "bottom bracket"),
        (Fraction(9, 16), 24, ""),
        (Fraction(11, 8), 20, ""),
        (Fraction(5, 16), 26, ""),
    ],
)
def test_pedals_and_bottom_brackets(inches: Fraction, threads: int, word: str) -> None:
    """ISO 6696, from memory: the left pedal is left-hand, and the cup on the chain's side."""
    said = pair_of(cycle(inches, threads)) or ""
    assert word in said
    assert bool(word) == bool(said)
    assert pair_of(replace(cycle(inches, threads), series="unified-fine")) is None
    assert pair_of(find_size("1/2-20 UNF")) is None
