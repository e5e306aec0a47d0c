"""How a thread is worked: decided first, and all else on a sheet follows from it.

Common practice, no source: a single point cuts metal on a spindle under power. Where the pitch is
so steep that the screw turns the spindle, the screw is turned at its own end and a powered cutter
cuts. Wood is cut by a powered cutter whichever end turns, for a single point tears it, and never
with the spindle under power, since two powered things would then meet. What is too fast for the
slowest speed of the lathe is cut by a single point with the spindle turned by hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Drive, Policy
from gearchest.optimizer.turning.speed import Governs, Speed


class TurnedBy(StrEnum):
    """What turns the work."""

    POWERED = "powered spindle"
    SCREW = "screw drives"
    HAND = "by hand"


@dataclass(frozen=True)
class Working:
    """One way of working. `cutter`: a powered cutter cuts, not a single point; `wooden` work.
    `too_fast`: what the lathe's slowest speed is too fast for, where that is why."""

    turned: TurnedBy
    cutter: bool
    wooden: bool
    too_fast: Governs | None = None

    @property
    def powered(self) -> bool:
        """Whether power turns the spindle."""
        return self.turned is TurnedBy.POWERED

    @property
    def screw_drives(self) -> bool:
        """Whether the screw turns the spindle."""
        return self.turned is TurnedBy.SCREW


def working(policy: Policy, screw_turns: Fraction, speed: Speed, *, wooden: bool) -> Working:
    """The way of working for so many leadscrew turns a spindle turn."""
    if policy.driven_from(screw_turns) is Drive.SCREW:
        return Working(TurnedBy.SCREW, cutter=True, wooden=wooden)
    if wooden:
        return Working(TurnedBy.HAND, cutter=True, wooden=True)
    if speed.too_fast is not None:
        return Working(TurnedBy.HAND, cutter=False, wooden=False, too_fast=speed.too_fast)
    return Working(TurnedBy.POWERED, cutter=False, wooden=False)
