"""Rounding square stock, against polygons cut by Shapely."""

from __future__ import annotations

import math

import pytest
from shapely import Polygon, affinity, box

from gearchest.optimizer.threads.wooden import nut_clearance
from gearchest.optimizer.turning.wood import rounding, stock_side


def sawn(sides: int) -> Polygon:
    """A unit square with its corners cut as the sheet says: one straight cut after another."""
    how = rounding(sides)
    blank = box(0, 0, 1, 1)
    # The part beyond a line through (from_corner, 0) rising at `angle` towards the corner x = 0.
    slope = math.tan(math.radians(how.angle))
    start = how.from_corner
    offcut = Polygon([(start, 0), (start - 2, 2 * slope), (start - 2, -1), (start, -1)])
    cuts = 0
    for quarter in range(4):
        for mirrored in (False, True):
            if mirrored and how.cuts == 4:
                continue
            part = affinity.scale(offcut, -1, 1, origin=(0.5, 0.5)) if mirrored else offcut
            blank = blank.difference(affinity.rotate(part, 90 * quarter, origin=(0.5, 0.5)))
            cuts += 1
    assert cuts == how.cuts
    return blank


@pytest.mark.parametrize("sides", [8, 12])
def test_cuts_leave_a_regular_polygon_round_the_circle(sides: int) -> None:
    blank = sawn(sides)
    corners = list(blank.normalize().simplify(1e-9).exterior.coords)[:-1]
    assert len(corners) == sides
    lengths = [math.dist(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    assert lengths == pytest.approx([lengths[0]] * sides)
    assert rounding(sides).flat == pytest.approx(lengths[0])
    assert rounding(sides).waste == pytest.approx(1 - math.pi / 4 / blank.area)


@pytest.mark.parametrize(
    ("sides", "from_corner", "flat", "waste"),
    [(4, 0, 1, 0.215), (8, 0.293, 0.414, 0.052), (12, 0.366, 0.268, 0.023)],
)
def test_shop_figures(sides: int, from_corner: float, flat: float, waste: float) -> None:
    """Figures as the trade states them, three places (common practice, no source)."""
    how = rounding(sides)
    assert how.from_corner == pytest.approx(from_corner, abs=5e-4)
    assert how.flat == pytest.approx(flat, abs=5e-4)
    assert how.waste == pytest.approx(waste, abs=5e-4)


def test_square_stock_left_square_takes_no_cut() -> None:
    """Turned round from the square: 1 - pi/4 of it is waste."""
    left = rounding(4)
    assert (left.cuts, left.angle, left.from_corner, left.flat) == (0, 0.0, 0.0, 1.0)
    assert left.waste == pytest.approx(1 - math.pi / 4)


def test_other_blanks_are_refused() -> None:
    with pytest.raises(ValueError, match="8 or 12"):
        rounding(6)


def test_stock_leaves_something_to_turn() -> None:
    assert stock_side(50.0) == 53
    assert stock_side(47.2) == 51
    assert nut_clearance(50) == pytest.approx(1.0)
    assert nut_clearance(10) == 0.5
