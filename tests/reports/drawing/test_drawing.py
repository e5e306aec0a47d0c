"""Drawings: to scale, every outline once, and labels that never overlap."""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import replace
from itertools import combinations, cycle, pairwise
from xml.etree import ElementTree

import pytest
import report_samples as samples
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing import labels
from gearchest.reports.drawing.planes import planes_definitions, planes_svg, spacers
from gearchest.reports.drawing.symbols import definitions
from gearchest.reports.drawing.train import drawing, train_svg

LAYOUTS = samples.every_layout()
NAMES = [f"{i}-{answer.train.layout.name}" for i, (_, answer) in enumerate(LAYOUTS)]
NAMED = pytest.mark.parametrize(("lathe", "answer"), LAYOUTS, ids=NAMES)

FIGURE = 0.62
"""Widest figure of the lettering in letter heights: measured in a browser, DejaVu Condensed."""


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def gears_drawn(root: ElementTree.Element) -> list[tuple[str, float, float]]:
    return [
        (use.get("href", ""), float(use.get("x", 0)), float(use.get("y", 0)))
        for use in root.iter("use")
        if use.get("href", "").startswith("#g")
    ]


@NAMED
def test_every_gear_is_drawn_and_meshing_ones_touch(lathe: Lathe, answer: Answer) -> None:
    """ISO 2203: pitch circles of meshing gears touch, so centres stand (z1 + z2) m / 2 apart."""
    drawn = gears_drawn(parsed(train_svg(lathe, answer)))
    gears = answer.train.gears
    assert [href for href, *_ in drawn] == [f"#g{gear.teeth}-1" for gear in gears]
    index = 0
    for stage in answer.train.stages:
        for one, other in pairwise(stage):
            (_, x1, y1), (_, x2, y2) = drawn[index], drawn[index + 1]
            assert math.dist((x1, y1), (x2, y2)) == pytest.approx(
                (one.teeth + other.teeth) / 2, abs=0.15
            )
            index += 1
        index += 1


@NAMED
def test_each_outline_is_defined_once(lathe: Lathe, answer: Answer) -> None:
    text = drawing(lathe, answer) + planes_definitions(lathe, [answer.train])
    text += planes_svg(lathe, answer.train)
    ids = Counter(re.findall(r'\bid="([^"]+)"', text))
    assert max(ids.values()) == 1
    used = set(re.findall(r'href="#([^"]+)"', text))
    assert used <= set(ids)
    teeth = {gear.teeth for gear in answer.train.gears}
    assert {f"g{t}-1" for t in teeth} <= set(ids)


@NAMED
def test_what_one_measures_is_written(lathe: Lathe, answer: Answer) -> None:
    """In the lathe's own unit: inches on this 16 tpi screw, mm beside a metric one."""
    of_inches = told(lathe, answer)
    of_mm = told(replace(lathe, leadscrew=mm("1.5")), answer)
    for gear in answer.train.gears:
        assert str(gear.teeth) in of_inches
    placement = answer.fit.placement
    if placement is None:
        assert "arm" not in of_inches
        return
    lengths = [stud.position for stud in placement.studs]
    lengths += [placement.tightest.mm] if placement.tightest else []
    for length in lengths:
        assert f"{length / 25.4:.3f}" in of_inches
        assert f"{length:.1f}" in of_mm


def told(lathe: Lathe, answer: Answer) -> list[str | None]:
    return [text.text for text in parsed(train_svg(lathe, answer)).iter("text")]


def boxes(root: ElementTree.Element) -> list[tuple[str, labels.Box]]:
    """The rectangle of every lettering, from its place and its length."""
    size = float(root.get("font-size", ""))
    found = []
    for column in root.findall("g[@class='callouts']"):
        (x,) = numbers_in(column.get("transform", ""))
        side = -1 if column.get("text-anchor") == "end" else 1
        for text, part in zip(column, cycle((0.78, 1.12)), strict=False):
            width, height = lettering(text, part * size)
            middle = (x + side * width / 2, float(text.get("y", "")) - 0.35 * part * size)
            found.append((text.text or "", labels.text_box(middle, width, height, 0.0)))
    for text in root.findall("g[@class='distances']/text"):
        (angle,) = numbers_in(text.get("transform", ""))
        width, height = lettering(text, 0.9 * size)
        middle = (float(text.get("x", "")), float(text.get("y", "")) - 0.35 * 0.9 * size)
        box = labels.text_box(labels.turned(middle, angle), width, height, angle)
        found.append((text.text or "", box))
    return found


