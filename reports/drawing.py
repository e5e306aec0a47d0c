"""To-scale drawings of trains on the arm, as inline SVG.

Units are millimetres with the screw shaft at the origin, turned so that the first driver's
shaft lies where the lathe has it. Gears follow ISO 2203: tip circle full, pitch circle
chain-dotted. Each gear and the arm are drawn once, by `definitions`, and used everywhere.
`static/train.js` draws the same for trains chosen in the browser; a test holds them equal.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from markupsafe import Markup

from gearchest.optimizer.gear import Gear
from gearchest.optimizer.lathe import Banjo, Lathe
from gearchest.optimizer.result import Answer
from gearchest.optimizer.train import Train
from gearchest.reports import labels, numbers
from gearchest.reports.labels import Point
from gearchest.reports.schematic import chain
from gearchest.reports.svg import element, joined, short

SLOT_WIDTH, LIMB_WIDTH = 9.0, 22.0
"""mm; slots and limbs are measured by their centrelines, their widths are nominal."""

PROTRACTOR = 0.3
"""Radius of the arc that shows the arm's angle, as a share of the axis distance."""

WIDTH_IN_LETTERS, HEIGHT_IN_LETTERS = 15.5, 24.0
"""How many letter heights the gears' extent measures: sets the lettering's size."""

COLUMN, CALLOUT, FIGURE_WIDTH = 4.6, 2.35, 0.56
"""In letter heights: width of a callout column, height of a callout, width of a figure."""


@dataclass(frozen=True)
class Callout:
    """A caption and value beside the drawing; the leader ends `radius` from `target`."""

    caption: str
    value: str
    target: Point
    radius: float = 0.0


