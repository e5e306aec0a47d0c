"""The developed section of a train: which gear sits in which plane on which shaft.

Cut along the line of the shaft centres and unfolded, as ISO 2203 shows gears in section:
each gear a rectangle over its tip diameter, its pitch line chain-dotted. Shaft distances
are to scale, planes are one face width each. Places without a gear take a spacer (crossed).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import accumulate

from markupsafe import Markup

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.domain.train import Train
from gearchest.reports.drawing.svg import element, joined, run, short
from gearchest.reports.drawing.symbols import gear_id

LETTER = 9.0
"""Height of the lettering in modules of the lathe's gears."""

ROW, SPACER, NAME = 2.0, 1.4, 3.4
"""In letter heights: height of a plane, width of a spacer, width of a shaft's name."""


LEFT, RIGHT, TOP, RAISED, BOTTOM = 3.9, 0.3, 1.6, 2.8, 0.2
"""In letter heights: room beside the gears, above the first plane (with names in two rows:
RAISED) and below the last."""


def constants() -> dict[str, object]:
    """What `planes.js` draws with."""
    return {
        "letter": LETTER, "row": ROW, "name": NAME, "left": LEFT, "right": RIGHT, "top": TOP,
        "raised": RAISED, "bottom": BOTTOM,
    }  # fmt: skip


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
    """An invisible SVG with what the sections share, each drawn once: gears in section, a
    spacer, shafts with their names, and the names of the planes."""
    trains = [train for train in trains if train.layout.stages > 1]
    letter = _letter(lathe)
    kinds = {(gear.teeth, gear.module): gear for train in trains for gear in train.gears}
    shafts = {shaft for train in trains for shaft in _shafts(train, letter)}
    counts = {train.layout.stages for train in trains}
    parts = [
        *(_gear(kinds[kind], letter) for kind in sorted(kinds)),
        _spacer(letter),
        *(shaft.symbol(letter) for shaft in sorted(shafts)),
        *(_plane_names(count, letter) for count in sorted(counts)),
    ]
    return element(
        "svg", element("defs", joined(parts)), class_="definitions", aria_hidden="true",
        width="0", height="0",
    )  # fmt: skip


def planes_svg(lathe: Lathe, train: Train) -> Markup:
    """The section; empty for a train that runs in one plane. `planes_definitions` must
    stand on the same page."""
    layout = train.layout
    if layout.stages == 1:
        return Markup("")
    letter = _letter(lathe)
    xs = list(accumulate(train.spans, initial=0.0))
    low = min(xs[seat.shaft] - gear.tip_radius for seat, gear in train.seated)
    high = max(xs[seat.shaft] + gear.tip_radius for seat, gear in train.seated)
    shafts = _shafts(train, letter)
    left = low - LEFT * letter
    top = -(RAISED if any(shaft.raised for shaft in shafts) else TOP) * letter
    bottom = (layout.stages * ROW + BOTTOM) * letter
    parts = [
        _use(_planes_id(layout.stages), left, 0.0),
        *(_use(shaft.ident, x, 0.0) for shaft, x in zip(shafts, xs, strict=True)),
        *(_use("spacer", xs[shaft], _middle(plane, letter)) for shaft, plane in spacers(layout)),
        *(
            _use(section_id(gear), xs[seat.shaft], _middle(seat.plane, letter), f"p{seat.plane}")
            for seat, gear in train.seated
        ),
    ]
    width = high - left + RIGHT * letter
    return element(
        "svg",
        joined(parts),
        class_="planes",
        role="img",
        aria_label=_described(train),
        viewBox=run(left, top, width, bottom - top),
    )


def section_id(gear: Gear) -> str:
    """The id of a gear's section."""
    return "s" + gear_id(gear.teeth, gear.module)


def shaft_id(name: str) -> str:
    """What the ids of a shaft's symbols begin with."""
    return name.replace(" ", "")


@dataclass(frozen=True, order=True)
class _Shaft:
    """A shaft of a section: its name, how many planes it crosses, and whether the name stands
    in the upper row."""

    name: str
    planes: int
    raised: bool

    @property
    def ident(self) -> str:
        return f"{shaft_id(self.name)}-{self.planes}{'r' if self.raised else ''}"

    def symbol(self, letter: float) -> Markup:
        line = f"M0{short(-0.35 * letter)}V{short(self.planes * ROW * letter)}"
        name = element(
            "text", self.name, class_="caption name", y=(-1.9 if self.raised else -0.7) * letter
        )
        return _symbol(self.ident, element("path", class_="axis", d=line) + name, letter)


def _shafts(train: Train, letter: float) -> list[_Shaft]:
    """From the first driver's to the screw's; where shafts are near, every other name stands
    in the upper row."""
    found: list[_Shaft] = []
    for name, span in zip(shaft_names(train.layout), (math.inf, *train.spans), strict=True):
        raised = span < NAME * letter and not found[-1].raised
        found.append(_Shaft(name, train.layout.stages, raised))
    return found


def _described(train: Train) -> str:
    planes = [", ".join(str(gear) for gear in gears) for gears in train.stages]
    return "Planes: " + "; ".join(planes)


def _letter(lathe: Lathe) -> float:
    return LETTER * float(lathe.making.module)


def _middle(plane: int, letter: float) -> float:
    return (plane + 0.5) * ROW * letter


def _use(ident: str, x: float, y: float, kind: str | None = None) -> Markup:
    return element("use", href=f"#{ident}", x=x or None, y=y or None, class_=kind)


def _symbol(ident: str, content: Markup, letter: float) -> Markup:
    """Lettering has one size in all sections, so that they need not say it."""
    return element("symbol", content, id=ident, overflow="visible", font_size=letter)


def _planes_id(stages: int) -> str:
    return f"planes-{stages}"


def _plane_names(stages: int, letter: float) -> Markup:
    names = [
        element(
            "text", f"plane {plane + 1}", class_="caption", x=0.2 * letter,
            y=_middle(plane, letter) + 0.28 * letter,
        )
        for plane in range(stages)
    ]  # fmt: skip
    return _symbol(_planes_id(stages), joined(names), letter)


def _gear(gear: Gear, letter: float) -> Markup:
    tip, pitch, half = gear.tip_radius, gear.pitch_radius, 0.42 * ROW * letter
    lines = "".join(f"M{run(s * pitch, -half)}v{short(2 * half)}" for s in (-1, 1))
    content = (
        element("rect", class_="body", x=-tip, y=-half, width=2 * tip, height=2 * half)
        + element("path", class_="pitch", d=lines)
        + element("text", str(gear), class_="tooth", y=0.38 * letter)
    )
    return _symbol(section_id(gear), content, letter)


def _spacer(letter: float) -> Markup:
    w, h = SPACER / 2 * letter, 0.42 * ROW * letter
    path = (
        f"M{run(-w, -h)}h{short(2 * w)}v{short(2 * h)}h{short(-2 * w)}z"
        f"l{run(2 * w, 2 * h)}m{run(0, -2 * h)}l{run(-2 * w, 2 * h)}"
    )
    return _symbol("spacer", element("path", class_="spacer", d=path), letter)
