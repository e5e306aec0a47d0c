"""Where the parts of one train stand on the page: shafts, discs, arm. Lengths in mm, y downward,
the screw shaft at the origin."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.arm.geometry import in_arm
from gearchest.optimizer.arm.result import Clearance, Placement
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import Seat
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing.labels import Point, turned
from gearchest.reports.drawing.schematic import chain
from gearchest.reports.drawing.symbols import CENTRE, LIMB_WIDTH, to_page


@dataclass(frozen=True)
class Standing:
    """A train on the page. `placement` None: schematic, for the arm is unmeasured or the train
    does not close on it."""

    lathe: Lathe
    seats: tuple[tuple[Seat, Gear], ...]
    shafts: tuple[Point, ...]
    placement: Placement | None
    turn: float

    @staticmethod
    def of(lathe: Lathe, answer: Answer) -> Standing:
        """The train of an answer."""
        train, banjo, placement = answer.train, lathe.banjo, answer.fit.placement
        if banjo is None or placement is None:
            points = tuple(to_page(point, 0.0) for point in chain(train))
            return Standing(lathe, train.seated, points, None, 0.0)
        studs = [(stud.x, stud.y) for stud in placement.studs]
        places = ((banjo.axis_distance, 0.0), *studs, (0.0, 0.0))
        points = tuple(to_page(point, banjo.axis_angle) for point in places)
        return Standing(lathe, train.seated, points, placement, banjo.axis_angle)

    @property
    def arm_angle(self) -> float | None:
        """Degrees from the line between the shafts; None where no arm is drawn."""
        return self.placement.arm_angle if self.placement else None

    @property
    def discs(self) -> list[tuple[Point, float]]:
        """Tip circles in mesh order."""
        return [(self.shafts[seat.shaft], gear.tip_radius) for seat, gear in self.seats]

    @property
    def cover(self) -> tuple[Point, float] | None:
        """The room under the cover, about the train's largest gear."""
        if self.lathe.banjo is None or self.lathe.banjo.largest_tip_diameter is None:
            return None
        seat, _ = max(self.seats, key=lambda pair: pair[1].tip_radius)
        return self.shafts[seat.shaft], self.lathe.banjo.largest_tip_diameter / 2

    @property
    def hubs(self) -> list[tuple[Point, float]]:
        """What each shaft's end takes up: hub, or centre mark."""
        banjo, last = self.lathe.banjo, len(self.shafts) - 1
        mark = CENTRE * float(self.lathe.making.module)
        if banjo is None or self.placement is None:
            return [(shaft, mark) for shaft in self.shafts]
        radii = [banjo.driver_hub, *[banjo.stud_hub] * (last - 1), banjo.screw_hub]
        return [(shaft, max(d / 2, mark)) for shaft, d in zip(self.shafts, radii, strict=True)]

    @property
    def contacts(self) -> list[tuple[Point, float]]:
        """Where gears really touch: the pitch point of each mesh, and the angle of the common
        tangent there in degrees."""
        found = []
        for (one, gear), (other, _) in zip(self.seats, self.seats[1:], strict=False):
            if one.plane != other.plane:
                continue
            (x, y), (u, v) = self.shafts[one.shaft], self.shafts[other.shaft]
            t = gear.pitch_radius / math.dist((x, y), (u, v))
            tangent = math.degrees(math.atan2(v - y, u - x)) + 90.0
            found.append(((x + t * (u - x), y + t * (v - y)), tangent))
        return found

    @property
    def hidden(self) -> list[tuple[Seat, Gear]]:
        """Gears of which one nearer the reader hides a part."""
        discs = list(zip(self.seats, self.discs, strict=True))
        return [
            (seat, gear)
            for (seat, gear), (at, radius) in discs
            if any(
                front.plane > seat.plane and math.dist(at, place) < radius + size
                for (front, _), (place, size) in discs
            )
        ]

    @property
    def extent(self) -> tuple[Point, Point]:
        """The corners of what gears, cover and arm take up."""
        discs = [*self.discs, *([self.cover] if self.cover else [])]
        arm = self.arm_angle
        if self.lathe.banjo and arm is not None:
            for slot in self.lathe.banjo.slots:
                tip = turned(in_arm(slot, slot.end), arm)
                discs.append((to_page(tip, self.turn), LIMB_WIDTH / 2))
        return (
            (min(x - r for (x, _), r in discs), min(y - r for (_, y), r in discs)),
            (max(x + r for (x, _), r in discs), max(y + r for (_, y), r in discs)),
        )

    def middle(self, clearance: Clearance) -> Point:
        """The middle of a clearance."""
        one, other = (self.shafts[part.shaft] for part in (clearance.one, clearance.other))
        apart = math.dist(one, other)
        tip = dict(self.seats)[clearance.one].tip_radius
        t = (tip + clearance.mm / 2) / apart if apart else 0.0
        return (one[0] + t * (other[0] - one[0]), one[1] + t * (other[1] - one[1]))