def definitions(
    lathe: Lathe, trains: Iterable[Train], *, prefix: str = "", markers: bool = True
) -> Markup:
    """An invisible SVG with everything that many drawings share, each drawn once: the gear
    outlines of these trains, the lathe's arm and fixed shafts, a stud, marks and scale.

    `prefix` keeps two lathes on one page apart: give `train_svg` the same. The styles name
    arrowheads by one id, so a page has its `markers` once."""
    kinds = {(gear.teeth, gear.module) for train in trains for gear in train.gears}
    unit = float(lathe.making.module)
    parts = [_gear_symbol(prefix, teeth, module) for teeth, module in sorted(kinds)]
    parts += [
        _symbol(f"{prefix}cross", _shaft(0.0, 0.0, 0.0, unit)),
        _scale_symbol(prefix, lathe),
        *(_markers(unit) if markers else ()),
    ]
    if lathe.banjo:
        parts += [
            _arm_symbol(prefix, lathe.banjo),
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


def train_svg(lathe: Lathe, answer: Answer, *, prefix: str = "") -> Markup:
    """The train on the arm, facing the gears; `definitions` must stand on the same page.

    Without a measured arm, or where the train will not close on it, the shafts are placed
    schematically and the drawing says so.
    """
    return _Drawing(lathe, answer, prefix).svg


def drawing(lathe: Lathe, answer: Answer) -> Markup:
    """One drawing with its own definitions, for a page that holds a single train."""
    return definitions(lathe, [answer.train]) + train_svg(lathe, answer)


def gear_names(train: Train) -> list[str]:
    """A name for each gear in mesh order: A drives B, C drives D, E drives F."""
    names = []
    for stage, idlers in enumerate(train.layout.idlers):
        names += [chr(65 + 2 * stage), *["idler"] * idlers, chr(66 + 2 * stage)]
    return names


def described(train: Train) -> str:
    """The train in words, for those who do not see the drawing."""
    stages = []
    for gears in train.stages:
        through = "".join(f" through an idler of {idler}" for idler in gears[1:-1])
        stages.append(f"{gears[0]} drives {gears[-1]}{through}")
    return ", on its stud ".join(stages)


def to_page(point: Point, turn: float) -> Point:
    """From the lathe's plane (y upward, the first driver's shaft on the x axis) to the page."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return (point[0] * c - point[1] * s, -(point[0] * s + point[1] * c))


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
    arm = 4.5 * unit
    mark = (
        f"M{short(x - arm)} {short(y)}h{short(2 * arm)}"
        f"M{short(x)} {short(y - arm)}v{short(2 * arm)}"
    )
    circle = element("circle", class_="hub", cx=x, cy=y, r=hub) if hub > 0 else Markup("")
    return circle + element("path", class_="centre", d=mark)


def _scale_symbol(prefix: str, lathe: Lathe) -> Markup:
    """A bar to measure by; its lettering takes the size of the drawing it stands in."""
    length, text = (50.8, "2 in") if numbers.inch_first(lathe) else (50.0, "50 mm")
    path = f"M0-2v4M0 0h{short(length)}m0-2v4"
    return _symbol(
        f"{prefix}scale",
        element("path", class_="scale", d=path)
        + element("text", text, class_="caption", x=length + 4, dy="0.3em"),
    )


def _frame_symbol(prefix: str, banjo: Banjo, unit: float) -> Markup:
    """The two fixed shafts, and the arm's swing as an arc about the screw shaft."""
    x, y = to_page((banjo.axis_distance, 0.0), banjo.axis_angle)
    shafts = _shaft(0.0, 0.0, banjo.screw_hub / 2, unit) + _shaft(x, y, banjo.driver_hub / 2, unit)
    first, last = banjo.swing
    if last - first >= 360:
        return _symbol(f"{prefix}frame", shafts)
    arc = _arc(PROTRACTOR * 1.12 * banjo.axis_distance, first, last, banjo.axis_angle)
    return _symbol(f"{prefix}frame", element("path", class_="swing", d=arc) + shafts)


def _arc(radius: float, first: float, last: float, turn: float) -> str:
    """An arc about the screw shaft from one arm angle to another."""
    (x1, y1), (x2, y2) = (_about(radius, angle, turn) for angle in (first, last))
    large, sweep = int(abs(last - first) > 180), int(last < first)
    return (
        f"M{short(x1)} {short(y1)}A{short(radius)} {short(radius)} 0 {large} {sweep} "
        f"{short(x2)} {short(y2)}"
    )


def _about(radius: float, angle: float, turn: float) -> Point:
    a = math.radians(angle)
    return to_page((radius * math.cos(a), radius * math.sin(a)), turn)


def _arm_symbol(prefix: str, banjo: Banjo) -> Markup:
    """The arm at angle 0: limbs, slots and their centrelines, nominal in width."""
    limbs, slots = [], []
    for slot in banjo.slots:
        (x1, y1), (x2, y2) = (_in_arm(slot.angle, slot.offset, t) for t in (slot.start, slot.end))
        limbs.append(f"M0 0L{short(x1)} {short(-y1)}L{short(x2)} {short(-y2)}")
        slots.append(f"M{short(x1)} {short(-y1)}L{short(x2)} {short(-y2)}")
    limb, slot_line = "".join(limbs), "".join(slots)
    return _symbol(
        f"{prefix}arm",
        element("path", class_="limb-edge", d=limb, stroke_width=LIMB_WIDTH)
        + element("path", class_="limb", d=limb, stroke_width=LIMB_WIDTH - 0.9)
        + element("path", class_="limb-edge", d=slot_line, stroke_width=SLOT_WIDTH)
        + element("path", class_="slot", d=slot_line, stroke_width=SLOT_WIDTH - 0.9)
        + element("path", class_="axis", d=slot_line),
    )


def _in_arm(angle: float, offset: float, position: float) -> Point:
    b = math.radians(angle)
    return (
        position * math.cos(b) - offset * math.sin(b),
        position * math.sin(b) + offset * math.cos(b),
    )


class _Drawing:
    """Works out one drawing; every attribute is fixed once by the constructor."""

    def __init__(self, lathe: Lathe, answer: Answer, prefix: str = "") -> None:
        self.prefix = prefix
        self.lathe, self.answer, self.train = lathe, answer, answer.train
        self.banjo = lathe.banjo
        self.seats = self.train.seated
        self.placed = self.banjo is not None and answer.fit.placement is not None
        self.turn = self.banjo.axis_angle if self.banjo and self.placed else 0.0
        self.shafts = self._shafts()
        self.low, self.high = self._extent()
        width, height = self.high[0] - self.low[0], self.high[1] - self.low[1]
        self.letter = max(width / WIDTH_IN_LETTERS, height / HEIGHT_IN_LETTERS)
        self.boxes: list[tuple[Point, ...]] = []

    @property
    def svg(self) -> Markup:
        margin = 0.4 * self.letter
        left = self.low[0] - COLUMN * self.letter
        width = self.high[0] - self.low[0] + 2 * COLUMN * self.letter
        callouts, bottom = self._callouts()
        bottom += 2.2 * self.letter
        top = self.low[1] - margin
        parts = [
            self._arm(),
            self._gears(),
            self._cover(),
            self._shaft_marks(),
            callouts,
            self._distances(),
            element("use", href=f"#{self.prefix}scale", x=left + 3, y=bottom - 0.7 * self.letter),
        ]
        return element(
            "svg",
            joined(parts),
            class_="train",
            role="img",
            aria_label=self._label(),
            viewBox=" ".join(short(v) for v in (left, top, width, bottom - top)),
            font_size=self.letter,
        )

    def _label(self) -> str:
        where = "to scale on the arm" if self.placed else "gears to scale, shafts schematic"
        return f"Gear train {where}: {described(self.train)}."

    # Geometry

    def _page(self, point: Point) -> Point:
        return to_page(point, self.turn)

    def _shafts(self) -> list[Point]:
        placement = self.answer.fit.placement
        if self.banjo is None or placement is None:
            return [self._page(point) for point in chain(self.train)]
        studs = [(stud.x, stud.y) for stud in placement.studs]
        return [self._page(p) for p in ((self.banjo.axis_distance, 0.0), *studs, (0.0, 0.0))]

    def _arm_angle(self) -> float | None:
        placement = self.answer.fit.placement
        return placement.arm_angle if self.placed and placement else None

    def _hub(self, shaft: int) -> float:
        """Radius of what stands proud on a shaft; 0 where unmeasured."""
        if self.banjo is None:
            return 0.0
        if shaft == 0:
            return self.banjo.driver_hub / 2
        last = shaft == len(self.shafts) - 1
        return (self.banjo.screw_hub if last else self.banjo.stud_hub) / 2

    def _cover_circle(self) -> tuple[Point, float] | None:
        """The largest gear allowed under the cover, about the train's largest gear."""
        if self.banjo is None or self.banjo.largest_tip_diameter is None:
            return None
        seat, _ = max(self.seats, key=lambda pair: pair[1].tip_radius)
        return self.shafts[seat.shaft], self.banjo.largest_tip_diameter / 2

    def _extent(self) -> tuple[Point, Point]:
        discs = [(self.shafts[seat.shaft], gear.tip_radius) for seat, gear in self.seats]
        if cover := self._cover_circle():
            discs.append(cover)
        arm = self._arm_angle()
        if self.banjo and arm is not None:
            for slot in self.banjo.slots:
                tip = _in_arm(slot.angle + arm, slot.offset, slot.end)
                # The offset turns along with the slot.
                discs.append((self._page(tip), LIMB_WIDTH / 2))
        return (
            (min(x - r for (x, _), r in discs), min(y - r for (_, y), r in discs)),
            (max(x + r for (x, _), r in discs), max(y + r for (_, y), r in discs)),
        )

    # What is drawn, from the back to the front

    def _arm(self) -> Markup:
        arm = self._arm_angle()
        if arm is None:
            return Markup("")
        return element(
            "use", href=f"#{self.prefix}arm", transform=f"rotate({short(-(arm + self.turn), 2)})"
        )

    def _gears(self) -> Markup:
        uses = []
        for seat, gear in self.seats:
            x, y = self.shafts[seat.shaft]
            uses.append(
                element(
                    "use",
                    href=f"#{self.prefix}{gear_id(gear.teeth, gear.module)}",
                    x=x,
                    y=y,
                    class_=f"p{seat.plane}",
                )
            )
        return joined(uses)

    def _cover(self) -> Markup:
        cover = self._cover_circle()
        if cover is None:
            return Markup("")
        (x, y), radius = cover
        return element("circle", class_="cover", cx=x, cy=y, r=radius)

    def _shaft_marks(self) -> Markup:
        """Shafts end on; on a measured arm with the swing and the arm's angle."""
        if self.banjo is None or not self.placed:
            return joined(
                [element("use", href=f"#{self.prefix}cross", x=x, y=y) for x, y in self.shafts]
            )
        parts = [element("use", href=f"#{self.prefix}frame")]
        parts += [
            element("use", href=f"#{self.prefix}stud", x=x, y=y) for x, y in self.shafts[1:-1]
        ]
        arm = self._arm_angle()
        if arm is not None:
            arc = _arc(PROTRACTOR * self.banjo.axis_distance, 0.0, arm, self.turn)
            parts.append(element("path", class_="angle", d=arc))
        return joined(parts)

    # Lettering

    def _callouts(self) -> tuple[Markup, float]:
        """The callouts in two columns, and where the drawing ends below."""
        items = sorted(self._callout_items(), key=lambda c: c.target[0])
        half = (len(items) + 1) // 2
        parts, bottom = [], self.high[1]
        for side, members in ((-1, items[:half]), (1, items[half:])):
            members = sorted(members, key=lambda c: c.target[1])
            pitch = CALLOUT * self.letter
            low, high = self.low[1] + pitch / 2, self.high[1] - pitch / 2
            heights = labels.spread([c.target[1] for c in members], pitch, low, high)
            column = [self._callout(c, side, y) for c, y in zip(members, heights, strict=True)]
            anchor = "end" if side < 0 else "start"
            parts.append(element("g", joined(column), text_anchor=anchor))
            bottom = max([bottom, *(y + pitch / 2 for y in heights)])
        return joined(parts), bottom

    def _callout_items(self) -> list[Callout]:
        items = [
            Callout(name, str(gear.teeth), self.shafts[seat.shaft], gear.tip_radius)
            for name, (seat, gear) in zip(gear_names(self.train), self.seats, strict=True)
        ]
        placement = self.answer.fit.placement
        if not self.placed or placement is None or self.banjo is None:
            return items
        for number, stud in enumerate(placement.studs, start=1):
            name = "in slot" if len(placement.studs) == 1 else f"stud {number}"
            at = numbers.figure(stud.position)
            items.append(Callout(name, at, self._page((stud.x, stud.y))))
        if placement.arm_angle is not None:
            radius = PROTRACTOR * self.banjo.axis_distance
            middle = _about(radius, placement.arm_angle / 2, self.turn)
            angle = numbers.degrees(placement.arm_angle)
            items.append(Callout("arm", angle, middle))
        gap = self._tightest_gap()
        if gap:
            items.append(Callout("clear", numbers.figure(gap[1]), gap[0]))
        return items

    def _tightest_gap(self) -> tuple[Point, float] | None:
        """The middle of the tightest clearance, and its width in mm."""
        gears = dict(self.seats)
        parts = [(a, b.shaft, gears[b].tip_radius) for a, b in self.train.layout.tip_pairs]
        parts += [(a, shaft, self._hub(shaft)) for a, shaft in self.train.layout.hub_pairs]
        gaps = []
        for seat, shaft, radius in parts:
            one, other = self.shafts[seat.shaft], self.shafts[shaft]
            apart = math.dist(one, other)
            gap = apart - gears[seat].tip_radius - radius
            t = (gears[seat].tip_radius + gap / 2) / apart if apart else 0.0
            middle = (one[0] + t * (other[0] - one[0]), one[1] + t * (other[1] - one[1]))
            gaps.append((middle, gap))
        return min(gaps, key=lambda g: round(g[1], 6)) if gaps else None

    def _callout(self, callout: Callout, side: int, y: float) -> Markup:
        letter = self.letter
        edge = self.low[0] if side < 0 else self.high[0]
        start = (edge + side * 1.3 * letter, y)
        x = edge + side * 1.6 * letter
        end = _short_of(callout.target, start, callout.radius)
        self.boxes.append((start, end))
        width = max(len(callout.caption) * 0.5, len(callout.value) * 0.62) * letter
        middle = x + side * width / 2
        self.boxes.append(labels.text_box((middle, y), width, CALLOUT * letter * 0.9, 0.0))
        line = f"M{short(start[0])} {short(start[1])}L{short(end[0])} {short(end[1])}"
        kind = "leader" if callout.radius else "leader to-point"
        return (
            element("path", class_=kind, d=line)
            + element("text", callout.caption, class_="caption", x=x, y=y - 0.2 * letter)
            + element("text", callout.value, class_="value", x=x, y=y + 0.85 * letter)
        )

    def _distances(self) -> Markup:
        """Centre lines between meshing shafts with the distance to measure, in mm."""
        lines = [
            (self.shafts[i], self.shafts[i + 1], distance)
            for i, distance in enumerate(self.train.spans)
        ]
        if self.placed and self.banjo and len(self.shafts) > 2:
            lines.append((self.shafts[0], self.shafts[-1], self.banjo.axis_distance))
        taken = [*self.boxes]
        for x, y in self.shafts:
            taken.append(labels.text_box((x, y), self.letter * 0.8, self.letter * 0.8, 0.0))
        parts, path = [], ""
        for start, end, distance in lines:
            path += f"M{short(start[0])} {short(start[1])}L{short(end[0])} {short(end[1])}"
            text = numbers.figure(distance, 2).removesuffix("0").removesuffix(".0")
            width = len(text) * FIGURE_WIDTH * self.letter
            figure = labels.along(start, end, width, self.letter * 0.9, taken)
            if figure is None:
                continue
            taken.append(figure.box)
            x, y = figure.centre
            parts.append(
                element(
                    "text",
                    text,
                    class_="distance",
                    dy="0.34em",
                    transform=f"translate({short(x)} {short(y)})rotate({short(figure.angle)})",
                )
            )
        return element("path", class_="axis", d=path) + joined(parts)


def _short_of(target: Point, start: Point, radius: float) -> Point:
    """The point `radius` from the target towards the start."""
    distance = math.dist(target, start)
    if radius == 0 or distance <= radius:
        return target
    t = radius / distance
    return (target[0] + t * (start[0] - target[0]), target[1] + t * (start[1] - target[1]))
