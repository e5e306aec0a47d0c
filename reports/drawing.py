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
from gearchest.optimizer.result import Answer, Fits
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
    radius: float
    kind: str


def definitions(lathe: Lathe, trains: Iterable[Train]) -> Markup:
    """An invisible SVG with every gear outline of these trains, and the lathe's arm, once."""
    kinds = {(gear.teeth, gear.module) for train in trains for gear in train.gears}
    parts = [_gear_symbol(teeth, module) for teeth, module in sorted(kinds)]
    if lathe.banjo:
        parts.append(_arm_symbol(lathe.banjo))
    return element(
        "svg", element("defs", joined(parts)), class_="definitions", aria_hidden="true",
        width="0", height="0",
    )  # fmt: skip


def gear_id(teeth: int, module: Fraction) -> str:
    """The symbol's id: `g40` would be ambiguous where modules are mixed."""
    return f"g{teeth}-{short(float(module), 4).replace('.', '_')}"


def train_svg(lathe: Lathe, answer: Answer) -> Markup:
    """The train on the arm, facing the gears; `definitions` must stand on the same page.

    Without a measured arm, or where the train will not close on it, the shafts are placed
    schematically and the drawing says so.
    """
    return _Drawing(lathe, answer).svg


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


def _gear_symbol(teeth: int, module: Fraction) -> Markup:
    gear = Gear(teeth, module)
    return element(
        "symbol",
        element("circle", class_="tip", r=gear.tip_radius)
        + element("circle", class_="pitch", r=gear.pitch_radius),
        id=gear_id(teeth, module),
        overflow="visible",
    )


def _arm_symbol(banjo: Banjo) -> Markup:
    """The arm at angle 0: limbs, slots and their centrelines, nominal in width."""
    limbs, slots = [], []
    for slot in banjo.slots:
        (x1, y1), (x2, y2) = (_in_arm(slot.angle, slot.offset, t) for t in (slot.start, slot.end))
        limbs.append(f"M0 0L{short(x1)} {short(-y1)}L{short(x2)} {short(-y2)}")
        slots.append(f"M{short(x1)} {short(-y1)}L{short(x2)} {short(-y2)}")
    limb, slot_line = "".join(limbs), "".join(slots)
    return element(
        "symbol",
        element("path", class_="limb-edge", d=limb, stroke_width=LIMB_WIDTH)
        + element("path", class_="limb", d=limb, stroke_width=LIMB_WIDTH - 0.9)
        + element("path", class_="limb-edge", d=slot_line, stroke_width=SLOT_WIDTH)
        + element("path", class_="slot", d=slot_line, stroke_width=SLOT_WIDTH - 0.9)
        + element("path", class_="axis", d=slot_line),
        id="arm",
        overflow="visible",
    )


def _in_arm(angle: float, offset: float, position: float) -> Point:
    b = math.radians(angle)
    return (
        position * math.cos(b) - offset * math.sin(b),
        position * math.sin(b) + offset * math.cos(b),
    )


