"""The outline of a gear to cut or print from: involute flanks, root fillets, bore and keyway.

The flanks and fillets are those a rack-shaped cutter with a rounded tip generates, undercut
included where there is one. An offset all round shrinks the cutter by as much, which
keeps every curve exact. Lengths mm, angles radians; x to the right, y up, gear at the origin.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from gearchest.optimizer.domain.arrays import Floats
from gearchest.optimizer.making.angles import involute
from gearchest.optimizer.making.blank import Blank

Points = Floats

FLANK_POINTS = 40
FILLET_POINTS = 24


@dataclass(frozen=True)
class ToothForm:
    """One tooth of a blank, `offset` mm fuller all round than nominal."""

    blank: Blank
    offset: float = 0.0

    @property
    def pitch_radius(self) -> float:
        """mm."""
        return self.blank.pitch_diameter / 2

    @property
    def base_radius(self) -> float:
        """mm."""
        return self.blank.base_diameter / 2

    @property
    def tip_radius(self) -> float:
        """mm, offset included."""
        return self.blank.tip_diameter / 2 + self.offset

    @property
    def root_radius(self) -> float:
        """mm, as cut for backlash, offset included."""
        return self.blank.cut_root_diameter / 2 + self.offset

    def half_angle(self, radius: float) -> float:
        """Angle between a tooth's centre line and its flank at `radius`.

        An involute moved along its normal by d is the same involute turned by d/r_b.
        """
        angle = math.acos(min(1.0, self.base_radius / radius))
        at_pitch = self.blank.thickness / (2 * self.pitch_radius)
        turned = self.offset / self.base_radius
        return at_pitch + turned + involute(self.blank.alpha) - involute(angle)

    @cached_property
    def _corner(self) -> tuple[float, float, float]:
        """Of the cutter's rounded tip: centre from the middle of the space, centre below the
        pitch line (negative), radius."""
        blank, alpha = self.blank, self.blank.alpha
        dedendum = (blank.whole_depth - blank.module) - self.offset
        clearance = float(blank.depth.clearance(blank.gear.module))
        radius = max(0.0, clearance / (1 - math.sin(alpha)) - self.offset)
        sunk = blank.shift * blank.module - blank.thinning / (2 * math.tan(alpha))
        half = math.pi * blank.module / 4 - self.offset / math.cos(alpha)
        across = (
            half - dedendum * math.tan(alpha) - radius * (1 - math.sin(alpha)) / math.cos(alpha)
        )
        if across < 0:  # the cutter would be pointed: its tip becomes one arc
            across = 0.0
        return across, sunk - (dedendum - radius), radius

    def fillet_at(self, along: float) -> tuple[float, float]:
        """(radius, angle from the middle of the space) on the fillet.

        `along`: the corner's centre past the pitch point, from 0 (at the root) on.
        The contact normal runs from the corner's centre through the pitch point.
        """
        across, height, corner = self._corner
        # A far shift lifts the corner's centre over the pitch line: it then cuts on its near side.
        stretch = 1 - math.copysign(corner, height) / math.hypot(along, height)
        x, y = along * stretch, self.pitch_radius + height * stretch
        rolled = (along - across) / self.pitch_radius
        return math.hypot(x, y), math.atan2(x, y) - rolled

    @cached_property
    def _fillet_end(self) -> float:
        """`along` where the fillet meets the involute: tangent to it, or cutting into it."""
        _, height, _ = self._corner
        tangent = -height / math.tan(self.blank.alpha)
        grid = np.linspace(0.0, tangent, 400)[1:]
        cut = [i for i, along in enumerate(grid) if self._cut_into_flank(along) > 1e-9]
        if not cut or cut[-1] + 1 == len(grid):
            return float(tangent)
        return self._crossing(float(grid[cut[-1]]), float(grid[cut[-1] + 1]))

    def _cut_into_flank(self, along: float) -> float:
        """How far, in radians, the fillet lies inside the tooth the involute bounds.

        Positive only for an undercut tooth: there the fillet takes the foot of the involute
        away and leaves it again higher up.
        """
        radius, angle = self.fillet_at(along)
        if radius <= self.base_radius:
            return -1.0
        return angle - (math.pi / self.blank.teeth - self.half_angle(radius))

    def _crossing(self, inside: float, outside: float) -> float:
        for _ in range(60):
            middle = (inside + outside) / 2
            if self._cut_into_flank(middle) > 0:
                inside = middle
            else:
                outside = middle
        return outside

    @cached_property
    def form_radius(self) -> float:
        """mm; the involute runs from here to the tip."""
        return max(self.fillet_at(self._fillet_end)[0], self.base_radius)

    def flank(self, points: int = FLANK_POINTS) -> Points:
        """The right-hand flank of the tooth that stands upright: involute, root to tip.

        Evenly spaced in roll, so that the points lie closer where the curve is tighter.
        """
        rolls = np.linspace(
            math.sqrt(max(0.0, (self.form_radius / self.base_radius) ** 2 - 1)),
            math.sqrt((self.tip_radius / self.base_radius) ** 2 - 1),
            points,
        )
        radii = self.base_radius * np.hypot(1.0, rolls)
        angles = np.array([self.half_angle(float(radius)) for radius in radii])
        return np.column_stack((radii * np.sin(angles), radii * np.cos(angles)))

    def fillet(self, points: int = FILLET_POINTS) -> Points:
        """The right-hand fillet of the tooth that stands upright, from the root to the flank."""
        steps = np.linspace(0.0, self._fillet_end, points)
        polar = [self.fillet_at(float(along)) for along in steps]
        radii = np.array([radius for radius, _ in polar])
        angles = math.pi / self.blank.teeth - np.array([angle for _, angle in polar])
        return np.column_stack((radii * np.sin(angles), radii * np.cos(angles)))

    def tooth(self) -> Points:
        """The upright tooth from the middle of the space on its left to that on its right."""
        right = np.vstack((self.fillet()[:-1], self.flank()))
        left = right * (-1.0, 1.0)
        half = math.pi / self.blank.teeth
        land = self.half_angle(self.tip_radius)
        return np.vstack(
            (
                arc(self.root_radius, -half, math.atan2(left[0][0], left[0][1]), 4)[:-1],
                left,
                arc(self.tip_radius, -land, land, 8)[1:-1],
                right[::-1],
                arc(self.root_radius, math.atan2(right[0][0], right[0][1]), half, 4)[1:],
            )
        )

    def outline(self) -> Points:
        """The closed outline, clockwise, first point not repeated; tooth 0 stands upright."""
        tooth = self.tooth()[:-1]  # the last point is the next tooth's first
        teeth = self.blank.teeth
        return np.vstack([turned(tooth, -2 * math.pi * k / teeth) for k in range(teeth)])


def arc(radius: float, start: float, end: float, points: int) -> Points:
    """Points on a circle about the origin, angles clockwise from straight up."""
    angles = np.linspace(start, end, points)
    return np.column_stack((radius * np.sin(angles), radius * np.cos(angles)))


def turned(points: Points, angle: float) -> Points:
    """Points turned counter-clockwise about the origin."""
    cosine, sine = math.cos(angle), math.sin(angle)
    turn: Points = np.array([[cosine, sine], [-sine, cosine]])
    return np.asarray(points @ turn, dtype=np.float64)


def bore_outline(blank: Blank, offset: float = 0.0, points: int = 96) -> Points | None:
    """The bore with its keyway at the top, closed, clockwise; None for a gear without a bore.

    The offset makes the hole smaller, as it makes the gear fuller.
    """
    radius = blank.bore / 2 - offset
    if radius <= 0:
        return None
    if blank.keyway is None:
        return arc(radius, 0.0, 2 * math.pi, points + 1)[:-1]
    half = blank.keyway.width / 2 - offset
    top = blank.bore / 2 + blank.keyway.depth - offset
    corner = math.asin(half / radius)
    around = arc(radius, corner, 2 * math.pi - corner, points)
    return np.vstack((around, [(-half, top), (half, top)]))


def enclosed_area(points: Points) -> float:
    """Area inside a closed outline, mm2 (shoelace formula)."""
    x, y = points[:, 0], points[:, 1]
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


def face_area(blank: Blank) -> float:
    """Area of the gear's face, bore and keyway taken out, mm2."""
    hole = bore_outline(blank)
    return enclosed_area(ToothForm(blank).outline()) - (
        enclosed_area(hole) if hole is not None else 0.0
    )
