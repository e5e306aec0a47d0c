"""The lettering of a train's drawing: callouts in a column on either side, figures on lines.

Captions and values of a column alternate, all at one x: the group carries it, and what they
share of their look. Leaders that end in an arrowhead are one group, those that end in a dot
another.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gearchest.reports.drawing import labels
from gearchest.reports.drawing.labels import Point
from gearchest.reports.drawing.svg import element, joined, listed, short

CALLOUT, FIGURE_WIDTH, BOLD_WIDTH = 2.5, 0.56, 0.6
"""In letter heights: height of a callout, width of a figure and of one in a disc."""

LEADER, TEXT = 0.8, 1.1
"""In letter heights: how far beside the gears leaders begin and lettering stands."""

CAPTION, VALUE, MIDDLE = -0.15, 0.9, 0.36
"""In letter heights: baselines of a callout's two lines below its middle, and of a figure."""

CAPTION_WIDTH, VALUE_WIDTH, HIGH = 0.55, 0.62, 0.9
"""In letter heights: room for a letter of a caption and of a value, and for a line of figures;
of a callout's height, what its two lines take up."""

LEADERS = ("leader", "leader to-point dims")
"""How leaders are drawn to what is named, and to what is measured."""

SMALL = 2.0
"""Letter height in mm below which a tenth of a millimetre would show."""


@dataclass(frozen=True)
class Callout:
    """A caption and value beside the drawing; the leader ends `radius` from `target`, with an
    arrowhead on what has a radius and with a dot on a point. What is `measured` is of the layer
    of dimensions; a value that is no figure is set as the caption is."""

    caption: str
    value: str
    target: Point
    radius: float = 0.0
    measured: bool = False


@dataclass(frozen=True)
class Frame:
    """What the gears take up on the page, and the height of a letter: all in mm."""

    low: Point
    high: Point
    letter: float

    @property
    def places(self) -> int:
        """Decimals that show in a line; lettering does with one less."""
        return 1 if self.letter >= SMALL else 2


@dataclass(frozen=True)
class Lettering:
    """Callouts as drawn, what room they take, and where they end below."""

    svg: Markup
    taken: tuple[Sequence[Point], ...]
    bottom: float


def constants() -> dict[str, object]:
    """What `lettering.js` letters with."""
    return {
        "callout": CALLOUT, "figure": FIGURE_WIDTH, "bold": BOLD_WIDTH, "leader": LEADER,
        "text": TEXT, "caption": CAPTION, "value": VALUE, "middle": MIDDLE, "high": HIGH,
        "captionWidth": CAPTION_WIDTH, "valueWidth": VALUE_WIDTH,
        "places": labels.PLACES_ALONG, "room": labels.ROOM_ALONG, "above": labels.ABOVE,
        "directions": labels.DIRECTIONS, "depths": labels.DEPTHS, "clear": labels.CLEAR,
    }  # fmt: skip


def callouts(items: Sequence[Callout], frame: Frame) -> Lettering:
    """The callouts in two columns, in the order of what they point at."""
    items = sorted(items, key=lambda c: c.target[0])
    half = (len(items) + 1) // 2
    pitch = CALLOUT * frame.letter
    leaders: dict[str, list[Markup]] = {name: [] for name in LEADERS}
    columns: list[Markup] = []
    taken: list[Sequence[Point]] = []
    bottom = frame.high[1]
    for side, members in ((-1, items[:half]), (1, items[half:])):
        members = sorted(members, key=lambda c: c.target[1])
        low, high = frame.low[1] + pitch / 2, frame.high[1] - pitch / 2
        heights = labels.spread([c.target[1] for c in members], pitch, low, high)
        edge = frame.low[0] if side < 0 else frame.high[0]
        x = edge + side * TEXT * frame.letter
        for callout, y in zip(members, heights, strict=True):
            start = (edge + side * LEADER * frame.letter, y)
            end = _short_of(callout.target, start, callout.radius)
            taken += [(start, end), _box(callout, (x, y), side, frame.letter)]
            kind = LEADERS[1 if callout.measured else 0]
            leaders[kind].append(_leader(start, end, frame.places))
            bottom = max(bottom, y + pitch / 2)
        if members:
            columns.append(_column(list(zip(members, heights, strict=True)), x, side, frame))
    parts = [
        *(element("g", joined(lines), class_=kind) for kind, lines in leaders.items() if lines),
        *columns,
    ]
    return Lettering(joined(parts), tuple(taken), bottom)


def distances(
    lines: Sequence[tuple[Point, Point, str]], frame: Frame, taken: Sequence[Sequence[Point]]
) -> Markup:
    """The text along each line (from, to, text) that has room for it."""
    taken, texts = [*taken], []
    for start, end, text in lines:
        width = len(text) * FIGURE_WIDTH * frame.letter
        figure = labels.along(start, end, width, frame.letter * HIGH, taken)
        if figure is None:
            continue
        taken.append(figure.box)
        # The place in the turned text's own directions, its baseline below its middle.
        angle = round(figure.angle)
        x, y = labels.turned(figure.centre, -angle)
        texts.append(
            element(
                "text",
                text,
                x=short(x, frame.places - 1),
                y=short(y + MIDDLE * frame.letter, frame.places),
                transform=f"rotate({angle})",
            )
        )
    return element("g", joined(texts), class_="distances dims") if texts else Markup("")


def _column(placed: Sequence[tuple[Callout, float]], x: float, side: int, frame: Frame) -> Markup:
    """Caption, value, caption, value, ... of one side; what is measured in a layer of its own."""
    places = frame.places - 1
    named: list[Markup] = []
    measured: list[Markup] = []
    for callout, y in placed:
        lines = [(callout.caption, CAPTION, None), (callout.value, VALUE, _look(callout.value))]
        if not callout.value:
            lines = [(callout.caption, MIDDLE, None)]
        (measured if callout.measured else named).extend(
            element("text", text, class_=look, y=short(y + below * frame.letter, places))
            for text, below, look in lines
        )
    layer = [element("g", joined(measured), class_="dims")] if measured else []
    return element(
        "g",
        joined([*named, *layer]),
        class_="callouts",
        text_anchor="end" if side < 0 else None,
        transform=f"translate({short(x, places)})",
    )


def _look(value: str) -> str | None:
    """Figures are set in bold."""
    return "v" if any(letter.isdigit() for letter in value) else None


def _leader(start: Point, end: Point, places: int) -> Markup:
    """A line that may run level keeps its height to the last decimal, so that it does."""
    x, to_x, to_y = short(start[0], places - 1), short(end[0], places), short(end[1], places)
    if short(start[1], places) == to_y:
        return element("path", d=f"M{listed(x, to_y)}H{to_x}")
    return element("path", d=f"M{listed(x, short(start[1], places - 1), to_x, to_y)}")


def _box(callout: Callout, at: Point, side: int, letter: float) -> labels.Box:
    width = max(len(callout.caption) * CAPTION_WIDTH, len(callout.value) * VALUE_WIDTH) * letter
    middle = (at[0] + side * width / 2, at[1])
    return labels.text_box(middle, width, CALLOUT * letter * HIGH, 0.0)


def _short_of(target: Point, start: Point, radius: float) -> Point:
    """The point `radius` from the target towards the start."""
    distance = math.dist(target, start)
    if radius == 0 or distance <= radius:
        return target
    t = radius / distance
    return (target[0] + t * (start[0] - target[0]), target[1] + t * (start[1] - target[1]))
