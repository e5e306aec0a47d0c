"""Measurement over three wires: handbook constants, worked examples, a wire laid in the groove."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.forms import FORMS, dimensions
from gearchest.optimizer.threads.outline import outline
from gearchest.optimizer.threads.wires import over_wires_mm, pitch_diameter_mm, wires_for


@pytest.mark.parametrize(
    ("form", "factor", "constant", "best", "source"),
    [
        ("iso", 3.0, 0.866025, 0.57735, "Machinery's Handbook 31, p. 2129; best wire 0.57735 P"),
        ("whitworth", 3.1657, 0.960491, 0.5637, "F. D. Jones, Turning and Boring, p. 88"),
        ("ba", 3.4829, 1.13634, 0.54625, "constants of a calculator for British threads, read"),
        ("acme", 4.9939, 1.933357, 0.516450, "Machinery's Handbook, from memory"),
        ("trapezoidal", 4.8637, 1.866025, 0.517638, "DIN 103 wires, from memory"),
    ],
)
def test_handbook_constants(
    form: str, factor: float, constant: float, best: float, source: str
) -> None:
    """M = d2 + factor x W - constant x P, on a screw so thick that its lead angle is nothing."""
    sizes = dimensions(Thread("thick", mm(1), Fraction(10**6), form=form))
    d2 = sizes.pitch_diameter_mm or 0
    wires = wires_for(sizes)
    assert wires is not None
    assert wires.best_mm == pytest.approx(best, abs=6e-5), source
    assert over_wires_mm(sizes, 0.6) - d2 == pytest.approx(factor * 0.6 - constant, abs=6e-5), (
        source
    )


@pytest.mark.parametrize(
    ("size", "wire", "over", "source"),
    [
        ("1 1/2-6 UNC", 0.140, 1.6674, "F. D. Jones, Turning and Boring, p. 88"),
        ("7/16-14 UNC", 0.045, 0.464, "three wire thread measuring, neme-s.org"),
    ],
)
def test_worked_examples(size: str, wire: float, over: float, source: str) -> None:
    """Inches; the examples leave the lead angle out, which makes up to 0.0004 in."""
    assert over_wires_mm(dimensions(find_size(size)), wire * 25.4) / 25.4 == pytest.approx(
        over, abs=5e-4
    ), source


@pytest.mark.parametrize("size", ["M10", "1/2 BSW", "2 BA", "Tr20x4", "1-5 Acme", "1/2-13"])
def test_a_wire_lies_in_the_groove_where_the_formula_says(size: str) -> None:
    """A straight cylinder along the helix, against both flanks as helicoids: how far from the
    axis it comes to rest is found without the formula."""
    sizes = dimensions(find_size(size))
    wires = wires_for(sizes)
    assert wires is not None
    assert wires.exact
    pitch, half = sizes.profile.pitch_mm, math.radians((sizes.profile.included_angle_deg or 0) / 2)
    d2 = sizes.pitch_diameter_mm or 0
    lead_angle = math.radians(sizes.lead_angle_deg or 0)
    radius, turn = np.meshgrid(
        np.linspace(d2 / 2 - 0.3 * pitch, d2 / 2 + 0.3 * pitch, 801), np.linspace(-0.25, 0.25, 401)
    )
    rise = pitch / 4 + (radius - d2 / 2) * math.tan(half) + pitch * turn / (2 * math.pi)
    along = np.array([math.cos(lead_angle), math.sin(lead_angle)])  # wire, in the plane of y, z

    def gap(centre: float) -> float:
        x, y, z = radius * np.cos(turn) - centre, radius * np.sin(turn), rise
        lengthways = y * along[0] + z * along[1]
        squared = x**2 + y**2 + z**2 - lengthways**2
        return float(np.sqrt(squared.min())) - wires.best_mm / 2

    rest = brentq(gap, d2 / 2 - 0.2 * pitch, d2 / 2 + wires.best_mm + 0.5 * pitch)
    assert 2 * rest + wires.best_mm == pytest.approx(wires.over_best_mm, abs=2e-3 * pitch)


@pytest.mark.parametrize("size", ["M10", "1/4-20", "3/8 BSF", "0 BA", "Tr30x6", "1/4-26 BSC"])
def test_the_best_wire_may_be_used_and_measures_the_pitch_diameter(size: str) -> None:
    sizes = dimensions(find_size(size))
    wires = wires_for(sizes)
    assert wires is not None
    assert wires.smallest_mm < wires.best_mm < wires.largest_mm
    assert wires.over_best_mm > (sizes.major_mm or 0)
    for wire in (wires.smallest_mm, wires.best_mm, wires.largest_mm):
        measured = over_wires_mm(sizes, wire)
        assert pitch_diameter_mm(sizes, wire, measured) == pytest.approx(sizes.pitch_diameter_mm)
        assert pitch_diameter_mm(sizes, wire, measured - 0.1) == pytest.approx(
            (sizes.pitch_diameter_mm or 0) - 0.1
        )


def test_the_range_of_wires_of_a_sixty_degree_thread() -> None:
    """Largest 1.0104 P, smallest 0.5052 P: Machinery's Handbook, from memory."""
    wires = wires_for(dimensions(find_size("M20")))
    assert wires is not None
    assert (wires.smallest_mm / 2.5, wires.largest_mm / 2.5) == pytest.approx(
        (0.5052, 1.0104), abs=1e-4
    )


