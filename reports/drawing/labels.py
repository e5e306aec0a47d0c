"""Labels that never overlap: callouts beside a drawing, and figures along its lines.

Callouts stand in a column left and right of the drawing with leaders to what they name;
within a column they keep their order and their distance. Figures written along a line try
places on it until one is clear of everything written before.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]
Box = tuple[Point, Point, Point, Point]

PLACES_ALONG = (0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78)
"""Where a figure may stand on its line, in shares of the line, the best first."""

ROOM_ALONG, ABOVE = 1.25, 0.62
"""How long a line must be, in widths of its figure; how far above it the figure's middle
stands, in its heights."""


def spread(wanted: Sequence[float], pitch: float, low: float, high: float) -> list[float]:
    """Positions at least `pitch` apart and near the wanted ones, within [low, high].

    `wanted` ascends. Where the column is too short for all, it grows past `high`.
    """
    placed: list[float] = []
    for value in wanted:
        floor = placed[-1] + pitch if placed else low
        placed.append(max(value, floor))
    ceiling = max(high, low + pitch * (len(placed) - 1))
    for i in range(len(placed) - 1, -1, -1):
        placed[i] = min(placed[i], ceiling)
        ceiling = placed[i] - pitch
    return placed


def turned(point: Point, angle: float) -> Point:
    """A point of the page turned about its origin by `angle` degrees."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return (point[0] * c - point[1] * s, point[0] * s + point[1] * c)


def text_box(centre: Point, width: float, height: float, angle: float) -> Box:
    """The corners of a text's rectangle, turned by `angle` degrees."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple(  # type: ignore[return-value]
        (
            centre[0] + c * width / 2 * i - s * height / 2 * j,
            centre[1] + s * width / 2 * i + c * height / 2 * j,
        )
        for i, j in corners
    )


def overlap(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether two convex polygons (a line counts as one) share area: separating axes."""
    for polygon in (one, other):
        for (x1, y1), (x2, y2) in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
            axis = (y1 - y2, x2 - x1)
            if axis == (0.0, 0.0):
                continue
            first = [axis[0] * x + axis[1] * y for x, y in one]
            second = [axis[0] * x + axis[1] * y for x, y in other]
            if max(first) <= min(second) or max(second) <= min(first):
                return False
    return True


@dataclass(frozen=True)
class Figure:
    """A text written along a line: its middle, its turn in degrees, its rectangle."""

    centre: Point
    angle: float
    box: Box


def along(
    start: Point, end: Point, width: float, height: float, taken: Sequence[Sequence[Point]]
) -> Figure | None:
    """Where a text of this size fits above the line from start to end, clear of `taken`;
    None where the line is too short or everything is taken."""
    length = math.dist(start, end)
    if length < width * ROOM_ALONG:
        return None
    angle = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    angle = (angle + 90.0) % 180.0 - 90.0
    normal = (math.sin(math.radians(angle)), -math.cos(math.radians(angle)))
    for side in (1.0, -1.0):
        for t in PLACES_ALONG:
            centre = (
                start[0] + t * (end[0] - start[0]) + side * normal[0] * height * ABOVE,
                start[1] + t * (end[1] - start[1]) + side * normal[1] * height * ABOVE,
            )
            box = text_box(centre, width, height, angle)
            if not any(overlap(box, other) for other in taken):
                return Figure(centre, angle, box)
    return None
