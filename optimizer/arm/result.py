"""What the arm answers: whether a train can be mounted, and where everything then stands."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.layout import Seat


class Fits(StrEnum):
    """Whether a train can be mounted."""

    YES = "yes"
    NO = "no"
    UNCHECKED = "unchecked"


@dataclass(frozen=True)
class StudPosition:
    """A stud set up: slot (from 0), position along it in mm, centre (mm, screw shaft at the
    origin, first driver's shaft at (axis_distance, 0)), and the gears it carries."""

    slot: int
    position: float
    x: float
    y: float
    gears: tuple[Gear, ...]


@dataclass(frozen=True)
class Hub:
    """What stands proud on a shaft - nut, washer, bush - and how far: `radius` in mm."""

    shaft: int
    radius: float


@dataclass(frozen=True)
class Clearance:
    """Room in mm between a gear's tips and another part they must not touch (negative: they
    overlap): the gear in seat `one`, and a gear of its plane or the hub of a shaft it passes."""

    mm: float
    one: Seat
    other: Seat | Hub


@dataclass(frozen=True)
class Placement:
    """A train on the arm: arm angle in degrees in (-180, 180] (None for a direct mesh, which
    needs no arm), studs from the first driver's side, every clearance, tightest first."""

    arm_angle: float | None
    studs: tuple[StudPosition, ...]
    clearances: tuple[Clearance, ...]

    @property
    def tightest(self) -> Clearance | None:
        """The smallest clearance; None where nothing comes near anything."""
        return self.clearances[0] if self.clearances else None


@dataclass(frozen=True)
class Fit:
    """Whether a train mounts; where it does, how; where not, why, in the shop's words, with
    the dimension that would cure each reason. `short_by` adds up how far off it is for each
    (mm; for the swing mm of arc, see `Misfit`), to tell a near miss from a hopeless one."""

    fits: Fits
    placement: Placement | None = None
    misfits: tuple[str, ...] = ()
    cures: tuple[str, ...] = ()
    short_by: float = 0.0
