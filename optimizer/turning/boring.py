"""Threading inside: the bar that passes the bore, and the bottom of a blind hole. Lengths mm.

Common practice, no source, unless said.
"""

from __future__ import annotations

from dataclasses import dataclass

ROOM = 0.5
"""mm kept between bar and bore, and between the withdrawn tip and the crests, for chips."""

OVERHANG = 4.0
"""Bar diameters that a steel bar may stand out before it chatters."""

SMALLEST = 3.0
"""mm: below this a bar is too weak to cut a thread with."""

GROOVE_BEYOND = 0.5
"""mm that a relief groove is wider across than the thread's major diameter."""


@dataclass(frozen=True)
class Boring:
    """`bar` is the thickest bar that passes, None where none would do; `overhang` how far it may
    stand out; `groove` the diameter of a relief groove at the bottom of a blind hole."""

    bar: float | None
    overhang: float | None
    groove: float


def boring(bore: float, depth: float, major: float) -> Boring:
    """For a thread `depth` mm deep in a hole of `bore` mm, up to `major` mm at its roots.

    The tip stands out of the bar by the depth and ROOM, or the bar would touch the crests at
    full depth. To come out of the groove the tip goes ROOM inside the bore; what is then left of
    the bore, less ROOM on the far side, is the bar's.
    """
    bar = bore - (depth + ROOM) - ROOM - ROOM
    groove = major + GROOVE_BEYOND
    if bar < SMALLEST:
        return Boring(None, None, groove)
    return Boring(bar, OVERHANG * bar, groove)
