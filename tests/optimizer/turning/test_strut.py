"""Buckling against printed examples, and against struts bent out by simulation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import eigh

from gearchest.optimizer.turning.strut import (
    SLENDEREST,
    Ends,
    Strut,
    critical_stress,
    euler_from,
    strut,
)

LBF, PSI, INCH = 4.4482216152605, 0.00689475729, 25.4

GERE = {2.0: 15.6, 1.0: 62.2, 1 / math.sqrt(2.046): 127.0, 0.5: 249.0}
"""Gere, Mechanics of Materials, problem 11.4-2 (seen): steel pipe 40 by 36 mm, 1.2 m long, E 210
GPa; K of the theory, and the load in kN that buckles it."""


@pytest.mark.parametrize(("factor", "kilonewtons"), GERE.items())
def test_euler_as_printed(factor: float, kilonewtons: float) -> None:
    area = math.pi / 4 * (40**2 - 36**2)
    radius = math.sqrt(40**2 + 36**2) / 4
    stress = critical_stress(factor * 1200 / radius, 210_000, 5000)  # never to yield, as printed
    assert stress * area / 1000 == pytest.approx(kilonewtons, rel=0.004)


def test_euler_as_printed_for_a_tube() -> None:
    """Hibbeler, Mechanics of Materials, Example 13.1 (seen): 150 by 140 mm, 7.2 m, E 200 GPa."""
    area, radius = math.pi * (75**2 - 70**2), math.sqrt(75**2 + 70**2) / 2
    assert critical_stress(7200 / radius, 200_000, 250) * area / 1000 == pytest.approx(
        228.2, abs=0.05
    )


def test_a_long_round_bar() -> None:
    """Mott, Machine Elements, Example 6-1 (from memory): 1 1/4 in, 54 in, pinned, 51 ksi: 12,200
    lb."""
    found = strut(1000 * LBF, 1.25 * INCH, 54 * INCH, Ends.PINNED, 30e6 * PSI, 51_000 * PSI)
    assert found.euler
    assert found.slenderness == pytest.approx(173, abs=0.5)
    assert found.limit == pytest.approx(108, abs=0.5)
    assert found.critical / LBF == pytest.approx(12_200, rel=0.01)
    assert found.safety == pytest.approx(12.2, rel=0.01)


def test_a_short_bar_by_johnson() -> None:
    """Mott, Example 6-2 (from memory): 12 by 18 mm, 280 mm, one end held and the other pinned,
    290 MPa: slenderness 64.7 below 119, 53.3 kN."""
    slenderness = Ends.FIXED_PINNED.factor * 280 / (12 / math.sqrt(12))
    assert slenderness == pytest.approx(64.7, abs=0.05)
    assert euler_from(207_000, 290) == pytest.approx(119, abs=0.5)
    assert critical_stress(slenderness, 207_000, 290) * 216 / 1000 == pytest.approx(53.3, abs=0.1)


@given(st.floats(1_000, 300_000), st.floats(10, 900))
def test_both_formulas_meet_at_half_of_what_crushes(modulus: float, compression: float) -> None:
    limit = euler_from(modulus, compression)
    below, above = (critical_stress(limit * k, modulus, compression) for k in (1 - 1e-7, 1 + 1e-7))
    assert below == pytest.approx(compression / 2, rel=1e-6)
    assert above == pytest.approx(compression / 2, rel=1e-6)
    stresses = [critical_stress(limit * k, modulus, compression) for k in np.linspace(0.01, 3, 60)]
    assert stresses == sorted(stresses, reverse=True)
    assert max(stresses) <= compression
    for k, stress in zip(np.linspace(0.01, 3, 60), stresses, strict=True):
        assert stress <= math.pi**2 * modulus / (limit * k) ** 2 * (1 + 1e-12)


def beam_factor(held: tuple[bool, bool, bool, bool]) -> float:
    """K of a strut of length 1 and stiffness 1, from finite elements that know no formula of
    Euler's; `held`: deflection and slope at the first end, then at the last."""
    count = 40
    a = 1 / count
    bending = np.array([
        [12, 6 * a, -12, 6 * a], [6 * a, 4 * a * a, -6 * a, 2 * a * a],
        [-12, -6 * a, 12, -6 * a], [6 * a, 2 * a * a, -6 * a, 4 * a * a],
    ]) / a**3  # fmt: skip
    pressing = np.array([
        [36, 3 * a, -36, 3 * a], [3 * a, 4 * a * a, -3 * a, -a * a],
        [-36, -3 * a, 36, -3 * a], [3 * a, -a * a, -3 * a, 4 * a * a],
    ]) / (30 * a)  # fmt: skip
    size = 2 * (count + 1)
    stiff, geometric = np.zeros((size, size)), np.zeros((size, size))
    for at in range(0, size - 2, 2):
        stiff[at : at + 4, at : at + 4] += bending
        geometric[at : at + 4, at : at + 4] += pressing
    fixed = [dof for dof, is_held in zip((0, 1, size - 2, size - 1), held, strict=True) if is_held]
    free = [dof for dof in range(size) if dof not in fixed]
    # The greatest 1/P of: geometric v = (1/P) stiff v.
    inverse = eigh(geometric[np.ix_(free, free)], stiff[np.ix_(free, free)], eigvals_only=True)
    return math.pi / math.sqrt(1 / inverse[-1]) if inverse[-1] > 0 else math.inf


@pytest.mark.parametrize(
    ("ends", "held", "theory"),
    [
        (Ends.FIXED_FREE, (True, True, False, False), 2.0),
        (Ends.PINNED, (True, False, True, False), 1.0),
        (Ends.FIXED_PINNED, (True, True, True, False), 0.6992),
        (Ends.FIXED, (True, True, True, True), 0.5),
    ],
)
def test_the_ends_are_taken_a_little_worse_than_they_could_be(
    ends: Ends, held: tuple[bool, bool, bool, bool], theory: float
) -> None:
    found = beam_factor(held)
    assert found == pytest.approx(theory, abs=2e-4)
    assert found * (1 - 1e-4) <= ends.factor <= 1.31 * found


def test_nobody_named_the_ends() -> None:
    found = strut(1000, 20, 400, None, 206_000, 235)
    assert found.assumed
    assert found.ends is Ends.FIXED_FREE
    assert found.slenderness == pytest.approx(168)
    assert not found.too_slender
    assert strut(1000, 20, 500, None, 206_000, 235).too_slender
    assert all(strut(1000, 20, 400, ends, 206_000, 235).critical >= found.critical for ends in Ends)


def test_limits_of_slenderness_belong_to_what_they_begin_and_end() -> None:
    """From its limit on Euler's formula; slender up to 200."""
    for slenderness, euler in ((99.9, False), (100.0, True), (100.1, True)):
        found = Strut(300.0, Ends.PINNED, slenderness, 100.0, 5000.0, 1000.0)
        assert (found.euler, found.safety, found.assumed) == (euler, 5.0, False)
    for slenderness, too in ((SLENDEREST, False), (SLENDEREST + 0.1, True)):
        found = Strut(300.0, Ends.PINNED, slenderness, 100.0, 5000.0, 1000.0)
        assert found.too_slender == too
