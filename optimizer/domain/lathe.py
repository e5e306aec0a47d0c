"""The lathe: leadscrew, headstock, gearbox, banjo, bed, policy. Lengths mm, angles degrees."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.material import NOTHING_KNOWN, ToothStrength
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.workshop import Workshop

LENGTH_TOLERANCE = 1e-9
"""mm (and degrees): limits are inclusive to within this."""


@dataclass(frozen=True)
class ThreadDial:
    """A thread-chasing dial: worm wheel of `teeth` on the leadscrew, `lines` equally spaced."""

    teeth: int
    lines: int


@dataclass(frozen=True)
class Slot:
    """A straight slot in the arm.

    It lies at `angle` from the arm's zero line, its centreline `offset` from the arm's
    centre of rotation (the screw shaft); a stud can stand at start <= t <= end, measured
    along the slot from the foot of the perpendicular.
    """

    start: float
    end: float
    angle: float = 0.0
    offset: float = 0.0


_ORDINALS = ("first", "second", "third", "fourth")


def one_of_several(thing: str, number: int) -> str:
    """A thing told apart from others of its kind, `number` from 0: people count from the
    first."""
    if number < len(_ORDINALS):
        return f"the {_ORDINALS[number]} {thing}"
    return f"{thing} {number + 1}"


@dataclass(frozen=True)
class Banjo:
    """The change-gear arm as measured. `swing` is (from, to) counter-clockwise, signed degrees."""

    axis_distance: float
    slots: tuple[Slot, ...]
    studs: int = 1
    swing: tuple[float, float] = (-180.0, 180.0)
    gap: float = 0.5
    driver_hub: float = 0.0
    stud_hub: float = 0.0
    screw_hub: float = 0.0
    largest_tip_diameter: float | None = None
    axis_angle: float = 90.0

    def clears_cover(self, tip_radius: float) -> bool:
        """Whether a gear of this tip radius (mm) runs under the cover."""
        limit = self.largest_tip_diameter
        return limit is None or 2 * tip_radius <= limit + LENGTH_TOLERANCE

    def slot_name(self, number: int) -> str:
        """A slot in words, `number` from 0 as in documents."""
        return "the slot" if len(self.slots) == 1 else one_of_several("slot", number)


class Drive(StrEnum):
    """Which end turns the train."""

    SPINDLE = "spindle"
    SCREW = "screw"


class Nose(StrEnum):
    """How chucks sit on the spindle: screwed on, or fixed by bolts, a cam, a taper with a nut."""

    SCREWED = "screwed"
    FIXED = "fixed"


@dataclass(frozen=True)
class Policy:
    """What the person at the lathe has decided; torques N m, times s, share 0..1.

    `drive` None: the spindle, and the screw's end above `hand_crank_above` screw turns.
    `cutting_speed` for threading in m/min; None: by the material of tool and work.
    """

    screw_torque: float = 1.5
    cutting_torque: float = 2.0
    hand_crank_above: Fraction = Fraction(3)
    drive: Drive | None = None
    reaction_time: float = 0.5
    cutting_speed: float | None = None
    lead_error_share: Fraction = Fraction(1, 2)
    plain_pitch_tolerance: Fraction = Fraction(1, 1000)

    def driven_from(self, screw_turns: Fraction) -> Drive:
        """The end that turns a train of so many leadscrew turns per spindle turn."""
        if self.drive is not None:
            return self.drive
        return Drive.SCREW if screw_turns > self.hand_crank_above else Drive.SPINDLE


@dataclass(frozen=True)
class Bed:
    """Carriage travel, distance between centres and travel of the top slide, mm."""

    carriage_travel: float | None = None
    between_centres: float | None = None
    top_slide_travel: float | None = None


@dataclass(frozen=True)
class DividingHead:
    """A head for indexing: worm ratio and the hole circles of its plates.

    `plates`: which circles share a plate (a compound move needs two on one); empty where
    that is not known. `bore` in mm and `keyway` as written: of the gears that go on its spindle
    and its plate's shaft, None where that is not known.
    """

    name: str
    ratio: int
    circles: tuple[int, ...]
    plates: tuple[tuple[int, ...], ...] = ()
    bore: float | None = None
    keyway: str = ""


COMMON_HEAD = DividingHead(
    "40:1 head",
    40,
    (15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33, 37, 39, 41, 43, 47, 49),
    ((15, 16, 17, 18, 19, 20), (21, 23, 27, 29, 31, 33), (37, 39, 41, 43, 47, 49)),
)


@dataclass(frozen=True)
class GearMaking:
    """What the lathe's own gears have in common: what a bought or cut gear must match.

    Module, face width, bore in mm; `keyway` as written ("3x1.4": width x depth), or "".
    """

    module: Fraction
    pressure_angle: Fraction = Fraction(20)
    face_width: Fraction | None = None
    bore: float | None = None
    keyway: str = ""
    material: str = "steel"

    def gear(self, teeth: int) -> Gear:
        """An ordinary gear of this lathe with `teeth` teeth."""
        return Gear(teeth, self.module, self.pressure_angle, self.face_width, self.material)


@dataclass(frozen=True)
class Lathe:
    """Everything a lathe file says.

    `first_driver_turns`: turns of the first change gear per spindle turn, one entry for
    each position of a lever. `gearbox`: (name, leadscrew turns per turn of the last change
    gear); empty without a gearbox. `right_hand_meshes`: parity (0 even, 1 odd) of the
    change-gear meshes that cuts a right-hand thread; None where a reversing lever makes
    either hand. `run_down`: s the spindle takes to stand still from its threading speed.
    `spindle_nose` None: not known. `unmeasured_studs`: studs taken where `banjo` is None.
    `usual_train`: what hangs on the lathe when nothing is asked. `strength`: what teeth bear,
    by material. `inch`: whether lengths are measured in inches; None: as the
    leadscrew. `screw_error`: how far the leadscrew's own lead is off, as a share of the length
    and without sign; None: not known.
    """

    name: str
    leadscrew: Pitch
    making: GearMaking
    chest: Chest
    first_driver_turns: tuple[Fraction, ...] = (Fraction(1),)
    fixed_first_driver: Gear | None = None
    right_hand_meshes: int | None = None
    lowest_rpm: float | None = None
    run_down: float = 1.0
    spindle_nose: Nose | None = None
    gearbox: tuple[tuple[str, Fraction], ...] = ()
    banjo: Banjo | None = None
    unmeasured_studs: int = 1
    inch: bool | None = None
    half_nuts: bool = True
    screw_error: Fraction | None = None
    thread_dials: tuple[ThreadDial, ...] = ()
    bed: Bed = field(default_factory=Bed)
    policy: Policy = field(default_factory=Policy)
    dividing: tuple[DividingHead, ...] = ()
    workshop: Workshop = field(default_factory=Workshop)
    usual_train: Train | None = None
    strength: ToothStrength = field(default=NOTHING_KNOWN, compare=False, repr=False)

    @property
    def studs(self) -> int:
        """How many studs trains may use."""
        return self.banjo.studs if self.banjo else self.unmeasured_studs

    def meshes_allowed(self, meshes: int, *, left: bool = False) -> bool:
        """Whether a train of so many meshes cuts the hand asked for."""
        if self.right_hand_meshes is None:
            return True
        return meshes % 2 == self.right_hand_meshes ^ left