def test_a_steep_screw_is_said_to_be_inexact() -> None:
    wires = wires_for(dimensions(find_size("Tr40x14 P7")))
    assert wires is not None
    assert not wires.exact


@pytest.mark.parametrize("size", ["E27", "PCO-1881", "module 1"])
def test_no_wires_without_flanks_or_diameter(size: str) -> None:
    sizes = dimensions(find_size(size))
    assert wires_for(sizes) is None
    with pytest.raises(ValueError, match="straight flanks"):
        over_wires_mm(sizes, 1.0)


def test_every_form_with_sloping_flanks_has_wires() -> None:
    for name, form in FORMS.items():
        thread = replace(find_size("M10"), form=name)
        assert (wires_for(dimensions(thread)) is not None) == bool(form.included_angle_deg)


@pytest.mark.parametrize("name", [name for name, form in FORMS.items() if form.flanks])
def test_the_smallest_wire_touches_the_straight_of_the_flanks(name: str) -> None:
    """The root's rounding, or its flat, ends below where the wire touches the flatter flank."""
    thread = dimensions(Thread("thick", mm(2), Fraction(100), form=name))
    wires, ridge = wires_for(thread), thread.profile
    if wires is None or ridge.flanks is None:
        return
    half = math.radians(ridge.flanks.included / 2)
    flat = math.radians(max(ridge.flanks.load, ridge.flanks.other))
    root = ridge.depth_mm - ((thread.major_mm or 0) - (thread.pitch_diameter_mm or 0)) / 2
    foot = root - ridge.root_radius_mm * (1 - math.sin(flat))
    along = wires.smallest_mm / 2 / math.tan(half)  # from where the flanks meet to the touch
    assert along * math.cos(flat) > ridge.flanks.sharp(2.0) - foot


@pytest.mark.parametrize("form", ["buttress", "buttress-7-45", "iso", "acme", "whitworth"])
@pytest.mark.parametrize("which", ["smallest_mm", "best_mm", "largest_mm"])
def test_a_circle_dropped_into_the_drawn_groove(form: str, which: str) -> None:
    """A section along the axis of a screw so thick that its lead angle is nothing: the lowest
    place of a circle that enters nowhere, and where it then touches."""
    pitch = 2.0
    sizes = dimensions(Thread("thick", mm(2), Fraction(10**6), form=form))
    wires = wires_for(sizes)
    assert wires is not None
    wire = getattr(wires, which)
    corners = np.array(outline(FORMS[form], pitch, arc_points=200))
    steps = np.linspace(0, 1, 400)[:, None, None]
    line = (corners[:-1] + steps * (corners[1:] - corners[:-1])).reshape(-1, 2)

    def heights(x: float) -> np.ndarray:
        under = np.maximum(0, (wire / 2) ** 2 - (line[:, 0] - x) ** 2)
        inside = np.abs(line[:, 0] - x) < wire / 2
        return np.where(inside, line[:, 1] + np.sqrt(under), -np.inf)

    found = minimize_scalar(
        lambda x: heights(x).max(), bounds=(0.2 * pitch, 0.8 * pitch), method="bounded",
        options={"xatol": 1e-9},
    )  # fmt: skip
    d2 = sizes.pitch_diameter_mm or 0
    over = over_wires_mm(sizes, wire)
    assert d2 + 2 * (found.fun + wire / 2) == pytest.approx(over, abs=2e-3)
    assert over >= (sizes.major_mm or 0) - 1e-6
    touched = line[heights(found.x) > found.fun - 1e-5][:, 1]
    if which == "largest_mm":  # it touches where the straight of the flank ends
        end = corners[199 if FORMS[form].crest_radius else 1][1]
        assert touched.max() == pytest.approx(end, abs=0.03)
    if which == "best_mm" and wires.best_mm > wires.smallest_mm:
        assert touched.min() + touched.max() == pytest.approx(0, abs=0.1)
