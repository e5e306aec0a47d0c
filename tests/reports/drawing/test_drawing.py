"""Drawings: to scale, every outline once, and labels that never overlap."""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import replace
from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
import report_samples as samples
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing import labels
from gearchest.reports.drawing.planes import spacers
from gearchest.reports.drawing.scale import letter_of
from gearchest.reports.drawing.standing import Standing
from gearchest.reports.drawing.symbols import definitions
from gearchest.reports.drawing.train import TrainDrawing, drawing
from gearchest.reports.drawing.train import train_svg as drawn_to

LAYOUTS = samples.every_layout()
NAMES = [f"{i}-{answer.train.layout.name}" for i, (_, answer) in enumerate(LAYOUTS)]
NAMED = pytest.mark.parametrize(("lathe", "answer"), LAYOUTS, ids=NAMES)

FIGURE = 0.62
"""Widest figure of the lettering in letter heights: measured in a browser, DejaVu Condensed."""


def train_svg(lathe: Lathe, answer: Answer) -> str:
    """Drawn to its own scale."""
    return drawn_to(lathe, answer, letter_of(lathe, [answer]))


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def gears_drawn(root: ElementTree.Element) -> list[tuple[str, float, float]]:
    return [
        (use.get("href", ""), float(use.get("x", 0)), float(use.get("y", 0)))
        for use in root.iter("use")
        if use.get("href", "").startswith("#g") and use.get("class") != "hidden"
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
    text = drawing(lathe, answer)
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
    for column in root.findall("g"):
        if "callouts" not in column.get("class", ""):
            continue
        (x,) = numbers_in(column.get("transform", ""))
        side = -1 if column.get("text-anchor") == "end" else 1
        for text in column.iter("text"):
            width, height = lettering(text, size)
            middle = (x + side * width / 2, float(text.get("y", "")) - 0.35 * size)
            found.append((text.text or "", labels.text_box(middle, width, height, 0.0)))
    for group in ("tooth", "name"):
        for text in root.findall(f"g[@class='{group}']/text"):
            width, height = lettering(text, size)
            middle = (float(text.get("x", "")), float(text.get("y", "")) - 0.35 * size)
            found.append((text.text or "", labels.text_box(middle, width, height, 0.0)))
    for text in root.findall("g[@class='distances dims']/text"):
        (angle,) = numbers_in(text.get("transform", ""))
        width, height = lettering(text, size)
        middle = (float(text.get("x", "")), float(text.get("y", "")) - 0.35 * size)
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
        assert "#arm" not in definitions(lathe, [answer.train], 9.0)


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


@given(
    st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9), st.sampled_from((0, 30, 45, 90))),
             max_size=8),
    st.sampled_from((0, 17, 45, 90)),
)  # fmt: skip
def test_what_is_taken_is_found_as_if_each_were_looked_at(
    boxes: list[tuple[int, int, int]], angle: int
) -> None:
    """Many touch: whole numbers, and rectangles two and four wide."""
    taken = [labels.text_box((x, y), 4, 2, turn) for x, y, turn in boxes]
    taken += [((x, y), (x + 4, y)) for x, y, _ in boxes[:2]]
    box = labels.text_box((0, 0), 4, 2, angle)
    found = labels.Taken(taken).overlaps(box)
    assert found == any(labels.overlap(box, other) for other in taken)


def test_a_drawing_is_the_same_with_its_planes_asked_for_before_or_after() -> None:
    lathe, answer = LAYOUTS[0]
    letter = letter_of(lathe, [answer])
    drawn = TrainDrawing(lathe, answer, letter)
    bare, full = drawn.svg(planes=False), drawn.svg()
    assert bare == drawn_to(lathe, answer, letter, planes=False)
    assert full == drawn_to(lathe, answer, letter)
    assert bare != full


def test_spacers_fill_the_planes_without_gears() -> None:
    """Double compound: each shaft carries one or two gears in three planes (by hand)."""
    layout = samples.LAYOUT["double compound"]
    assert spacers(layout) == [(0, 1), (0, 2), (1, 2), (2, 0), (3, 0), (3, 1)]
    assert spacers(samples.LAYOUT["direct"]) == []


@NAMED
def test_planes_stand_from_the_headstock_outwards(lathe: Lathe, answer: Answer) -> None:
    """Row by row the gears of a stage under the names of their shafts, a spacer for the rest."""
    root = parsed(train_svg(lathe, answer))
    layout = answer.train.layout
    heads = {float(t.get("x", "")): t.text for t in root.findall("g[@class='name']/text")}
    assert Counter(heads.values()) == Counter(layout.shaft_names())
    cells = root.findall("g[@class='tooth']/text")[-len(answer.train.gears) :]
    rows = sorted({float(cell.get("y", "")) for cell in cells})
    assert len(rows) == layout.stages
    for seat, gear in answer.train.seated:
        told = [
            cell.text
            for cell in cells
            if heads[float(cell.get("x", ""))] == layout.shaft_names()[seat.shaft]
            and float(cell.get("y", "")) == rows[seat.plane]
        ]
        assert told == [str(gear.teeth)]
    empty = [use for use in root.iter("use") if use.get("href") == "#spacer"]
    assert len(empty) == len(spacers(layout))


