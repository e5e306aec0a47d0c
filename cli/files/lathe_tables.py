"""What a lathe file may hold, table by table, with ranges and defaults.

Where the domain has a dataclass with the same fields, its defaults are taken from there.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from gearchest.cli.files.fields import (
    Count,
    CuttingSpeed,
    Degrees,
    DiametralPitch,
    Module,
    Name,
    Positive,
    PressureAngle,
    Ratio,
    Table,
    Teeth,
    Text,
    Tolerance,
    YesNo,
    exact,
    one_of,
    real,
    whole,
)
from gearchest.cli.files.gear_lists import GearList
from gearchest.cli.files.lengths import (
    FaceWidth,
    Keyway,
    Mm,
    NonNegativeMm,
    PositiveMm,
    Units,
)
from gearchest.cli.files.limits import MOST_POSITIONS
from gearchest.cli.files.pitches import PitchField
from gearchest.cli.files.plate import UNITS, PlateField
from gearchest.optimizer.domain.gear import Place
from gearchest.optimizer.domain.lathe import Drive, Nose, Policy
from gearchest.optimizer.domain.layout import most_studs
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.domain.workshop import Way, Workshop

DEFAULT_POLICY = Policy()
DEFAULT_WORKSHOP = Workshop()

Holes = Annotated[int, whole("holes", least=2, most=1000)]
Money = Annotated[Fraction, exact(least=0, most=1_000_000)]
WayField = Annotated[Way, one_of(**{way.value: way for way in Way})]
Parity = Annotated[int, one_of(even=0, odd=1)]
NoseField = Annotated[Nose, one_of(**{nose.value: nose for nose in Nose})]
PlaceField = Annotated[Place, one_of(**{place.value: place for place in Place})]


def _that_trains_take(studs: int) -> int:
    """Refuses studs that no layout of gears takes: they would be passed over in silence."""
    most = most_studs()
    if studs > most:
        raise NotationError(
            "no train known here takes so many studs", value=str(studs), allowed=f"1 to {most}",
            fix=f"write studs = {most}, and leave the other studs off the arm",
        )  # fmt: skip
    return studs


Studs = Annotated[int, whole("studs", least=1, most=100), AfterValidator(_that_trains_take)]


def _listed(value: Any) -> Any:
    """A single value where a list may stand."""
    return value if isinstance(value, list) else [value]


def _swing(value: Any) -> Any:
    """Both ends of a swing; text such as "-75 to 75" or "±75" holds them as well."""
    if isinstance(value, list):
        return value
    text = str(value).replace("°", "").strip()
    if ends := re.fullmatch(r"(.+?)(?:\s+(?:to|\.\.+)\s+|\s*,\s*)(.+)", text):
        return list(ends.groups())
    if even := re.fullmatch(r"(?:±|\+/-|\+-)\s*([\d.,]+)", text):
        return [f"-{even[1]}", even[1]]
    raise NotationError(
        "an arm swings from one angle to another", value=str(value),
        allowed="[from, to] in degrees, counter-clockwise positive",
        fix=f"write [-{text.lstrip('-')}, {text.lstrip('-')}] if it swings as far both ways",
    )  # fmt: skip


class DialTable(Table):
    """One thread dial."""

    teeth: Annotated[int, whole("teeth", least=1, most=500)]
    lines: Annotated[int, whole(least=1, most=500)]


class LeadscrewTable(Table):
    """[leadscrew]."""

    pitch: PitchField
    half_nuts: YesNo = True
    lead_error: Tolerance | None = None
    thread_dials: tuple[DialTable, ...] = ()


class HeadstockTable(Table):
    """[headstock]."""

    first_driver_turns: Annotated[
        tuple[Ratio, ...], BeforeValidator(_listed), Field(min_length=1)
    ] = (Fraction(1),)
    fixed_first_driver: Teeth | None = None
    reversing: YesNo = True
    right_hand_meshes: Parity | None = None
    lowest_rpm: Positive | None = None
    run_down: Annotated[float, real("s", least=0, most=1000)] = 1.0
    spindle_nose: NoseField | None = None


class GearboxTable(Table):
    """[gearbox]: by its `ratios`, or as its `plate` says; `unit` of the plate's bare numbers."""

    ratios: Annotated[dict[Name, Ratio], Field(min_length=1, max_length=MOST_POSITIONS)] | None = (
        None
    )
    unit: Annotated[str, one_of(**{unit: unit for unit in UNITS})] | None = None
    plate: PlateField | None = None


class SlotTable(Table):
    """One slot of the arm."""

    start: Mm
    end: Mm
    angle: Degrees = 0.0
    offset: Mm = 0.0


