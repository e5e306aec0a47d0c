"""One scale for all drawings of a lathe on a page: a disc twice as large is a gear twice as large.

Every drawing is as many letters wide, so that lettering has one size as well: at 60 mm of paper
and more no letter is below 6 points.
"""

from __future__ import annotations

from collections.abc import Iterable

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing.standing import Standing

WIDE, TALL = 16.8, 21.0
"""In letter heights: the most that gears, cover and arm of a lathe's drawings measure."""

COLUMN = 5.6
"""In letter heights: width of the lettering on either side of them."""

ACROSS = WIDE + 2 * COLUMN
"""In letter heights: the width of a drawing, 28 letters: 2.14 mm of 60, 6.07 points."""


def letter_of(lathe: Lathe, answers: Iterable[Answer]) -> float:
    """Height of the lettering in mm of the lathe, for drawings of these trains."""
    tallest = 0.0
    for one in dict.fromkeys(answers):
        low, high = Standing.of(lathe, one).extent
        tallest = max(tallest, (high[0] - low[0]) / WIDE, (high[1] - low[1]) / TALL)
    return round(tallest, 3)
