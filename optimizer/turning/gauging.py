"""Knowing the size of a thread: limits with the lead error taken off, wires, made gauges. mm."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.threads.limits import Pair, Target
from gearchest.optimizer.threads.wires import Wires

NO_GO_TURNS = {"ASME B1.1": 3}
"""Turns that a NO-GO gauge may enter: three by ASME B1.2, two by ISO 1502 and elsewhere."""


@dataclass(frozen=True)
class Gauging:
    """`over_wires`: least and most over the best wires; of the work outside, and inside of the two
    screws to make as gauges, GO and NO-GO. None where wires cannot be laid or nothing is left of
    the limits. `no_go_turns`: turns that a NO-GO gauge may enter."""

    target: Target
    over_wires: Pair | None
    no_go_turns: int


def gauging(target: Target, wires: Wires | None, pitch_diameter: float | None) -> Gauging:
    """How to gauge; `wires` and the pitch diameter they were worked out for."""
    turns = NO_GO_TURNS.get(target.limits.standard, 2)
    left = target.pitch_diameter
    if wires is None or pitch_diameter is None or left is None:
        return Gauging(target, None, turns)
    added = wires.over_best_mm - pitch_diameter
    return Gauging(target, (left[0] + added, left[1] + added), turns)