class BanjoTable(Table):
    """[banjo]; without `axis_distance` and `slots` only `studs` may stand in it."""

    studs: Studs = 1
    axis_distance: PositiveMm | None = None
    axis_angle: Degrees = 90.0
    swing: Annotated[
        tuple[Degrees, ...], BeforeValidator(_swing), Field(min_length=2, max_length=2)
    ] = (-180.0, 180.0)
    gap: NonNegativeMm = 0.5
    driver_hub: NonNegativeMm = 0.0
    stud_hub: NonNegativeMm = 0.0
    screw_hub: NonNegativeMm = 0.0
    largest_tip_diameter: PositiveMm | None = None
    slots: Annotated[tuple[SlotTable, ...], Field(min_length=1)] | None = None


class SpecialTable(Table):
    """[[gears.special]]; what is left out is as for the lathe's other gears. Several counts in
    `teeth` are several gears of that kind."""

    teeth: Annotated[GearList, Field(min_length=1)]
    count: Count = 1
    module: Module | None = None
    dp: DiametralPitch | None = None
    pressure_angle: PressureAngle | None = None
    face_width: FaceWidth | None = None
    material: Text | None = None
    only_on: Annotated[tuple[PlaceField, ...], BeforeValidator(_listed), Field(min_length=1)] = (
        tuple(Place)
    )
    pinned_to: Teeth | None = None


class GearsTable(Table):
    """[gears]."""

    module: Module | None = None
    dp: DiametralPitch | None = None
    pressure_angle: PressureAngle = Fraction(20)
    face_width: FaceWidth | None = None
    bore: PositiveMm | None = None
    keyway: Keyway = ""
    material: Text = "steel"
    owned: GearList
    usual_train: Text | None = None
    special: tuple[SpecialTable, ...] = ()


class BedTable(Table):
    """[bed]."""

    carriage_travel: PositiveMm | None = None
    between_centres: PositiveMm | None = None
    top_slide_travel: PositiveMm | None = None


class PolicyTable(Table):
    """[policy]; torques in N m, times in s."""

    screw_torque: Positive = DEFAULT_POLICY.screw_torque
    cutting_torque: Positive = DEFAULT_POLICY.cutting_torque
    hand_crank_above: Annotated[Fraction, exact(above=0, most=1000)] = (
        DEFAULT_POLICY.hand_crank_above
    )
    drive: Annotated[Drive | None, one_of(auto=None, **{end.value: end for end in Drive})] = None
    reaction_time: Positive = DEFAULT_POLICY.reaction_time
    cutting_speed: CuttingSpeed | None = DEFAULT_POLICY.cutting_speed
    lead_error_share: Annotated[Fraction, exact(above=0, most=1)] = DEFAULT_POLICY.lead_error_share
    plain_pitch_tolerance: Tolerance = DEFAULT_POLICY.plain_pitch_tolerance


class WorkshopTable(Table):
    """[workshop]: what making gears costs here; money in the user's own."""

    hourly_rate: Money = DEFAULT_WORKSHOP.hourly_rate
    setup_hours: Money = DEFAULT_WORKSHOP.setup_hours
    minutes_per_tooth: Money = DEFAULT_WORKSHOP.minutes_per_tooth
    material_price: Money | None = DEFAULT_WORKSHOP.material_price
    cutter_price: Money = DEFAULT_WORKSHOP.cutter_price
    cutters: tuple[Teeth, ...] = DEFAULT_WORKSHOP.cutters
    backlash: PositiveMm | None = DEFAULT_WORKSHOP.backlash
    dial_division: PositiveMm = DEFAULT_WORKSHOP.dial_division
    outline_offset: Mm = DEFAULT_WORKSHOP.outline_offset
    ways: Annotated[tuple[WayField, ...], BeforeValidator(_listed), Field(min_length=1)] = (
        DEFAULT_WORKSHOP.ways
    )


class DividingTable(Table):
    """[[dividing]]; `plates` says which circles share a plate, `bore` and `keyway` what gears
    its shafts take, where that is known."""

    name: Text
    ratio: Annotated[int, whole(least=1, most=1000)]
    circles: Annotated[tuple[Holes, ...], Field(min_length=1)]
    plates: tuple[tuple[Holes, ...], ...] = ()
    bore: PositiveMm | None = None
    keyway: Keyway = ""


class LatheFile(Table):
    """A whole lathe file."""

    name: Text
    units: Units | None = None
    leadscrew: LeadscrewTable
    headstock: HeadstockTable = HeadstockTable()
    gearbox: GearboxTable | None = None
    banjo: BanjoTable | None = None
    gears: GearsTable
    bed: BedTable = BedTable()
    policy: PolicyTable = PolicyTable()
    dividing: tuple[DividingTable, ...] = ()
    workshop: WorkshopTable = WorkshopTable()