class _Drawing:
    """Works out one drawing; every attribute is fixed once by the constructor."""

    def __init__(self, lathe: Lathe, answer: Answer) -> None:
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
            self._hubs(),
            self._protractor(),
            self._cover(),
            self._centre_marks(),
            callouts,
            self._distances(),
            self._scale_bar(left, bottom - 0.7 * self.letter),
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
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        return (point[0] * c - point[1] * s, -(point[0] * s + point[1] * c))

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
        return element("use", href="#arm", transform=f"rotate({short(-(arm + self.turn), 2)})")

    def _gears(self) -> Markup:
        uses = []
        for seat, gear in self.seats:
            x, y = self.shafts[seat.shaft]
            uses.append(
                element(
                    "use", href=f"#{gear_id(gear.teeth, gear.module)}", x=x, y=y,
                    class_=f"p{seat.plane}",
                )  # fmt: skip
            )
        return joined(uses)

    def _hubs(self) -> Markup:
        return joined(
            [
                element("circle", class_="hub", cx=x, cy=y, r=self._hub(shaft))
                for shaft, (x, y) in enumerate(self.shafts)
                if self._hub(shaft) > 0
            ]
        )

    def _protractor(self) -> Markup:
        """The swing as a thin arc about the screw shaft, the arm's angle as a bold one."""
        arm = self._arm_angle()
        if self.banjo is None or arm is None:
            return Markup("")
        radius = PROTRACTOR * self.banjo.axis_distance
        first, last = self.banjo.swing
        swing = self._arc(radius * 1.12, first, last) if last - first < 360 else ""
        return (
            (element("path", class_="swing", d=swing) if swing else Markup(""))
            + element("path", class_="angle", d=self._arc(radius, 0.0, arm))
        )  # fmt: skip

    def _arc(self, radius: float, first: float, last: float) -> str:
        (x1, y1), (x2, y2) = (self._about(radius, angle) for angle in (first, last))
        large, sweep = int(abs(last - first) > 180), int(last < first)
        return (
            f"M{short(x1)} {short(y1)}A{short(radius)} {short(radius)} 0 {large} {sweep} "
            f"{short(x2)} {short(y2)}"
        )

    def _about(self, radius: float, angle: float) -> Point:
        a = math.radians(angle)
        return self._page((radius * math.cos(a), radius * math.sin(a)))

    def _cover(self) -> Markup:
        cover = self._cover_circle()
        if cover is None:
            return Markup("")
        (x, y), radius = cover
        return element("circle", class_="cover", cx=x, cy=y, r=radius)

    def _centre_marks(self) -> Markup:
        arm = 0.5 * self.letter
        marks = "".join(
            f"M{short(x - arm)} {short(y)}h{short(2 * arm)}"
            f"M{short(x)} {short(y - arm)}v{short(2 * arm)}"
            for x, y in self.shafts
        )
        return element("path", class_="centre", d=marks)

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
            for callout, y in zip(members, heights, strict=True):
                parts.append(self._callout(callout, side, y))
                bottom = max(bottom, y + pitch / 2)
        return joined(parts), bottom

    def _callout_items(self) -> list[Callout]:
        items = [
            Callout(name, str(gear.teeth), self.shafts[seat.shaft], gear.tip_radius, "gear")
            for name, (seat, gear) in zip(gear_names(self.train), self.seats, strict=True)
        ]
        placement = self.answer.fit.placement
        if not self.placed or placement is None or self.banjo is None:
            return items
        for number, stud in enumerate(placement.studs, start=1):
            name = "in slot" if len(placement.studs) == 1 else f"stud {number}"
            at = numbers.figure(stud.position)
            items.append(Callout(name, at, self._page((stud.x, stud.y)), 0.0, "stud"))
        if placement.arm_angle is not None:
            middle = self._about(PROTRACTOR * self.banjo.axis_distance, placement.arm_angle / 2)
            angle = numbers.degrees(placement.arm_angle)
            items.append(Callout("arm", angle, middle, 0.0, "arm"))
        gap = self._tightest_gap()
        if gap:
            items.append(Callout("clear", numbers.figure(gap[1]), gap[0], 0.0, "clear"))
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
        anchor = "end" if side < 0 else "start"
        return (
            element("path", class_="leader", d=line)
            + (
                element("circle", class_="dot", cx=end[0], cy=end[1], r=0.14 * letter)
                if callout.radius == 0
                else element("path", class_="arrow", d=_arrow(start, end, 0.55 * letter))
            )
            + element("text", callout.caption, class_="caption", x=x, y=y - 0.2 * letter,
                      text_anchor=anchor)
            + element("text", callout.value, class_=f"value {callout.kind}", x=x,
                      y=y + 0.85 * letter, text_anchor=anchor)
        )  # fmt: skip

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
        parts = []
        for start, end, distance in lines:
            line = f"M{short(start[0])} {short(start[1])}L{short(end[0])} {short(end[1])}"
            parts.append(element("path", class_="axis", d=line))
            text = numbers.figure(distance, 2).removesuffix("0").removesuffix(".0")
            width = len(text) * FIGURE_WIDTH * self.letter
            figure = labels.along(start, end, width, self.letter * 0.9, taken)
            if figure is None:
                continue
            taken.append(figure.box)
            x, y = figure.centre
            parts.append(
                element(
                    "text", text, class_="distance", text_anchor="middle", dy="0.34em",
                    transform=f"translate({short(x)} {short(y)})rotate({short(figure.angle)})",
                )  # fmt: skip
            )
        return joined(parts)

    def _scale_bar(self, left: float, y: float) -> Markup:
        inch = numbers.inch_first(self.lathe)
        length, text = (50.8, "2 in") if inch else (50.0, "50 mm")
        tick = 0.25 * self.letter
        x = left + 0.3 * self.letter
        path = (
            f"M{short(x)} {short(y - tick)}v{short(2 * tick)}M{short(x)} {short(y)}"
            f"h{short(length)}m0 {short(-tick)}v{short(2 * tick)}"
        )
        return element("path", class_="scale", d=path) + element(
            "text", text, class_="caption", x=x + length + 0.5 * self.letter,
            y=y + 0.25 * self.letter,
        )  # fmt: skip


def _short_of(target: Point, start: Point, radius: float) -> Point:
    """The point `radius` from the target towards the start."""
    distance = math.dist(target, start)
    if radius == 0 or distance <= radius:
        return target
    t = radius / distance
    return (target[0] + t * (start[0] - target[0]), target[1] + t * (start[1] - target[1]))


def _arrow(start: Point, end: Point, length: float) -> str:
    """A slender arrowhead at the end of a leader."""
    distance = math.dist(start, end) or 1.0
    ux, uy = (end[0] - start[0]) / distance, (end[1] - start[1]) / distance
    bx, by = end[0] - ux * length, end[1] - uy * length
    w = length * 0.17
    return (
        f"M{short(end[0])} {short(end[1])}L{short(bx - uy * w)} {short(by + ux * w)}"
        f"L{short(bx + uy * w)} {short(by - ux * w)}Z"
    )
