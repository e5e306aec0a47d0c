"""How likely threads are beside each other, against densities added up over grids.

The numbers are those the method states: one count in twenty slips by half a thread, one leaf of a
gauge by a tenth; one thread in five is worn; several starts are met a tenth as often as one.
"""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from statistics import NormalDist

import numpy as np
import pytest

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.crests import crests, worn_by
from gearchest.optimizer.threads.identify import Catalogued, identify
from gearchest.optimizer.threads.measurement import Measured, parse_count


def ratio(measured: Measured, one: Catalogued, other: Catalogued) -> float:
    """How much likelier the one is than the other."""
    found = {each.known: each.likelihood for each in identify(measured, (one, other)).candidates}
    return found[one] / found[other]


def catalogued(size: str) -> Catalogued:
    return Catalogued(find_size(size), (size,))


def along(length: float, error: float, expected: float, slip: float) -> float:
    """A length measured, of a thread whose own lead errs by a thousandth at most."""
    spread = math.hypot(error, length / 1000) / 2
    sound = NormalDist(expected, spread).pdf(length)
    return 0.95 * sound + 0.05 * NormalDist(expected, math.hypot(spread, slip)).pdf(length)


def across(diameter: float, off: float, thread: Thread, *, inside: bool) -> float:
    """A diameter measured, `off` at most: crests alike anywhere as made, one in five worn by a
    half-normal loss."""
    made = crests(thread, inside=inside)
    assert made is not None
    error = NormalDist(0, off / 2)
    wear = NormalDist(0, worn_by(thread.pitch.mm))
    steps = (np.arange(2000) + 0.5) / 2000
    made_at = made.least + (made.most - made.least) * steps
    sound = np.mean([error.pdf(diameter - at) for at in made_at])
    lost = steps * wear.stdev * 6
    edge, way = (made.most, 1) if inside else (made.least, -1)
    worn = sum(2 * wear.pdf(x) * error.pdf(diameter - edge - way * x) for x in lost)
    return float(0.8 * sound + 0.2 * worn * wear.stdev * 6 / len(steps))


@pytest.mark.parametrize(
    ("inside", "diameter", "error"),
    [
        (False, "23.6", 0.05), (False, "23.9", 0.05), (False, "23.3", 0.05),
        (True, "22.3", 0.05), (True, "22.8", 0.05),
        (False, "23.6", 0.6), (False, "23.9", 0.6), (False, "24.3", 0.6), (True, "22.8", 0.6),
    ],
)  # fmt: skip
def test_crests_as_made_and_worn(inside: bool, diameter: str, error: float) -> None:
    """M24x2 and M24x1.5 wear unlike, and 17.4 mm is as far from ten threads of either."""
    one, other = catalogued("M24x2"), catalogued("M24x1.5")
    read = Measured(parse_count("10 in 17.4 mm"), Fraction(diameter), error, inside)
    expected = 1.0
    for each, way in ((one, 1), (other, -1)):
        pitch = each.thread.pitch.mm
        density = along(17.4, 0.1, 10 * pitch, pitch / 2)
        density *= across(float(diameter), error, each.thread, inside=inside)
        expected *= density**way
    assert ratio(read, one, other) == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize(
    ("read", "slip"), [("10 in 15 mm", 0.5), ("10 in 15.2 mm", 0.5), ("1.58 mm", 0.1)]
)
def test_a_count_slips_by_half_a_thread_and_a_gauge_by_a_tenth(read: str, slip: float) -> None:
    """M10 beside a thread of 1.65 mm; no diameter was measured."""
    one, other = catalogued("M10"), Catalogued(Thread("a", mm("1.65"), Fraction(10), "iso"), ("a",))
    count = parse_count(read)
    sides = [
        along(float(count.length), count.error, float(count.threads) * pitch, slip * pitch)
        for pitch in (1.5, 1.65)
    ]
    assert ratio(Measured(count), one, other) == pytest.approx(sides[0] / sides[1], rel=1e-6)


@pytest.mark.parametrize("starts", [2, 3, 4])
def test_several_starts_are_met_a_tenth_as_often(starts: int) -> None:
    """Turns along 6 mm of lead: one start of 6 mm, or two of 3 mm, three of 2 mm, four of 1.5 mm.
    Where the starts were seen the other is out of the question."""
    one = Catalogued(Thread("one", mm(6), Fraction(40), "iso"), ("one",))
    pitch = Fraction(6, starts)
    other = Catalogued(Thread("several", mm(pitch), Fraction(40), "iso"), ("several",))
    turned = Measured(parse_count("5 turns in 30.02 mm"))
    sides = [along(30.02, 0.1, 30, each / 2) for each in (6, float(pitch))]
    found = {c.thread.pitch: c.likelihood for c in identify(turned, (one, other)).candidates}
    likelier = found[Pitch(Fraction(6))] / found[Pitch(pitch, starts=starts)]
    assert likelier == pytest.approx(10 * sides[0] / sides[1], rel=1e-6)


def test_five_starts_are_not_thought_of() -> None:
    other = Catalogued(Thread("five", mm("1.2"), Fraction(40), "iso"), ("five",))
    turned = Measured(parse_count("5 turns in 30 mm"))
    assert not any(each.within for each in identify(turned, (other,)).candidates)
    seen = replace(turned, count=replace(turned.count, starts=5))
    assert identify(seen, (other,)).candidates[0].within


def test_flanks_read_from_a_gauge_are_off_by_two_and_a_half_degrees_at_most() -> None:
    """And by how often the series are met."""
    one, other = catalogued("1/4-20 UNC"), replace(catalogued("1/4 BSW"), met=3.0)
    read = Measured(parse_count("20 tpi"), angle=58.0)
    error = NormalDist(0, 1.25)
    assert ratio(read, one, other) == pytest.approx(error.pdf(2) / error.pdf(3) / 3, rel=1e-6)
