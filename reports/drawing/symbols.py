"""What many drawings share, each drawn once: gear outlines, the arm, shafts, marks, the scale.

Units are millimetres with the screw shaft at the origin, turned so that the first driver's
shaft lies where the lathe has it. Gears follow ISO 2203: tip circle full, pitch circle
chain-dotted.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from markupsafe import Markup

from gearchest.optimizer.arm.geometry import in_arm
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.reports.drawing import planes
from gearchest.reports.drawing.labels import Point, turned
from gearchest.reports.drawing.svg import element, joined, run, short
from gearchest.reports.words import numbers

SLOT_WIDTH, LIMB_WIDTH = 9.0, 22.0
"""mm; slots and limbs are measured by their centrelines, their widths are nominal."""

CENTRE = 4.5
"""In modules: the arms of a centre mark."""

PROTRACTOR = 0.3
"""Radius of the arc that shows the arm's angle, as a share of the axis distance."""


def definitions(
    lathe: Lathe,
    trains: Iterable[Train],
    letter: float,
    *,
    prefix: str = "",
    markers: bool = True,
) -> Markup:
    """An invisible SVG with everything that many drawings share, each drawn once: the gear
    outlines of these trains, the lathe's arm and fixed shafts, a stud, marks and scale.

    `letter` and `prefix`, which keeps two lathes on one page apart, are those that `train_svg`
    is given. The styles name arrowheads by one id, so a page has its `markers` once."""
    kinds = {(gear.teeth, gear.module) for train in trains for gear in train.gears}
    unit = float(lathe.making.module)
    parts = [_gear_symbol(prefix, teeth, module) for teeth, module in sorted(kinds)]
    parts += [
        _symbol(f"{prefix}cross", _shaft(0.0, 0.0, 0.0, unit)),
        _scale_symbol(prefix, lathe),
        *(_symbol(prefix + ident, part) for ident, part in planes.symbols(letter).items()),
        *(_markers(unit) if markers else ()),
    ]
    if lathe.banjo:
        if lathe.banjo.largest_tip_diameter is not None:
            room = element("circle", class_="cover", r=lathe.banjo.largest_tip_diameter / 2)
            parts.append(_symbol(f"{prefix}cover", room))
        parts += [
            _arm_symbol(prefix, lathe.banjo),
            _slots_symbol(prefix, lathe.banjo),
            _frame_symbol(prefix, lathe.banjo, unit),
            _symbol(f"{prefix}stud", _shaft(0.0, 0.0, lathe.banjo.stud_hub / 2, unit)),
        ]
    return element(
        "svg", element("defs", joined(parts)), class_="definitions", aria_hidden="true",
        width="0", height="0",
    )  # fmt: skip


def gear_id(teeth: int, module: Fraction) -> str:
    """The symbol's id: `g40` would be ambiguous where modules are mixed."""
    return f"g{teeth}-{short(float(module), 4).replace('.', '_')}"


def to_page(point: Point, turn: float) -> Point:
    """From the lathe's plane (y upward, the first driver's shaft on the x axis) to the page."""
    x, y = turned(point, turn)
    return x, -y


def _symbol(ident: str, content: Markup) -> Markup:
    return element("symbol", content, id=ident, overflow="visible")


def _gear_symbol(prefix: str, teeth: int, module: Fraction) -> Markup:
    gear = Gear(teeth, module)
    return _symbol(
        prefix + gear_id(teeth, module),
        element("circle", class_="tip", r=gear.tip_radius)
        + element("circle", class_="pitch", r=gear.pitch_radius),
    )


def _markers(unit: float) -> list[Markup]:
    """Arrowhead and dot of the leaders; `unit`: the module."""
    tip = element("path", class_="arrow", d="M0 0L-5-.9V.9Z", transform=f"scale({short(unit)})")
    dot = element("circle", class_="dot", r=1.3 * unit)
    return [
        element(
            "marker",
            content,
            id=ident,
            orient="auto",
            markerUnits="userSpaceOnUse",
            overflow="visible",
        )
        for ident, content in (("arrow", tip), ("dot", dot))
    ]