def lettering(text: ElementTree.Element, height: float) -> tuple[float, float]:
    """How wide and high the ink of a text is whose letters are so high."""
    return len(text.text or "") * FIGURE * height * 0.85, height * 0.7


def numbers_in(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"-?[\d.]+", text)]


@NAMED
def test_labels_do_not_overlap(lathe: Lathe, answer: Answer) -> None:
    root = parsed(train_svg(lathe, answer))
    left, top, width, height = numbers_in(root.get("viewBox", ""))
    written = boxes(root)
    assert len(written) >= 2 * len(answer.train.gears)
    for (one, a), (other, b) in combinations(written, 2):
        assert not labels.overlap(a, b), (one, other)
    for words, box in written:
        for x, y in box:
            assert left <= x <= left + width, words
            assert top <= y <= top + height, words


def test_an_unmeasured_arm_is_said() -> None:
    bare = [pair for pair in LAYOUTS if pair[0].banjo is None]
    assert bare
    for lathe, answer in bare:
        text = train_svg(lathe, answer)
        assert "Shafts schematic" in text
        assert "#arm" not in text
        assert "#arm" not in definitions(lathe, [answer.train])


@given(
    st.lists(st.floats(-100, 100), min_size=1, max_size=9),
    st.floats(1, 20),
    st.floats(-80, 0),
    st.floats(1, 80),
)
@settings(max_examples=60)
def test_a_column_keeps_order_and_distance(
    wanted: list[float], pitch: float, low: float, high: float
) -> None:
    places = labels.spread(sorted(wanted), pitch, low, high)
    assert all(b - a >= pitch - 1e-9 for a, b in pairwise(places))
    assert min(places) >= low - 1e-9
    assert max(places) <= max(high, low + pitch * (len(places) - 1)) + 1e-9


def test_overlap_knows_turned_rectangles() -> None:
    flat = labels.text_box((0, 0), 10, 2, 0)
    assert labels.overlap(flat, labels.text_box((4, 0), 10, 2, 90))
    assert not labels.overlap(flat, labels.text_box((4, 8), 10, 2, 90))
    # Bounding boxes meet here, the rectangles do not.
    assert not labels.overlap(
        labels.text_box((0, 0), 10, 1, 45), labels.text_box((3, -3), 2, 1, 45)
    )
    assert labels.overlap(flat, ((-9, -9), (9, 9)))


def test_spacers_fill_the_planes_without_gears() -> None:
    """Double compound: each shaft carries one or two gears in three planes (by hand)."""
    layout = samples.LAYOUT["double compound"]
    assert spacers(layout) == [(0, 1), (0, 2), (1, 2), (2, 0), (3, 0), (3, 1)]
    assert spacers(samples.LAYOUT["direct"]) == []


def test_a_section_shows_planes_only_where_there_are_several() -> None:
    lathe, answer = LAYOUTS[1]
    assert answer.train.layout.stages == 1
    assert planes_svg(lathe, answer.train) == ""
    lathe, answer = LAYOUTS[7]
    used = [use.get("href", "") for use in parsed(planes_svg(lathe, answer.train)).iter("use")]
    assert used[:5] == ["#planes-3", "#driver-3", "#stud1-3", "#stud2-3", "#screw-3"]
    symbols = parsed(planes_definitions(lathe, [answer.train])).iter("symbol")
    (planes,) = [symbol for symbol in symbols if symbol.get("id") == "planes-3"]
    assert [text.text for text in planes] == ["plane 1", "plane 2", "plane 3"]