@NAMED
def test_a_stroke_at_every_contact_and_nowhere_else(lathe: Lathe, answer: Answer) -> None:
    """As many as there are meshes, each on the line between its shafts at the pitch circles."""
    at = Standing.of(lathe, answer)
    assert len(at.contacts) == answer.train.layout.meshes
    pairs = [pair for stage in answer.train.stages for pair in pairwise(stage)]
    seats = [pair for stage in layout_seats(answer) for pair in pairwise(stage)]
    for (point, _), (one, other), (a, b) in zip(at.contacts, pairs, seats, strict=True):
        apart = math.dist(at.shafts[a], at.shafts[b])
        assert math.dist(point, at.shafts[a]) == pytest.approx(one.teeth / 2)
        assert math.dist(point, at.shafts[b]) == pytest.approx(apart - one.teeth / 2)
        assert apart == pytest.approx((one.teeth + other.teeth) / 2, abs=1e-6)


def layout_seats(answer: Answer) -> list[list[int]]:
    return [[seat.shaft for seat in stage] for stage in answer.train.layout.seats]


@NAMED
def test_numbers_in_discs_show_whole(lathe: Lathe, answer: Answer) -> None:
    """Within their own pitch circle and under no gear nearer the reader; every gear is numbered,
    there or beside the drawing."""
    root = parsed(train_svg(lathe, answer))
    at, size = Standing.of(lathe, answer), float(root.get("font-size", ""))
    texts = [t for t in root.findall("g[@class='tooth']/text") if t.get("class")]
    groups = [group for group in root.findall("g") if "callouts" in group.get("class", "")]
    beside = [text.text or "" for group in groups for text in group.iter("text")]
    told = Counter(t.text for t in texts) + Counter(
        figure for text in beside for figure in re.findall(r"^(?:\w+ )?(\d+)$", text)
    )
    assert not Counter(str(gear.teeth) for gear in answer.train.gears) - told
    for text in texts:
        x, y = float(text.get("x", "")), float(text.get("y", "")) - 0.36 * size
        width = len(text.text or "") * 0.56 * size
        corners = [(x + i * width / 2, y + j * 0.33 * size) for i in (-1, 1) for j in (-1, 1)]
        own = [
            (seat, gear)
            for seat, gear in at.seats
            if str(gear.teeth) == text.text and f"p{seat.plane}" == text.get("class")
        ]
        assert any(
            all(math.dist(corner, at.shafts[seat.shaft]) <= gear.pitch_radius for corner in corners)
            and not any(
                math.dist(corner, at.shafts[other.shaft]) < front.tip_radius
                for other, front in at.seats
                if other.plane > seat.plane
                for corner in corners
            )
            for seat, gear in own
        )


def test_one_scale_for_one_lathe() -> None:
    """Drawings of a lathe are as wide in mm of the lathe, and so in letters, as one another."""
    lathe = samples.mini_lathe()
    answers = [answer for one, answer in LAYOUTS if one == lathe]
    assert len(answers) > 2
    letter = letter_of(lathe, answers)
    widths = {
        round(numbers_in(parsed(drawn_to(lathe, answer, letter)).get("viewBox", ""))[2])
        for answer in answers
    }
    assert len(widths) == 1
    assert widths.pop() == pytest.approx(28 * letter, abs=1.5)


@given(st.lists(st.floats(-50, 50), min_size=1, max_size=6), st.floats(1, 12))
@settings(max_examples=60)
def test_columns_lie_as_near_to_their_shafts_as_they_can(wanted: list[float], pitch: float) -> None:
    """No column could come nearer without another being pushed: against steps of a hundredth."""
    wanted = sorted(wanted)
    found = labels.gathered(wanted, pitch, -1000.0, 1000.0)
    assert all(b - a >= pitch - 1e-9 for a, b in pairwise(found))
    cost = sum((a - b) ** 2 for a, b in zip(found, wanted, strict=True))
    for i in range(len(found)):
        for j in range(i + 1, len(found) + 1):
            for step in (-0.01, 0.01):
                moved = [v + step * (i <= n < j) for n, v in enumerate(found)]
                if all(b - a >= pitch - 1e-9 for a, b in pairwise(moved)):
                    other = sum((a - b) ** 2 for a, b in zip(moved, wanted, strict=True))
                    assert other >= cost - 1e-9
