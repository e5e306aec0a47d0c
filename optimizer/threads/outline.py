"""The basic profile of a thread form as a line to draw or to measure against."""

from __future__ import annotations

import math

from gearchest.optimizer.threads.flanks import Flanks
from gearchest.optimizer.threads.forms import Form

Point = tuple[float, float]


def outline(form: Form, pitch_mm: float, arc_points: int = 9) -> tuple[Point, ...]:
    """One pitch of the external thread, from the middle of a crest to the middle of the next,
    its load flank first.

    Points (axial, radial) in mm, radial from the pitch line outwards; at the pitch line ridge
    and groove are half a pitch wide, the ridge about 0 where the flanks are alike. `arc_points`
    >= 2 stand for each rounding. ValueError for a form without straight flanks.
    """
    if form.flanks is None:
        raise ValueError(f"{form.title}: no straight flanks to draw")
    flanks, back = form.flanks, Flanks(form.flanks.other, form.flanks.load)
    top = form.addendum * pitch_mm
    bottom = top - form.depth * pitch_mm - form.clearance_mm(pitch_mm)
    crest, root = form.crest_radius * pitch_mm, form.root_radius * pitch_mm
    falling = _corner(top, crest, pitch_mm, flanks, arc_points)
    into = _corner(-bottom, root, pitch_mm, flanks, arc_points)
    out_of = _corner(-bottom, root, pitch_mm, back, arc_points)
    rising = _corner(top, crest, pitch_mm, back, arc_points)
    return (
        *falling,
        *((pitch_mm / 2 - x, -y) for x, y in reversed(into)),
        *((pitch_mm / 2 + x, -y) for x, y in out_of[1:]),
        *((pitch_mm - x, y) for x, y in reversed(rising)),
    )


def _corner(
    height: float, radius: float, pitch_mm: float, flanks: Flanks, arc_points: int
) -> list[Point]:
    """From the middle of a crest to where its flank `flanks.load` begins, `x` from the middle of
    the ridge at the pitch line towards that flank; a groove is a crest upside down."""
    near, far = math.radians(flanks.load), math.radians(flanks.other)
    edge = pitch_mm / 4 - height * math.tan(near)
    if not radius:
        return [(height * (math.tan(far) - math.tan(near)) / 2, height), (edge, height)]
    aside = 0.0
    if not flanks.alike:
        tip = pitch_mm / 4 - flanks.sharp(pitch_mm) * math.tan(near)
        aside = tip + radius * (flanks.seat * math.sin(near) - 1) / math.cos(near)
    turns = [(math.pi / 2 - near) * i / (arc_points - 1) for i in range(arc_points)]
    return [
        (aside + radius * math.sin(turn), height - radius + radius * math.cos(turn))
        for turn in turns
    ]
