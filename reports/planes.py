"""The developed section of a train: which gear sits in which plane on which shaft.

Cut along the line of the shaft centres and unfolded, as ISO 2203 shows gears in section:
each gear a rectangle over its tip diameter, its pitch line chain-dotted. Shaft distances
are to scale, planes are one face width each. Places without a gear take a spacer (crossed).
"""

from __future__ import annotations

from itertools import accumulate

from markupsafe import Markup

from gearchest.optimizer.layout import Layout, Seat
from gearchest.optimizer.train import Train
from gearchest.reports.drawing import gear_names
from gearchest.reports.svg import element, joined, short

LETTERS = 25.0
"""Width of the section in letter heights."""

ROW, SPACER, NAME = 2.1, 1.4, 3.4
"""In letter heights: height of a plane, width of a spacer, width of a shaft's name."""


def shaft_names(layout: Layout) -> list[str]:
    """The shafts from the first driver's to the screw's."""
    studs = ["stud"] if layout.studs == 1 else [f"stud {n + 1}" for n in range(layout.studs)]
    return ["driver", *studs, "screw"]


def spacers(layout: Layout) -> list[Seat]:
    """Planes in which a shaft carries no gear though the train runs there, as (shaft, plane).

    A shaft needs its spacer in every plane between the machine and its own gear, so that the
    gear comes to run in its plane: planes count from the machine outwards.
    """
    found = []
    for shaft in range(layout.studs + 2):
        own = [plane for plane in range(layout.stages) if shaft in layout.occupied[plane]]
        found += [
            Seat(shaft, plane, layout.seats[plane][0].place)
            for plane in range(layout.stages)
            if plane not in own
        ]
    return found


def planes_svg(train: Train) -> Markup:
    """The section as inline SVG."""
    xs = list(accumulate(train.spans, initial=0.0))
    seated = train.seated
    low = min(xs[seat.shaft] - gear.tip_radius for seat, gear in seated)
    high = max(xs[seat.shaft] + gear.tip_radius for seat, gear in seated)
    letter = (high - low) / (LETTERS - 4.2)
    left, top = low - 3.9 * letter, -2.9 * letter
    bottom = train.layout.stages * ROW * letter
    parts = [
        *(_shaft(x, letter, bottom) for x in xs),
        *(_spacer(xs[seat.shaft], seat.plane, letter) for seat in spacers(train.layout)),
        *(
            _gear(xs[seat.shaft], gear.tip_radius, gear.pitch_radius, seat.plane, str(gear), letter)
            for seat, gear in seated
        ),
        *(
            _caption(x, name, raised, letter)
            for x, name, raised in zip(
                xs, shaft_names(train.layout), _raised(xs, letter), strict=True
            )
        ),
        *(
            element("text", f"plane {plane + 1}", class_="caption", x=left + 0.2 * letter,
                    y=_middle(plane, letter) + 0.28 * letter)
            for plane in range(train.layout.stages)
        ),
    ]  # fmt: skip
    return element(
        "svg",
        joined(parts),
        class_="planes",
        role="img",
        aria_label=_described(train),
        viewBox=" ".join(
            short(v) for v in (left, top, high - left + 0.3 * letter, bottom - top + 0.5 * letter)
        ),
        font_size=letter,
    )


def _described(train: Train) -> str:
    names = gear_names(train)
    shafts = shaft_names(train.layout)
    said = [
        f"{name} {gear} on the {shafts[seat.shaft]}, plane {seat.plane + 1}"
        for name, (seat, gear) in zip(names, train.seated, strict=True)
    ]
    return f"Planes of the gears: {'; '.join(said)}."


def _middle(plane: int, letter: float) -> float:
    return (plane + 0.5) * ROW * letter


def _shaft(x: float, letter: float, bottom: float) -> Markup:
    start = -0.35 * letter
    return element(
        "path", class_="axis", d=f"M{short(x)} {short(start)}V{short(bottom + 0.35 * letter)}"
    )


def _gear(
    x: float, tip: float, pitch: float, plane: int, text: str, letter: float
) -> Markup:  # fmt: skip
    y, half = _middle(plane, letter), 0.42 * ROW * letter
    lines = "".join(
        f"M{short(x + side * pitch)} {short(y - half)}v{short(2 * half)}" for side in (-1, 1)
    )
    return (
        element("rect", class_=f"body p{plane}", x=x - tip, y=y - half, width=2 * tip,
                height=2 * half)
        + element("path", class_="pitch", d=lines)
        + element("text", text, class_="tooth", x=x, y=y + 0.38 * letter, text_anchor="middle")
    )  # fmt: skip


def _spacer(x: float, plane: int, letter: float) -> Markup:
    y, w, h = _middle(plane, letter), SPACER / 2 * letter, 0.42 * ROW * letter
    return element(
        "path",
        class_="spacer",
        d=f"M{short(x - w)} {short(y - h)}h{short(2 * w)}v{short(2 * h)}h{short(-2 * w)}z"
        f"l{short(2 * w)} {short(2 * h)}m0 {short(-2 * h)}l{short(-2 * w)} {short(2 * h)}",
    )


def _raised(xs: list[float], letter: float) -> list[bool]:
    """Which captions stand in the upper row: every other one, where shafts are near."""
    raised = [False] * len(xs)
    for i in range(1, len(xs)):
        raised[i] = xs[i] - xs[i - 1] < NAME * letter and not raised[i - 1]
    return raised


def _caption(x: float, name: str, raised: bool, letter: float) -> Markup:
    y = (-1.9 if raised else -0.7) * letter
    return element("text", name, class_="caption", x=x, y=y, text_anchor="middle")
