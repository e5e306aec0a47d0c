"""A bolt with a lead error in a true nut: it jams exactly when its allowance is exceeded.

The bolt's pitch diameter lies the whole tolerance T below basic, its pitch is off by the
given error; the nut is basic and true. Both are sampled as surfaces, radius over angle and
length, along the engaged length, and the bolt may shift axially as it likes. No formula of
the allowance is used.
"""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import minimize_scalar

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.lathe import Policy
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.allowance import allowance
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.outline import outline
from gearchest.optimizer.threads.tolerances import RULES
from gearchest.optimizer.threads.wooden import nut_clearance

Array = npt.NDArray[np.float64]

EVERYTHING = Policy(lead_error_share=Fraction(1))
"""The whole tolerance, not the usual half of it, may go to the lead error."""

SIZES = ["M3", "M10", "M24x1.5", "1/4-20", "1-14 UNS", "1/2 BSW", "2 BA", "Tr20x4", "1-5 Acme"]


def bolt_radius(thread: Thread, phase: Array) -> Array:
    """Height of the bolt above the pitch line, `phase` in pitches from the middle of a ridge."""
    axial, radial = zip(*outline(FORMS[thread.form], 1.0, arc_points=60), strict=True)
    scale = thread.pitch.mm
    return np.interp(phase % 1.0, axial, radial) * scale


def nut_radius(thread: Thread, phase: Array) -> Array:
    """Height of the nut's surface above the pitch line: rounded like the bolt where the form
    rounds its crests, else straight flanks with the nut's crest cut off."""
    form, pitch = FORMS[thread.form], thread.pitch.mm
    if form.crest_radius:
        return bolt_radius(thread, phase)
    half = math.radians((form.included_angle_deg or 0) / 2)
    from_ridge = np.abs((phase + 0.5) % 1.0 - 0.5) * pitch
    flank = (pitch / 4 - from_ridge) / math.tan(half)
    return np.maximum(flank, -form.nut_addendum * pitch)


def overlap(thread: Thread, error: float, tolerance_mm: float, engaged_mm: float) -> float:
    """How deep, in mm of radius, bolt and nut run into each other at the bolt's best shift."""
    z, turn = np.meshgrid(
        np.linspace(-engaged_mm / 2, engaged_mm / 2, 3001), np.linspace(0, 1, 16, endpoint=False)
    )
    pitch = thread.pitch.mm
    nut = nut_radius(thread, z / pitch - turn)

    def deepest(shift: float) -> float:
        bolt = bolt_radius(thread, (z - shift) / (pitch * (1 + error)) - turn)
        return float((bolt - tolerance_mm / 2 - nut).max())

    reach = tolerance_mm
    return float(minimize_scalar(deepest, bounds=(-reach, reach), method="bounded").fun)


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("size", SIZES)
def test_it_jams_exactly_when_the_whole_allowance_is_exceeded(size: str, sign: int) -> None:
    thread = find_size(size)
    rule = RULES[thread.standard]
    dimensions = float(thread.major_mm or 0), thread.pitch.mm
    tolerance, engaged = rule.tolerance_mm(*dimensions), rule.engaged_mm(*dimensions)
    allowed = float(allowance(thread.pitch, thread=thread, policy=EVERYTHING).relative)
    assert overlap(thread, sign * allowed * 0.985, tolerance, engaged) < 0
    assert overlap(thread, sign * allowed * 1.015, tolerance, engaged) > 0


def test_a_perfect_bolt_has_half_the_tolerance_all_round() -> None:
    thread = find_size("M10")
    assert overlap(thread, 0.0, 0.13, 14.0) == pytest.approx(-0.065, abs=1e-3)


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(("size", "engaged"), [("screw box 1 in", 60), ("bench vise", 150)])
def test_a_wooden_screw_jams_when_its_nuts_play_is_used_up(
    size: str, engaged: int, sign: int
) -> None:
    """The nut is let out by its play and true; long enough for the play to govern."""
    thread = find_size(size)
    play = nut_clearance(float(thread.major_mm or 0))
    allowed = allowance(
        thread.pitch, thread=thread, policy=EVERYTHING, mating=True, engaged_mm=Fraction(engaged)
    )
    error = sign * float(allowed.relative)
    assert abs(error) < 0.0099
    assert overlap(thread, error * 0.985, play, engaged) < 0
    assert overlap(thread, error * 1.015, play, engaged) > 0
