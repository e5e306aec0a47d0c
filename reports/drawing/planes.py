"""The planes of a train beneath its drawing: what each shaft carries, from the headstock outwards.

A column stands under each shaft, or as near as its neighbours leave room; gears in mesh are
joined. Places without a gear take a spacer (crossed).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import Markup

from gearchest.optimizer.domain.layout import Layout
from gearchest.reports.drawing import labels
from gearchest.reports.drawing.labels import Point
from gearchest.reports.drawing.svg import element, joined, run, short

PITCH, ROW, CELL, HIGH = 3.9, 1.75, 2.9, 1.4
"""In letter heights: least distance of columns, height of a row, width and height of a gear."""

STUB, HEAD, SIDE = 0.9, 1.5, 4.2
"""In letter heights: the line from the drawing to a column, room for its name, and room beside the
columns for the names of the planes."""

NAME, FIGURE, BESIDE = 1.05, 0.36, 0.5
"""In letter heights: baselines of a name below its line and of a figure below its row's middle,
and the room between a plane's name and its first gear."""


def constants() -> dict[str, object]:
    """What `planes.js` draws with."""
    return {
        "pitch": PITCH, "row": ROW, "stub": STUB, "head": HEAD, "side": SIDE, "cell": CELL,
        "name": NAME, "figure": FIGURE, "beside": BESIDE,
    }  # fmt: skip


def spacers(layout: Layout) -> list[tuple[int, int]]:
    """(shaft, plane) wherever a shaft carries no gear though the train runs in that plane."""
    return [
        (shaft, plane)
        for shaft in range(layout.studs + 2)
        for plane in range(layout.stages)
        if shaft not in layout.occupied[plane]
    ]


def columns(shafts: Sequence[Point], letter: float, left: float, right: float) -> list[float]:
    """Where the columns of the shafts stand, in the shafts' order. Tenths of a letter settle
    which of two shafts stands further left, so that scripts settle it alike."""
    order = sorted(
        range(len(shafts)), key=lambda i: (math.floor(shafts[i][0] / letter * 10 + 0.5), i)
    )
    pitch = PITCH * letter
    wanted = [shafts[i][0] for i in order]
    places = labels.gathered(wanted, pitch, left + SIDE * letter, right - pitch / 2)
    found = dict(zip(order, places, strict=True))
    return [found[i] for i in range(len(shafts))]


@dataclass(frozen=True)
class Planes:
    """The planes of one train: `names` of its shafts, `teeth` in mesh order; drawn from `top`
    down, between `left` and `right`."""

    layout: Layout
    names: Sequence[str]
    teeth: Sequence[int]
    shafts: Sequence[Point]
    letter: float
    top: float
    left: float
    right: float
    prefix: str = ""

    @property
    def bottom(self) -> float:
        """Where they end."""
        return self._row(self.layout.stages - 1) + ROW / 2 * self.letter

    @property
    def svg(self) -> Markup:
        """The lines from the drawing, the names, the gears and the spacers."""
        letter, layout = self.letter, self.layout
        xs = columns(self.shafts, letter, self.left, self.right)
        down = self.top + STUB * letter
        stubs = "".join(
            f"M{run(shaft[0], self.top, x, down)}" for shaft, x in zip(self.shafts, xs, strict=True)
        )
        meshes, cells, numbers = [], [], []
        teeth = iter(self.teeth)
        for plane, stage in enumerate(layout.seats):
            y = self._row(plane)
            meshes.append(
                "".join(f"M{run(xs[a.shaft], y)}H{short(xs[b.shaft])}" for a, b in pairwise(stage))
            )
            for seat in stage:
                x = xs[seat.shaft]
                cells.append(self._use("cell", x, y, f"p{plane}"))
                numbers.append(_text(str(next(teeth)), x, y + FIGURE * letter))
        spaces = [
            self._use("spacer", xs[shaft], self._row(plane)) for shaft, plane in spacers(layout)
        ]
        heads = [
            _text(name, x, down + NAME * letter) for name, x in zip(self.names, xs, strict=True)
        ]
        beside = min(xs) - (CELL / 2 + BESIDE) * letter
        rows = [
            _text(f"plane {plane + 1}", beside, self._row(plane) + FIGURE * letter)
            for plane in range(layout.stages)
        ]
        return joined([
            element("path", class_="stub", d=stubs),
            element("path", class_="mesh", d="".join(meshes)),
            *spaces,
            *cells,
            element("g", joined(numbers), class_="tooth"),
            element("g", joined(heads), class_="name"),
            *([element("g", joined(rows), class_="plane")] if layout.stages > 1 else ()),
        ])  # fmt: skip

    def _row(self, plane: int) -> float:
        return self.top + (STUB + HEAD + (plane + 0.5) * ROW) * self.letter

    def _use(self, ident: str, x: float, y: float, kind: str | None = None) -> Markup:
        return element("use", href=f"#{self.prefix}{ident}", x=x or None, y=y or None, class_=kind)


def symbols(letter: float) -> dict[str, Markup]:
    """A gear and a spacer as they stand in a plane, by their ids."""
    w, h = CELL / 2 * letter, HIGH / 2 * letter
    box = f"M{run(-w, -h)}h{short(2 * w)}v{short(2 * h)}h{short(-2 * w)}z"
    cross = f"l{run(2 * w, 2 * h)}m{run(0, -2 * h)}l{run(-2 * w, 2 * h)}"
    return {
        "cell": element("path", class_="body", d=box),
        "spacer": element("path", class_="spacer", d=box + cross),
    }


def _text(words: str, x: float, y: float) -> Markup:
    return element("text", words, x=x, y=y)