def _shaft(x: float, y: float, hub: float, unit: float) -> Markup:
    """A shaft end on: its hub where measured, and the centre mark."""
    arm = CENTRE * unit
    mark = f"M{run(x - arm, y)}h{short(2 * arm)}M{run(x, y - arm)}v{short(2 * arm)}"
    circle = element("circle", class_="hub", cx=x, cy=y, r=hub) if hub > 0 else Markup("")
    return circle + element("path", class_="centre", d=mark)


def _scale_symbol(prefix: str, lathe: Lathe) -> Markup:
    """A bar to measure by; its lettering takes the size of the drawing it stands in."""
    length, text = (50.8, "2 in") if numbers.inch_first(lathe) else (50.0, "50 mm")
    path = f"M0-2v4M0 0h{short(length)}m0-2v4"
    return _symbol(
        f"{prefix}scale",
        element("path", class_="scale", d=path)
        + element("text", text, class_="caption", x=length + 4, dy="0.36em"),
    )


def _frame_symbol(prefix: str, banjo: Banjo, unit: float) -> Markup:
    """The two fixed shafts, and the arm's swing as an arc about the screw shaft."""
    x, y = to_page((banjo.axis_distance, 0.0), banjo.axis_angle)
    shafts = _shaft(0.0, 0.0, banjo.screw_hub / 2, unit) + _shaft(x, y, banjo.driver_hub / 2, unit)
    first, last = banjo.swing
    if last - first >= 360:
        return _symbol(f"{prefix}frame", shafts)
    swing = arc(PROTRACTOR * 1.12 * banjo.axis_distance, first, last, banjo.axis_angle)
    return _symbol(f"{prefix}frame", element("path", class_="swing", d=swing) + shafts)


def arc(radius: float, first: float, last: float, turn: float) -> str:
    """An arc about the screw shaft from one arm angle to another."""
    (x1, y1), (x2, y2) = (about(radius, angle, turn) for angle in (first, last))
    large, sweep = int(abs(last - first) > 180), int(last < first)
    return f"M{run(x1, y1)}A{run(radius, radius)} 0 {large} {run(sweep, x2, y2)}"


def about(radius: float, angle: float, turn: float) -> Point:
    """Where on the page a radius from the screw shaft ends that stands at an arm angle."""
    a = math.radians(angle)
    return to_page((radius * math.cos(a), radius * math.sin(a)), turn)


def _arm_symbol(prefix: str, banjo: Banjo) -> Markup:
    """The arm at angle 0: limbs, slots and their centrelines, nominal in width."""
    limbs, slots = [], []
    for slot in banjo.slots:
        (x1, y1), (x2, y2) = (in_arm(slot, t) for t in (slot.start, slot.end))
        limbs.append(f"M{run(0, 0, x1, -y1, x2, -y2)}")
        slots.append(f"M{run(x1, -y1, x2, -y2)}")
    limb, slot_line = "".join(limbs), "".join(slots)
    return _symbol(
        f"{prefix}arm",
        element("path", class_="limb-edge", d=limb, stroke_width=LIMB_WIDTH)
        + element("path", class_="limb", d=limb, stroke_width=LIMB_WIDTH - 0.9)
        + element("path", class_="limb-edge", d=slot_line, stroke_width=SLOT_WIDTH)
        + element("path", class_="slot", d=slot_line, stroke_width=SLOT_WIDTH - 0.9)
        + element("path", class_="axis", d=slot_line),
    )


def _slots_symbol(prefix: str, banjo: Banjo) -> Markup:
    """The edges of the slots, for where gears hide them."""
    edges = []
    for slot in banjo.slots:
        (x1, y1), (x2, y2) = (in_arm(slot, t) for t in (slot.start, slot.end))
        length = math.hypot(x2 - x1, y2 - y1) or 1.0
        u, v = -(y2 - y1) / length * SLOT_WIDTH / 2, (x2 - x1) / length * SLOT_WIDTH / 2
        half = f"A{run(SLOT_WIDTH / 2, SLOT_WIDTH / 2)} 0 0 1 "
        edges.append(
            f"M{run(x1 + u, -(y1 + v), x2 + u, -(y2 + v))}{half}{run(x2 - u, -(y2 - v))}"
            f"L{run(x1 - u, -(y1 - v))}{half}{run(x1 + u, -(y1 + v))}"
        )
    return _symbol(f"{prefix}slots", element("path", class_="unseen-edge", d="".join(edges)))
