"""A gear train set up for one gearbox and lever position: its ratio, hand and tooth load."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import prod

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.layout import Layout, Seat
from gearchest.optimizer.domain.pitch import Pitch


@dataclass(frozen=True)
class Setting:
    """Lever positions: turns of the first driver a spindle turn, and the gearbox."""

    first_driver_turns: Fraction = Fraction(1)
    gearbox: str | None = None
    gearbox_ratio: Fraction = Fraction(1)

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        """Worked out once: fractions are slow to hash."""
        return hash((self.first_driver_turns, self.gearbox, self.gearbox_ratio))


@dataclass(frozen=True)
class Train:
    """drivers[i] meshes with driven[i], through idlers[i] in mesh order if there are any;
    driven[i] and drivers[i + 1] share a stud."""

    layout: Layout
    drivers: tuple[Gear, ...]
    driven: tuple[Gear, ...]
    idlers: tuple[tuple[Gear, ...], ...]
    setting: Setting = Setting()

    @classmethod
    def of(cls, layout: Layout, gears: Sequence[Gear], setting: Setting) -> Train:
        """Of gears in mesh order, as many as the layout has places."""
        drivers, driven, idlers, at = [], [], [], 0
        for count in layout.idlers:
            drivers.append(gears[at])
            idlers.append(tuple(gears[at + 1 : at + 1 + count]))
            driven.append(gears[at + 1 + count])
            at += count + 2
        return cls(layout, tuple(drivers), tuple(driven), tuple(idlers), setting)

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        """Worked out once, as are the properties: one train is asked about many times."""
        return hash((self.layout, self.drivers, self.driven, self.idlers, self.setting))

    @cached_property
    def gears(self) -> tuple[Gear, ...]:
        """Every gear, in mesh order from the first driver."""
        return tuple(gear for stage in self.stages for gear in stage)

    @cached_property
    def stages(self) -> tuple[tuple[Gear, ...], ...]:
        """For each stage its gears in mesh order: driver, idlers, driven."""
        return tuple(
            (driver, *idlers, driven)
            for driver, idlers, driven in zip(self.drivers, self.idlers, self.driven, strict=True)
        )

    @cached_property
    def seated(self) -> tuple[tuple[Seat, Gear], ...]:
        """Every gear with its seat, in mesh order."""
        return tuple(
            pair
            for seats, gears in zip(self.layout.seats, self.stages, strict=True)
            for pair in zip(seats, gears, strict=True)
        )

    @cached_property
    def hung(self) -> dict[tuple[int, int], Gear]:
        """Which gear hangs at which place (see `Layout.places`)."""
        return dict(zip(self.layout.places, self.gears, strict=True))

    def put_on(self, before: Train | None) -> int:
        """How many gears have to be put on where `before` hung: those whose place did not hold
        the same kind of gear. All of them where nothing hung."""
        hung = before.hung if before else {}
        return sum(hung.get(place) != gear for place, gear in self.hung.items())

    @property
    def overdrives_box(self) -> bool:
        """Whether a gearbox is turned faster than the spindle."""
        return self.setting.gearbox is not None and self.ratio > self.setting.gearbox_ratio

    @cached_property
    def spans(self) -> tuple[float, ...]:
        """Distances in mm between successive shafts, from the first driver's to the screw's:
        meshing gears stand m (z1 + z2) / 2 apart."""
        return tuple(
            float(one.module * (one.teeth + other.teeth) / 2)
            for stage in self.stages
            for one, other in itertools.pairwise(stage)
        )

    @cached_property
    def ratio(self) -> Fraction:
        """Leadscrew turns per spindle turn, lever and gearbox included."""
        gears = Fraction(
            prod(gear.teeth for gear in self.drivers), prod(gear.teeth for gear in self.driven)
        )
        return self.setting.first_driver_turns * gears * self.setting.gearbox_ratio

    @cached_property
    def stage_loads(self) -> tuple[Fraction, ...]:
        """Tangential load in N of each stage for 1 N m at the leadscrew, friction left out.

        F = 2000 T / (m z) with T at the driven gear's shaft in N m and m in mm; power flows
        from the spindle to the screw, so the shaft before a mesh carries
        T x z_driver / z_driven. Idlers carry the load of their stage on both sides.
        """
        torque = self.setting.gearbox_ratio
        loads: list[Fraction] = []
        for driver, driven in zip(reversed(self.drivers), reversed(self.driven), strict=True):
            loads.append(2000 * torque / (driven.module * driven.teeth))
            torque *= Fraction(driver.teeth, driven.teeth)
        return tuple(reversed(loads))

    @cached_property
    def tooth_load(self) -> Fraction:
        """The load of the most loaded mesh, N for 1 N m at the leadscrew."""
        return max(self.stage_loads)

    def missing(self, owned: Counter[Gear]) -> tuple[Gear, ...]:
        """Gears the train needs beyond those owned, each as often as it is missing."""
        lacking = Counter(self.gears) - owned
        return tuple(sorted(lacking.elements(), key=lambda gear: gear.order))


def step_in_pitches(ratio: Fraction, screw_starts: int) -> tuple[int, int]:
    """The half-nut step as (leadscrew pitches, thread leads).

    `ratio` is leadscrew turns per spindle turn. One thread lead is ratio x starts leadscrew
    pitches, since half-nuts drop into every pitch of a multi-start leadscrew; with that in
    lowest terms a/b the least common multiple is a pitches, b leads.
    """
    lead = ratio * screw_starts
    return lead.numerator, lead.denominator


def half_nut_step(ratio: Fraction, leadscrew: Pitch) -> float:
    """Shortest carriage travel in mm after which the half-nuts drop into the same groove."""
    return step_in_pitches(ratio, leadscrew.starts)[0] * leadscrew.mm
