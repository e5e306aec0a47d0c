"""The basic profile of a thread form as a line to draw or to measure against."""

from __future__ import annotations

import math

from gearchest.optimizer.threads.forms import Form

Point = tuple[float, float]


def outline(form: Form, pitch_mm: float, arc_points: int = 9) -> tuple[Point, ...]:
    """One pitch of the external thread, from the middle of a crest to the middle of the next.

    Points (axial, radial) in mm, radial from the pitch line outwards; at the pitch line ridge
    and groove are half a pitch wide. `arc_points` >= 2 stand for each rounding. ValueError
    for a form without straight flanks.
    """
    if form.included_angle_deg is None:
        raise ValueError(f"{form.title}: no straight flanks to draw")
    half = math.radians(form.included_angle_deg / 2)
    top = form.addendum * pitch_mm
    bottom = top - form.depth * pitch_mm - form.clearance_mm(pitch_mm)
    crest = _corner(top, form.crest_radius * pitch_mm, pitch_mm, half, arc_points)
    groove = _corner(-bottom, form.root_radius * pitch_mm, pitch_mm, half, arc_points)
    right = [*crest, *((pitch_mm / 2 - x, -y) for x, y in reversed(groove))]
    left = [(pitch_mm - x, y) for x, y in reversed(right[:-1])]
    return (*right, *left)


def _corner(
    height: float, radius: float, pitch_mm: float, half_angle: float, arc_points: int
) -> list[Point]:
    """From the middle of a crest to where its flank begins; a groove is a crest upside down."""
    if not radius:
        return [(0.0, height), (pitch_mm / 4 - height * math.tan(half_angle), height)]
    centre = height - radius
    sweep = math.pi / 2 - half_angle
    turns = [sweep * i / (arc_points - 1) for i in range(arc_points)]
    return [(radius * math.sin(turn), centre + radius * math.cos(turn)) for turn in turns]
