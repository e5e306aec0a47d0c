"""The small drawing at the head of a chart that names shafts and planes."""

from __future__ import annotations

from markupsafe import Markup

from gearchest.optimizer.domain.train import Train
from gearchest.reports.drawing.planes import PITCH, SIDE, Planes, symbols
from gearchest.reports.drawing.svg import element, joined, run

LETTER, APART = 10.0, 1.3
"""Height of the lettering, and how far shafts stand apart in least distances of columns."""

PREFIX = "key-"
"""Keeps its parts apart from those of other drawings on the page."""


def key_svg(train: Train, *, gearbox: bool) -> Markup:
    """The planes of a train, shafts side by side; needs nothing else on the page."""
    pitch = APART * PITCH * LETTER
    shafts = [(shaft * pitch, 0.0) for shaft in range(train.layout.studs + 2)]
    left, right = -(SIDE + PITCH) * LETTER, shafts[-1][0] + PITCH * LETTER
    planes = Planes(
        train.layout, train.layout.shaft_names(gearbox=gearbox),
        [gear.teeth for gear in train.gears], shafts, LETTER, 0.0, left, right, PREFIX,
    )  # fmt: skip
    shared = [
        element("symbol", part, id=PREFIX + ident, overflow="visible")
        for ident, part in symbols(LETTER).items()
    ]
    return element(
        "svg",
        element("defs", joined(shared)) + planes.svg,
        class_="key",
        role="img",
        aria_label="Planes and shafts: " + "; ".join(
            ", ".join(map(str, gears)) for gears in train.stages
        ),
        viewBox=run(left, 0.0, right - left, planes.bottom + 0.2 * LETTER),
        font_size=LETTER,
    )  # fmt: skip
