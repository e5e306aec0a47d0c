"""How fast the spindle may turn: by the run-out, by what the tool bears, by what the lathe has."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Governs(StrEnum):
    """What keeps the spindle from turning faster."""

    RUN_OUT = "run-out"
    CUTTING = "cutting speed"
    LATHE = "lathe"


@dataclass(frozen=True)
class Stopping:
    """Times in s: `reaction` of the hand on the switch, `run_down` of the spindle after it."""

    reaction: float
    run_down: float

    def turns(self, rpm: float) -> float:
        """Spindle turns until it stands: at full speed while the hand reacts, then slowing
        down along a straight line."""
        return rpm / 60.0 * (self.reaction + self.run_down / 2.0)

    def overrun(self, lead: float, rpm: float) -> float:
        """mm the carriage runs on meanwhile, with a lead in mm."""
        return lead * self.turns(rpm)


@dataclass(frozen=True)
class Speed:
    """Limits in rpm. `run_out` keeps the carriage's overrun within `room` mm, half-nuts closed;
    `cutting` keeps `cutting_speed` m/min at the largest diameter, None where that is unknown.
    `lowest` is the lathe's slowest speed, None: not in its file; `slowest`: the pitch is so
    steep that this is the one to take. `powered`: whether power turns the
    spindle at all.
    """

    stopping: Stopping
    lead: float
    room: float
    run_out: float
    cutting_speed: float | None
    cutting: float | None
    lowest: float | None
    slowest: bool
    powered: bool = True

    @property
    def too_fast(self) -> Governs | None:
        """What the lathe's slowest speed is too fast for, the run-out first."""
        if self.lowest is None:
            return None
        limits = ((self.run_out, Governs.RUN_OUT), (self.cutting, Governs.CUTTING))
        return next(
            (why for rpm, why in limits if rpm is not None and self.lowest > rpm * (1 + 1e-9)), None
        )

    @property
    def governing(self) -> tuple[float, Governs] | None:
        """The lowest limit and its name; None where no power turns the spindle."""
        if not self.powered:
            return None
        limits = [(self.run_out, Governs.RUN_OUT)]
        if self.cutting is not None:
            limits.append((self.cutting, Governs.CUTTING))
        if self.slowest and self.lowest is not None:
            limits.append((self.lowest, Governs.LATHE))
        return min(limits, key=lambda limit: limit[0])

    def overrun(self, rpm: float) -> float:
        """mm the carriage runs on at a speed."""
        return self.stopping.overrun(self.lead, rpm)


def speed(
    stopping: Stopping,
    lead: float,
    room: float,
    *,
    cutting_speed: float | None = None,
    diameter: float | None = None,
    lowest: float | None = None,
    slowest: bool = False,
) -> Speed:
    """Limits for a lead and a run-out > 0 in mm, a cutting speed in m/min at a diameter in mm."""
    cutting = None
    if cutting_speed is not None and diameter is not None:
        cutting = 1000.0 * cutting_speed / (math.pi * diameter)
    return Speed(
        stopping,
        lead,
        room,
        room / stopping.overrun(lead, 1.0),
        cutting_speed,
        cutting,
        lowest,
        slowest,
    )
