"""To-scale drawings of trains on the arm, as inline SVG, their planes beneath.

Units are millimetres with the screw shaft at the origin, turned so that the first driver's
shaft lies where the lathe has it. What trains have in common is drawn once, by
`symbols.definitions`; a drawing points at it and adds the leaders and the lettering.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise

from markupsafe import Markup

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import Seat
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing import labels, lettering
from gearchest.reports.drawing.labels import Point
from gearchest.reports.drawing.lettering import Callout, Frame, Lettering
from gearchest.reports.drawing.names import described, gear_names
from gearchest.reports.drawing.planes import Planes
from gearchest.reports.drawing.scale import ACROSS, COLUMN, letter_of
from gearchest.reports.drawing.standing import Standing
from gearchest.reports.drawing.svg import element, joined, run, short
from gearchest.reports.drawing.symbols import (
    CENTRE,
    LIMB_WIDTH,
    PROTRACTOR,
    about,
    arc,
    definitions,
    gear_id,
)
from gearchest.reports.words import numbers

OVER, UNDER, MARK, TICK = 0.4, 1.9, 0.8, 0.8
"""In letter heights: room above the gears and below the planes, what a centre mark takes, and
half the stroke at a contact."""

SCALE_IN, SCALE_UP = 3, 0.6
"""Where the scale stands: mm from the left edge, letter heights from the lower one."""

NUMBER = 0.76
"""In letter heights: how high the figures of a number are."""


def train_svg(
    lathe: Lathe, answer: Answer, letter: float, *, prefix: str = "", planes: bool = True
) -> Markup:
    """The train on the arm, facing the gears, and its `planes` beneath; `definitions` of this
    `letter` and `prefix` must stand on the same page.

    Without a measured arm, or where the train will not close on it, the shafts are placed
    schematically and the drawing says so.
    """
    return TrainDrawing(lathe, answer, letter, prefix).svg(planes=planes)


def drawing(lathe: Lathe, answer: Answer, *, planes: bool = True) -> Markup:
    """One drawing with its own definitions, for a page that holds a single train."""
    letter = letter_of(lathe, [answer])
    shared = definitions(lathe, [answer.train], letter)
    return shared + train_svg(lathe, answer, letter, planes=planes)


def constants() -> dict[str, object]:
    """What `train.js` draws with."""
    return {
        "limb": LIMB_WIDTH, "protractor": PROTRACTOR, "across": ACROSS, "column": COLUMN,
        "centre": CENTRE, "over": OVER, "under": UNDER, "mark": MARK, "tick": TICK,
        "number": NUMBER, "scale": (SCALE_IN, SCALE_UP),
    }  # fmt: skip


class TrainDrawing:
    """Works out one drawing, what it has with its planes and without them once."""

    def __init__(self, lathe: Lathe, answer: Answer, letter: float, prefix: str = "") -> None:
        self.lathe, self.train, self.prefix = lathe, answer.train, prefix
        self.at = Standing.of(lathe, answer)
        self.letter = letter
        self.frame = Frame(*self.at.extent, letter)

    def svg(self, *, planes: bool = True) -> Markup:
        """As `train_svg`."""
        letter, at = self.letter, self.at
        (left, right), top = self._sides(), self.frame.low[1] - OVER * letter
        below = Planes(
            self.train.layout, self._names, [gear.teeth for gear in self.train.gears], at.shafts,
            letter, self._lettered.bottom, left, right, self.prefix,
        )  # fmt: skip
        bottom = (below.bottom if planes else self._lettered.bottom) + UNDER * letter
        scale = (round(left) + SCALE_IN, round(bottom - SCALE_UP * letter))
        return element(
            "svg",
            joined([self._on_arm, below.svg if planes else Markup(""), self._use("scale", scale)]),
            class_="train",
            role="img",
            aria_label=("" if at.placement else "Shafts schematic: ")
            + described(self.lathe, self.train),
            viewBox=self._view(left, top, right, bottom),
            font_size=letter,
        )

    @cached_property
    def _names(self) -> tuple[str, ...]:
        return self.train.layout.shaft_names(gearbox=bool(self.lathe.gearbox))

    @cached_property
    def _lettered(self) -> Lettering:
        return lettering.callouts(self._callouts(), self.frame)

    @cached_property
    def _on_arm(self) -> Markup:
        """All but planes and scale."""
        at = self.at
        return joined([
            self._turned("arm"),
            *(self._gear(seat, gear, f"p{seat.plane}") for seat, gear in at.seats),
            *(self._gear(seat, gear, "hidden") for seat, gear in at.hidden),
            self._turned("slots"),
            self._use("cover", at.cover[0]) if at.cover else Markup(""),
            self._shaft_marks(),
            self._contacts(),
            self._centre_lines(),
            self._lettered.svg,
            self._distances(self._lettered.taken),
            self._numbers(),
        ])  # fmt: skip

    def _sides(self) -> tuple[float, float]:
        """Every drawing of a lathe is as wide, its train in the middle."""
        (low, _), (high, _) = self.frame.low, self.frame.high
        wide = max(ACROSS * self.letter, high - low + 2 * COLUMN * self.letter)
        left = (low + high - wide) / 2
        return left, left + wide

    def _view(self, left: float, top: float, right: float, bottom: float) -> str:
        """The view box, rounded outwards so that nothing is cut."""
        step = 10 ** (self.frame.places - 1)
        x, y = (math.floor(value * step) / step for value in (left, top))
        width, height = (math.ceil(size * step) / step for size in (right - x, bottom - y))
        return run(x, y, width, height)

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

    def _gear(self, seat: Seat, gear: Gear, kind: str) -> Markup:
        return self._use(gear_id(gear.teeth, gear.module), self.at.shafts[seat.shaft], kind)

    def _turned(self, ident: str) -> Markup:
        arm = self.at.arm_angle
        if arm is None:
            return Markup("")
        turned = f"rotate({short(-(arm + self.at.turn))})"
        return element("use", href=f"#{self.prefix}{ident}", transform=turned)

    def _shaft_marks(self) -> Markup:
        """Shafts end on; on a measured arm with the swing and the arm's angle."""
        at, banjo = self.at, self.lathe.banjo
        if banjo is None or at.placement is None:
            return joined([self._use("cross", shaft) for shaft in at.shafts])
        parts = [self._use("frame", (0.0, 0.0))]
        parts += [self._use("stud", shaft) for shaft in at.shafts[1:-1]]
        if at.arm_angle is not None:
            bent = arc(PROTRACTOR * banjo.axis_distance, 0.0, at.arm_angle, at.turn)
            parts.append(element("path", class_="angle dims", d=bent))
        return joined(parts)

    def _contacts(self) -> Markup:
        """A stroke along the common tangent wherever two gears really touch."""
        strokes = [self._stroke(point, angle) for point, angle in self.at.contacts]
        path = "".join(f"M{run(*a, *b, places=self.frame.places)}" for a, b in strokes)
        return element("path", class_="contact", d=path)

    def _stroke(self, point: Point, angle: float) -> tuple[Point, Point]:
        u, v = (
            TICK * self.letter * math.cos(math.radians(angle)),
            TICK * self.letter * math.sin(math.radians(angle)),
        )
        return (point[0] - u, point[1] - v), (point[0] + u, point[1] + v)

    # Lettering

    @cached_property
    def _numbered(self) -> list[labels.Box | None]:
        """Where each gear's number stands in its disc; None where there is no room."""
        at, found = self.at, list[labels.Box | None]()
        taken: list[Sequence[Point]] = list(pairwise(at.shafts))
        if self._closed:
            taken.append((at.shafts[0], at.shafts[-1]))
        taken += [self._stroke(point, angle) for point, angle in at.contacts]
        for (seat, gear), (centre, _) in zip(at.seats, at.discs, strict=True):
            width = len(str(gear.teeth)) * lettering.BOLD_WIDTH * self.letter
            front = [
                disc
                for (other, _), disc in zip(at.seats, at.discs, strict=True)
                if other.plane > seat.plane
            ]
            disc = (centre, gear.pitch_radius)
            place = labels.in_disc(disc, width, NUMBER * self.letter, [*at.hubs, *front], taken)
            found.append(place and labels.text_box(place, width, NUMBER * self.letter, 0.0))
            if found[-1]:
                taken.append(found[-1])
        return found

    def _numbers(self) -> Markup:
        texts = []
        places, below = self.frame.places, lettering.MIDDLE * self.letter
        for (seat, gear), box in zip(self.at.seats, self._numbered, strict=True):
            if box is None:
                continue
            x, y = (box[0][0] + box[1][0]) / 2, (box[0][1] + box[2][1]) / 2 + below
            texts.append(
                element("text", str(gear.teeth), x=short(x, places - 1), y=short(y, places),
                        class_=f"p{seat.plane}")
            )  # fmt: skip
        return element("g", joined(texts), class_="tooth") if texts else Markup("")

    def _callouts(self) -> list[Callout]:
        at, placement, banjo = self.at, self.at.placement, self.lathe.banjo
        names = gear_names(self.train.layout, gearbox=bool(self.lathe.gearbox))
        items = [
            Callout(shaft, " ".join(filter(None, (part, "" if box else str(gear.teeth)))), *disc)
            for (shaft, part), (_, gear), disc, box in zip(
                names, at.seats, at.discs, self._numbered, strict=True
            )
        ]
        if at.cover:
            across = self._length(2 * at.cover[1])
            items.append(Callout("cover", f"⌀ {across}", *at.cover))
        if placement is None or banjo is None:
            return items
        for number, stud in enumerate(placement.studs, start=1):
            name = "in slot" if len(placement.studs) == 1 else f"slot, {number}"
            at_stud = at.shafts[number]
            items.append(Callout(name, self._length(stud.position), at_stud, measured=True))
        if placement.arm_angle is not None:
            radius = PROTRACTOR * banjo.axis_distance
            middle = about(radius, placement.arm_angle / 2, at.turn)
            angle = numbers.degrees(placement.arm_angle)
            items.append(Callout("arm", angle, middle, measured=True))
        if tightest := placement.tightest:
            room = self._length(tightest.mm)
            items.append(Callout("clear", room, at.middle(tightest), measured=True))
        return items

    def _length(self, value: float) -> str:
        return numbers.bare_length(value, inch=numbers.inch_first(self.lathe))

    def _distance(self, value: float) -> str:
        """Between centres: gears of one module stand half a millimetre apart or a whole one."""
        if numbers.inch_first(self.lathe):
            return self._length(value)
        return numbers.figure(value, 2).removesuffix("0").removesuffix(".0")

    def _centre_lines(self) -> Markup:
        """From shaft to shaft, and what closes the figure, which is there to be measured."""
        along = [value for shaft in self.at.shafts for value in shaft]
        lines = element("path", class_="axis", d=f"M{run(*along, places=self.frame.places)}")
        if not self._closed:
            return lines
        ends = (*self.at.shafts[0], *self.at.shafts[-1])
        path = f"M{run(*ends, places=self.frame.places)}"
        return lines + element("path", class_="axis dims", d=path)

    @property
    def _closed(self) -> bool:
        return self.at.placement is not None and len(self.at.shafts) > 2

    def _distances(self, taken: tuple[Sequence[Point], ...]) -> Markup:
        """Along the centre lines the distances to measure."""
        shafts = self.at.shafts
        lines = [
            (shafts[i], shafts[i + 1], self._distance(distance))
            for i, distance in enumerate(self.train.spans)
        ]
        if self._closed and self.lathe.banjo:
            lines.append((shafts[0], shafts[-1], self._distance(self.lathe.banjo.axis_distance)))
        mark = self.letter * MARK
        marks = [labels.text_box(shaft, mark, mark, 0.0) for shaft in shafts]
        numbered = [box for box in self._numbered if box]
        return lettering.distances(lines, self.frame, (*taken, *marks, *numbered))
