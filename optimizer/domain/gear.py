"""Change gears, and the chest that holds them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property


class Place(StrEnum):
    """Where on the lathe a gear can sit."""

    DRIVER = "driver"  # first driver's shaft
    STUD = "stud"  # one of a keyed pair on a stud
    IDLER = "idler"  # alone on a stud
    SCREW = "screw"  # leadscrew or gearbox input shaft


ANYWHERE = frozenset(Place)

LEAST_TEETH, MOST_TEETH = 8, 500
"""Tooth counts that change gears can have."""


@dataclass(frozen=True)
class Gear:
    """One kind of change gear; several of a kind are counted by the chest.

    Gears mesh when module (mm) and pressure angle (degrees) agree. `places` is where it
    can go; `unit` names the pinned pair a gear is part of ("" for a loose gear).
    Face width is in mm.
    """

    teeth: int
    module: Fraction
    pressure_angle: Fraction = Fraction(20)
    face_width: Fraction | None = None
    material: str = "steel"
    places: frozenset[Place] = ANYWHERE
    unit: str = ""

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        """Worked out once: gears are counted by the thousand, and fractions are slow to hash."""
        return hash((self.teeth, self.module, self.pressure_angle, self.face_width,
                     self.material, self.places, self.unit))  # fmt: skip

    @cached_property
    def pitch_radius(self) -> float:
        """mm."""
        return float(self.module * self.teeth / 2)

    @cached_property
    def tip_radius(self) -> float:
        """mm; addendum of one module."""
        return float(self.module * (self.teeth + 2) / 2)

    @property
    def mesh_class(self) -> tuple[Fraction, Fraction]:
        """Gears of one class mesh with each other and with no others."""
        return self.module, self.pressure_angle

    @property
    def order(self) -> tuple[int | Fraction | str | tuple[str, ...], ...]:
        """A total order for deterministic output: tooth count first."""
        return (
            self.teeth,
            self.module,
            self.pressure_angle,
            self.unit,
            self.material,
            tuple(sorted(self.places)),
            Fraction(-1) if self.face_width is None else self.face_width,
        )

    def __str__(self) -> str:
        return str(self.teeth)


@dataclass(frozen=True)
class PinnedPair:
    """Two gears fixed to each other: usable only as a compound pair, either way round."""

    one: Gear
    other: Gear
    count: int = 1


@dataclass(frozen=True)
class Chest:
    """The gears owned: (gear, how many), in the order of `Gear.order`; and pinned pairs."""

    loose: tuple[tuple[Gear, int], ...]
    pinned: tuple[PinnedPair, ...] = ()

    @property
    def size(self) -> int:
        """How many gears there are, both members of a pinned pair counted."""
        return sum(count for _, count in self.loose) + 2 * sum(p.count for p in self.pinned)


@dataclass(frozen=True)
class Offer:
    """A gear that could be added. `copies` None: any number. `how` is "buy" or "cut"."""

    gear: Gear
    price: Fraction
    how: str = "buy"
    copies: int | None = None
    note: str = ""
