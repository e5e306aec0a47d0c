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

COLUMN, CALLOUT, FIGURE_WIDTH = 4.6, 2.35, 0.56
"""In letter heights: width of a callout column, height of a callout, width of a figure."""

LEADER, TEXT = 1.3, 1.6
"""In letter heights: how far beside the gears leaders begin and lettering stands."""

CAPTION, VALUE, MIDDLE = -0.2, 0.85, 0.31
"""In letter heights: baselines of a callout's two lines below its middle, and of a figure."""

CAPTION_WIDTH, VALUE_WIDTH, HIGH = 0.5, 0.62, 0.9
"""In letter heights: room for a letter of a caption and of a value, and for a line of figures;
of a callout's height, what its two lines take up."""

SMALL = 2.0
"""Letter height in mm below which a tenth of a millimetre would show."""


@dataclass(frozen=True)
class Callout:
    """A caption and value beside the drawing; the leader ends `radius` from `target`, with an
    arrowhead on what has a radius and with a dot on a point."""

    caption: str
    value: str
    target: Point
    radius: float = 0.0


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
        "column": COLUMN, "callout": CALLOUT, "figure": FIGURE_WIDTH, "leader": LEADER,
        "text": TEXT, "caption": CAPTION, "value": VALUE, "middle": MIDDLE, "high": HIGH,
        "captionWidth": CAPTION_WIDTH, "valueWidth": VALUE_WIDTH,
        "places": labels.PLACES_ALONG, "room": labels.ROOM_ALONG, "above": labels.ABOVE,
    }  # fmt: skip


def callouts(items: Sequence[Callout], frame: Frame) -> Lettering:
    """The callouts in two columns, in the order of what they point at."""
    items = sorted(items, key=lambda c: c.target[0])
    half = (len(items) + 1) // 2
    pitch = CALLOUT * frame.letter
    arrows: list[Markup] = []
    dots: list[Markup] = []
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
            (arrows if callout.radius else dots).append(_leader(start, end, frame.places))
            bottom = max(bottom, y + pitch / 2)
        columns.append(_column(members, heights, x, side, frame))
    parts = [
        element("g", joined(arrows), class_="leader"),
        *([element("g", joined(dots), class_="leader to-point")] if dots else ()),
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
    return element("g", joined(texts), class_="distances") if texts else Markup("")


def _column(
    members: Sequence[Callout], heights: Sequence[float], x: float, side: int, frame: Frame
) -> Markup:
    """Caption, value, caption, value, ... of one side."""
    places = frame.places - 1
    texts = [
        element("text", text, y=short(y + below * frame.letter, places))
        for callout, y in zip(members, heights, strict=True)
        for text, below in ((callout.caption, CAPTION), (callout.value, VALUE))
    ]
    return element(
        "g",
        joined(texts),
        class_="callouts",
        text_anchor="end" if side < 0 else None,
        transform=f"translate({short(x, places)})",
    )


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
