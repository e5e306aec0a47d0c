"""The developed section of a train: which gear sits in which plane on which shaft.

Cut along the line of the shaft centres and unfolded, as ISO 2203 shows gears in section:
each gear a rectangle over its tip diameter, its pitch line chain-dotted. Shaft distances
are to scale, planes are one face width each. Places without a gear take a spacer (crossed).
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import accumulate

from markupsafe import Markup

from gearchest.optimizer.gear import Gear
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.layout import Layout
from gearchest.optimizer.train import Train
from gearchest.reports.drawing import gear_id
from gearchest.reports.svg import element, joined, short

LETTER = 9.0
"""Height of the lettering in modules of the lathe's gears."""

ROW, SPACER, NAME = 2.1, 1.4, 3.4
"""In letter heights: height of a plane, width of a spacer, width of a shaft's name."""


def shaft_names(layout: Layout) -> list[str]:
    """The shafts from the first driver's to the screw's."""
    studs = ["stud"] if layout.studs == 1 else [f"stud {n + 1}" for n in range(layout.studs)]
    return ["driver", *studs, "screw"]


def spacers(layout: Layout) -> list[tuple[int, int]]:
    """(shaft, plane) wherever a shaft carries no gear though the train runs in that plane."""
    return [
        (shaft, plane)
        for shaft in range(layout.studs + 2)
        for plane in range(layout.stages)
        if shaft not in layout.occupied[plane]
    ]


def planes_definitions(lathe: Lathe, trains: Iterable[Train]) -> Markup:
    """An invisible SVG with each gear in section and a spacer, drawn once."""
    letter = LETTER * float(lathe.making.module)
    kinds = {(g.teeth, g.module): g for train in trains for g in train.gears}
    parts = [_gear(kinds[kind], letter) for kind in sorted(kinds)]
    return element(
        "svg", element("defs", joined([*parts, _spacer(letter)])), class_="definitions",
        aria_hidden="true", width="0", height="0",
    )  # fmt: skip


def planes_svg(lathe: Lathe, train: Train) -> Markup:
    """The section; empty for a train that runs in one plane. `planes_definitions` must
    stand on the same page."""
    layout = train.layout
    if layout.stages == 1:
        return Markup("")
    letter = LETTER * float(lathe.making.module)
    xs = list(accumulate(train.spans, initial=0.0))
    low = min(xs[seat.shaft] - gear.tip_radius for seat, gear in train.seated)
    high = max(xs[seat.shaft] + gear.tip_radius for seat, gear in train.seated)
    raised = _raised(xs, letter)
    left, top = low - 3.9 * letter, (-2.8 if any(raised) else -1.6) * letter
    bottom = layout.stages * ROW * letter
    axes = "".join(f"M{short(x)} {short(-0.35 * letter)}V{short(bottom)}" for x in xs)
    parts = [
        element("path", class_="axis", d=axes),
        *(_use("spacer", xs[shaft], plane, letter) for shaft, plane in spacers(layout)),
        *(
            _use(section_id(gear), xs[seat.shaft], seat.plane, letter, f"p{seat.plane}")
            for seat, gear in train.seated
        ),
        *(
            _caption(x, name, high_up, letter)
            for x, name, high_up in zip(xs, shaft_names(layout), raised, strict=True)
        ),
        *(
            element("text", f"plane {plane + 1}", class_="caption", x=left + 0.2 * letter,
                    y=_middle(plane, letter) + 0.28 * letter)
            for plane in range(layout.stages)
        ),
    ]  # fmt: skip
    width = high - left + 0.3 * letter
    return element(
        "svg",
        joined(parts),
        class_="planes",
        role="img",
        aria_label=_described(train),
        viewBox=" ".join(short(v) for v in (left, top, width, bottom - top + 0.2 * letter)),
        font_size=letter,
    )


def section_id(gear: Gear) -> str:
    """The id of a gear's section."""
    return "s" + gear_id(gear.teeth, gear.module)


def _described(train: Train) -> str:
    planes = [", ".join(str(gear) for gear in gears) for gears in train.stages]
    return "Gears by plane: " + "; ".join(f"{i}: {p}" for i, p in enumerate(planes, start=1))


def _middle(plane: int, letter: float) -> float:
    return (plane + 0.5) * ROW * letter


def _use(ident: str, x: float, plane: int, letter: float, kind: str | None = None) -> Markup:
    return element("use", href=f"#{ident}", x=x, y=_middle(plane, letter), class_=kind)


def _gear(gear: Gear, letter: float) -> Markup:
    tip, pitch, half = gear.tip_radius, gear.pitch_radius, 0.42 * ROW * letter
    lines = "".join(f"M{short(s * pitch)} {short(-half)}v{short(2 * half)}" for s in (-1, 1))
    content = (
        element("rect", class_="body", x=-tip, y=-half, width=2 * tip, height=2 * half)
        + element("path", class_="pitch", d=lines)
        + element("text", str(gear), class_="tooth", y=0.38 * letter)
    )
    return element("symbol", content, id=section_id(gear), overflow="visible")


def _spacer(letter: float) -> Markup:
    w, h = SPACER / 2 * letter, 0.42 * ROW * letter
    path = (
        f"M{short(-w)} {short(-h)}h{short(2 * w)}v{short(2 * h)}h{short(-2 * w)}z"
        f"l{short(2 * w)} {short(2 * h)}m0 {short(-2 * h)}l{short(-2 * w)} {short(2 * h)}"
    )
    content = element("path", class_="spacer", d=path)
    return element("symbol", content, id="spacer", overflow="visible")


def _raised(xs: list[float], letter: float) -> list[bool]:
    """Which captions stand in the upper row: every other one, where shafts are near."""
    raised = [False] * len(xs)
    for i in range(1, len(xs)):
        raised[i] = xs[i] - xs[i - 1] < NAME * letter and not raised[i - 1]
    return raised


def _caption(x: float, name: str, raised: bool, letter: float) -> Markup:
    y = (-1.9 if raised else -0.7) * letter
    return element("text", name, class_="caption name", x=x, y=y)
