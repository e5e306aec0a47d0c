"""To-scale drawings of trains on the arm, as inline SVG.

Units are millimetres with the screw shaft at the origin, turned so that the first driver's
shaft lies where the lathe has it. What trains have in common is drawn once, by
`symbols.definitions`; a drawing points at it and adds the leaders and the lettering.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from markupsafe import Markup

from gearchest.optimizer.arm.geometry import in_arm
from gearchest.optimizer.arm.result import Clearance
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing import labels, lettering
from gearchest.reports.drawing.labels import Point
from gearchest.reports.drawing.lettering import Callout, Frame
from gearchest.reports.drawing.schematic import chain
from gearchest.reports.drawing.svg import element, joined, run, short
from gearchest.reports.drawing.symbols import (
    LIMB_WIDTH,
    PROTRACTOR,
    about,
    arc,
    definitions,
    gear_id,
    to_page,
)
from gearchest.reports.words import numbers

WIDTH_IN_LETTERS, HEIGHT_IN_LETTERS = 15.5, 24.0
"""How many letter heights the gears' extent measures: sets the lettering's size."""

OVER, UNDER, MARK = 0.4, 2.2, 0.8
"""In letter heights: room above the gears and below the callouts, and what a centre mark takes."""

SCALE_IN, SCALE_UP = 3, 0.7
"""Where the scale stands: mm from the left edge, letter heights from the lower one."""


def train_svg(lathe: Lathe, answer: Answer, *, prefix: str = "") -> Markup:
    """The train on the arm, facing the gears; `definitions` must stand on the same page.

    Without a measured arm, or where the train will not close on it, the shafts are placed
    schematically and the drawing says so.
    """
    return _Drawing(lathe, answer, prefix).svg


def drawing(lathe: Lathe, answer: Answer) -> Markup:
    """One drawing with its own definitions, for a page that holds a single train."""
    return definitions(lathe, [answer.train]) + train_svg(lathe, answer)


def constants() -> dict[str, object]:
    """What `train.js` draws with."""
    return {
        "limb": LIMB_WIDTH, "protractor": PROTRACTOR, "wide": WIDTH_IN_LETTERS,
        "tall": HEIGHT_IN_LETTERS, "over": OVER, "under": UNDER, "mark": MARK,
        "scale": (SCALE_IN, SCALE_UP),
    }  # fmt: skip


def gear_names(layout: Layout) -> list[str]:
    """A name for each gear in mesh order: A drives B, C drives D, E drives F."""
    names = []
    for stage, idlers in enumerate(layout.idlers):
        names += [chr(65 + 2 * stage), *["idler"] * idlers, chr(66 + 2 * stage)]
    return names


def described(train: Train) -> str:
    """The train in words, for those who do not see the drawing."""
    stages = []
    for gears in train.stages:
        through = "".join(f" through an idler of {idler}" for idler in gears[1:-1])
        stages.append(f"{gears[0]} drives {gears[-1]}{through}")
    return ", on its stud ".join(stages)


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
        low, high = self._extent()
        width, height = high[0] - low[0], high[1] - low[1]
        letter = max(width / WIDTH_IN_LETTERS, height / HEIGHT_IN_LETTERS)
        self.frame = Frame(low, high, letter)

    @property
    def svg(self) -> Markup:
        letter, (left, top) = self.frame.letter, self.frame.low
        left -= lettering.COLUMN * letter
        right = self.frame.high[0] + lettering.COLUMN * letter
        callouts = lettering.callouts(self._callouts(), self.frame)
        bottom = callouts.bottom + UNDER * letter
        parts = [
            self._arm(),
            *(self._use(gear_id(g.teeth, g.module), self.shafts[seat.shaft], f"p{seat.plane}")
              for seat, g in self.seats),
            self._cover(),
            self._shaft_marks(),
            callouts.svg,
            self._distances(callouts.taken),
            self._use("scale", (round(left) + SCALE_IN, round(bottom - SCALE_UP * letter))),
        ]  # fmt: skip
        return element(
            "svg",
            joined(parts),
            class_="train",
            role="img",
            aria_label=("" if self.placed else "Shafts schematic: ") + described(self.train),
            viewBox=self._view(left, top - OVER * letter, right, bottom),
            font_size=letter,
        )

    def _view(self, left: float, top: float, right: float, bottom: float) -> str:
        """The view box, rounded outwards so that nothing is cut."""
        step = 10 ** (self.frame.places - 1)
        x, y = (math.floor(value * step) / step for value in (left, top))
        width, height = (math.ceil(size * step) / step for size in (right - x, bottom - y))
        return run(x, y, width, height)

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

    def _cover_centre(self) -> Point | None:
        """Where the room under the cover is drawn: about the train's largest gear."""
        if self.banjo is None or self.banjo.largest_tip_diameter is None:
            return None
        seat, _ = max(self.seats, key=lambda pair: pair[1].tip_radius)
        return self.shafts[seat.shaft]

    def _extent(self) -> tuple[Point, Point]:
        discs = [(self.shafts[seat.shaft], gear.tip_radius) for seat, gear in self.seats]
        if self.banjo and self.banjo.largest_tip_diameter and (centre := self._cover_centre()):
            discs.append((centre, self.banjo.largest_tip_diameter / 2))
        arm = self._arm_angle()
        if self.banjo and arm is not None:
            for slot in self.banjo.slots:
                tip = labels.turned(in_arm(slot, slot.end), arm)
                discs.append((self._page(tip), LIMB_WIDTH / 2))
        return (
            (min(x - r for (x, _), r in discs), min(y - r for (_, y), r in discs)),
            (max(x + r for (x, _), r in discs), max(y + r for (_, y), r in discs)),
        )

    # What is drawn, from the back to the front

    def _use(self, ident: str, at: Point, kind: str | None = None) -> Markup:
        """A shared part put somewhere; a coordinate that is zero goes without saying."""
        x, y = (short(value, self.frame.places) for value in at)
        return element(
            "use",
            href=f"#{self.prefix}{ident}",
            x=None if x == "0" else x,
            y=None if y == "0" else y,
            class_=kind,
        )

    def _arm(self) -> Markup:
        arm = self._arm_angle()
        if arm is None:
            return Markup("")
        turned = f"rotate({short(-(arm + self.turn))})"
        return element("use", href=f"#{self.prefix}arm", transform=turned)

    def _cover(self) -> Markup:
        centre = self._cover_centre()
        return self._use("cover", centre) if centre else Markup("")

    def _shaft_marks(self) -> Markup:
        """Shafts end on; on a measured arm with the swing and the arm's angle."""
        if self.banjo is None or not self.placed:
            return joined([self._use("cross", shaft) for shaft in self.shafts])
        parts = [self._use("frame", (0.0, 0.0))]
        parts += [self._use("stud", shaft) for shaft in self.shafts[1:-1]]
        arm = self._arm_angle()
        if arm is not None:
            bent = arc(PROTRACTOR * self.banjo.axis_distance, 0.0, arm, self.turn)
            parts.append(element("path", class_="angle", d=bent))
        return joined(parts)

    # Lettering

    def _callouts(self) -> list[Callout]:
        items = [
            Callout(name, str(gear.teeth), self.shafts[seat.shaft], gear.tip_radius)
            for name, (seat, gear) in zip(gear_names(self.train.layout), self.seats, strict=True)
        ]
        placement = self.answer.fit.placement
        if not self.placed or placement is None or self.banjo is None:
            return items
        for number, stud in enumerate(placement.studs, start=1):
            name = "in slot" if len(placement.studs) == 1 else f"stud {number}"
            items.append(Callout(name, self._length(stud.position), self._page((stud.x, stud.y))))
        if placement.arm_angle is not None:
            radius = PROTRACTOR * self.banjo.axis_distance
            middle = about(radius, placement.arm_angle / 2, self.turn)
            angle = numbers.degrees(placement.arm_angle)
            items.append(Callout("arm", angle, middle))
        if tightest := placement.tightest:
            room = self._length(tightest.mm)
            items.append(Callout("clear", room, self._middle(tightest)))
        return items

    def _length(self, value: float) -> str:
        return numbers.bare_length(value, inch=numbers.inch_first(self.lathe))

    def _distance(self, value: float) -> str:
        """Between centres: gears of one module stand half a millimetre apart or a whole one."""
        if numbers.inch_first(self.lathe):
            return self._length(value)
        return numbers.figure(value, 2).removesuffix("0").removesuffix(".0")

    def _middle(self, clearance: Clearance) -> Point:
        """The middle of a clearance."""
        one, other = (self.shafts[part.shaft] for part in (clearance.one, clearance.other))
        apart = math.dist(one, other)
        tip = dict(self.seats)[clearance.one].tip_radius
        t = (tip + clearance.mm / 2) / apart if apart else 0.0
        return (one[0] + t * (other[0] - one[0]), one[1] + t * (other[1] - one[1]))

    def _distances(self, taken: tuple[Sequence[Point], ...]) -> Markup:
        """Centre lines from shaft to shaft with the distances to measure."""
        lines = [
            (self.shafts[i], self.shafts[i + 1], self._distance(distance))
            for i, distance in enumerate(self.train.spans)
        ]
        along = [value for shaft in self.shafts for value in shaft]
        line = f"M{run(*along, places=self.frame.places)}"
        if self.placed and self.banjo and len(self.shafts) > 2:
            across = self._distance(self.banjo.axis_distance)
            lines.append((self.shafts[0], self.shafts[-1], across))
            line += "z"
        mark = self.frame.letter * MARK
        marks = [labels.text_box(shaft, mark, mark, 0.0) for shaft in self.shafts]
        figures = lettering.distances(lines, self.frame, (*taken, *marks))
        return element("path", class_="axis", d=line) + figures
