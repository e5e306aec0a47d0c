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


def gathered(wanted: Sequence[float], pitch: float, low: float, high: float) -> list[float]:
    """Positions at least `pitch` apart within [low, high] that lie as near to the wanted ones as
    they can, by the sum of squares. `wanted` ascends. Where there is no room for all, they
    grow past `high`."""
    pools: list[list[float]] = []  # neighbours that move as one: what they want, less their places
    for i, value in enumerate(wanted):
        pools.append([value - i * pitch])
        while len(pools) > 1 and _mean(pools[-2]) > _mean(pools[-1]):
            pools[-2:] = [pools[-2] + pools[-1]]
    starts = [_mean(pool) for pool in pools for _ in pool]
    most = max(low, high - pitch * (len(wanted) - 1))
    return [min(max(start, low), most) + i * pitch for i, start in enumerate(starts)]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


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


class Taken:
    """What is drawn already, as convex polygons: asked of many places, so that those that lie far
    from one are passed over by what they take up upright and level."""

    def __init__(self, polygons: Sequence[Sequence[Point]]) -> None:
        self._polygons = [(polygon, *_extent(polygon)) for polygon in polygons]

    def overlaps(self, box: Box) -> bool:
        """Whether any of it shares area with a rectangle."""
        left, right, top, bottom = _extent(box)
        return any(
            low <= right and high >= left and up <= bottom and down >= top and overlap(box, polygon)
            for polygon, low, high, up, down in self._polygons
        )


_APART = 1e-6
"""Farther apart than this they are apart by any reckoning, whatever is rounded."""


def _extent(polygon: Sequence[Point]) -> tuple[float, float, float, float]:
    xs = [x for x, _ in polygon]
    ys = [y for _, y in polygon]
    return min(xs) - _APART, max(xs) + _APART, min(ys) - _APART, max(ys) + _APART


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
    drawn = Taken(taken)
    for side in (1.0, -1.0):
        for t in PLACES_ALONG:
            centre = (
                start[0] + t * (end[0] - start[0]) + side * normal[0] * height * ABOVE,
                start[1] + t * (end[1] - start[1]) + side * normal[1] * height * ABOVE,
            )
            box = text_box(centre, width, height, angle)
            if not drawn.overlaps(box):
                return Figure(centre, angle, box)
    return None


DIRECTIONS = (270, 90, 180, 0, 225, 315, 135, 45, 248, 293, 113, 68, 203, 158, 338, 23)
"""Degrees on the page at which a number may stand in its disc, the best first."""

DEPTHS = (0.7, 0.58, 0.8, 0.46, 0.87)
"""How far from the centre, in shares of the disc's radius, the best first."""

CLEAR = 0.15
"""Room about a number in a disc, in its heights."""

Disc = tuple[Point, float]


def in_disc(
    disc: Disc,
    width: float,
    height: float,
    blocked: Sequence[Disc],
    taken: Sequence[Sequence[Point]],
) -> Point | None:
    """The middle of a number of this size that shows whole within its disc, clear of the discs
    in front and of what is drawn there; None where there is no room."""
    (x, y), radius = disc
    room = CLEAR * height
    drawn = Taken(taken)
    for depth in DEPTHS:
        for angle in DIRECTIONS:
            u = x + depth * radius * math.cos(math.radians(angle))
            v = y + depth * radius * math.sin(math.radians(angle))
            if math.hypot(abs(u - x) + width / 2, abs(v - y) + height / 2) > radius - room:
                continue
            if any(
                math.hypot(max(abs(u - a) - width / 2, 0.0), max(abs(v - b) - height / 2, 0.0))
                < size + room
                for (a, b), size in blocked
            ):
                continue
            box = text_box((u, v), width, height, 0.0)
            if not drawn.overlaps(box):
                return u, v
    return None
