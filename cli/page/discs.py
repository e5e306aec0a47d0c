"""Gears as discs, each as large beside the others as its teeth make it."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from gearchest.reports.drawing.svg import element, joined, run

MOST_DRAWN = 60

_ROW = 460.0
"""Units across."""

_SCALE = 1.0
"""Units for a tooth."""


def discs(teeth: Sequence[int]) -> Markup:
    """The gears in rows, tooth counts in them; past the first `MOST_DRAWN` none are drawn."""
    if not teeth:
        return Markup("")
    x, y, height = 0.0, 0.0, 0.0
    drawn: list[Markup] = []
    for count in sorted(teeth)[:MOST_DRAWN]:
        across = max(count * _SCALE, 22.0)
        if x + across > _ROW and x:
            x, y, height = 0.0, y + height + 6, 0.0
        centre = (x + across / 2, y + across / 2)
        drawn.append(element("circle", cx=centre[0], cy=centre[1], r=across / 2, class_="tip"))
        drawn.append(element("circle", cx=centre[0], cy=centre[1], r=across / 2 - 2,
                             class_="pitch"))  # fmt: skip
        drawn.append(element("text", str(count), x=centre[0], y=centre[1] + 5))
        x, height = x + across + 5, max(height, across)
    title = element("title", f"{len(teeth)} gears: {', '.join(map(str, sorted(teeth)))}")
    return element("svg", title + joined(drawn), class_="discs p1", role="img",
                   viewBox=run(-1, -1, _ROW + 2, y + height + 2))  # fmt: skip
