"""What a screw presses, holds and bears: the power-screw formulas.

Lengths in mm, forces in N, torques in N m, angles in degrees, stresses in MPa. The formulas
are those of the machine-design textbooks (Mott, Machine Elements, ch. 17; Shigley, ch. 8):
with friction f, mean diameter d, lead l and flank half angle b,

    T = F d/2 (l + pi f d/cos b)/(pi d - f l/cos b) + F fc dc/2  to raise,
    T = F d/2 (pi f d/cos b - l)/(pi d + f l/cos b) + F fc dc/2  to lower.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from gearchest.optimizer.domain.pitch import lead_angle


@dataclass(frozen=True)
class Collar:
    """The ring the load bears on: mean diameter in mm, friction."""

    diameter: float
    friction: float


NO_COLLAR = Collar(0.0, 0.0)


@dataclass(frozen=True)
class PowerScrew:
    """`included_angle` between the flanks, 0 for a square thread; `friction` > 0 in the
    thread; `mean_diameter` and `lead` > 0."""

    mean_diameter: float
    lead: float
    included_angle: float
    friction: float
    collar: Collar = NO_COLLAR

    @property
    def lead_angle(self) -> float:
        """At the mean diameter."""
        return lead_angle(self.lead, self.mean_diameter)

    @property
    def effective_friction(self) -> float:
        """Friction after the wedging of the flanks: f / cos(half the included angle)."""
        return self.friction / math.cos(math.radians(self.included_angle / 2))

    def rubbing(self, friction: float) -> PowerScrew:
        """The same screw with another friction."""
        return replace(self, friction=friction)

    @property
    def holds(self) -> bool:
        """Whether the thread alone, collar left out, holds its load: pi f d/cos b >= l."""
        return math.pi * self.effective_friction * self.mean_diameter >= self.lead

    @property
    def least_holding_friction(self) -> float:
        """The friction below which the load drives the screw back."""
        half = math.radians(self.included_angle / 2)
        return self.lead / (math.pi * self.mean_diameter) * math.cos(half)

    @property
    def jamming_friction(self) -> float:
        """The friction from which no torque turns the screw against a load: f/cos b = pi d/l."""
        half = math.radians(self.included_angle / 2)
        return math.pi * self.mean_diameter / self.lead * math.cos(half)

    def raising_torque(self, force: float) -> float:
        """Torque to press with `force`. Infinite where friction jams the screw."""
        f, d = self.effective_friction, self.mean_diameter
        away = math.pi * d - f * self.lead
        if away <= 0:
            return math.inf
        thread = force * d / 2 * (self.lead + math.pi * f * d) / away
        return (thread + self._collar_torque(force)) / 1000.0

    def lowering_torque(self, force: float) -> float:
        """Torque to let go of `force`; negative: the load turns the screw by itself."""
        f, d = self.effective_friction, self.mean_diameter
        thread = force * d / 2 * (math.pi * f * d - self.lead) / (math.pi * d + f * self.lead)
        return (thread + self._collar_torque(force)) / 1000.0

    @property
    def efficiency(self) -> float:
        """Work done on the load over work put in: F l / (2 pi T)."""
        return self.lead / 1000.0 / (2 * math.pi * self.raising_torque(1.0))

    def force_from(self, torque: float) -> float:
        """Axial force a torque (N m) presses with."""
        return torque / self.raising_torque(1.0)

    def _collar_torque(self, force: float) -> float:
        return force * self.collar.friction * self.collar.diameter / 2


@dataclass(frozen=True)
class ScrewMaterial:
    """`compression` and `shear`: stress at failure or yield in MPa, along the grain for wood;
    `safety`: least factor of safety to keep; `friction`: usual, screw and nut of it, `frictions`
    the least and the most to be reckoned with. `threading`: m/min of a single point of high speed
    steel in a thread, None where no single point cuts it; `fluid`: what it is cut with.
    `modulus`: of elasticity along the grain, MPa, None where not known."""

    name: str
    wood: bool
    compression: float
    shear: float
    safety: float
    friction: float
    source: str
    threading: float | None = None
    fluid: str = "dry"
    modulus: float | None = None
    frictions: tuple[float, float] = (0.1, 0.2)


@dataclass(frozen=True)
class NutMaterial:
    """What the flanks in a nut bear when it is turned slowly by hand: MPa that it bears without
    doubt, and at most."""

    name: str
    surely: float
    most: float
    source: str


@dataclass(frozen=True)
class ScrewStress:
    """Stresses in MPa and the factors of safety they leave."""

    root: float
    screw_thread: float
    nut_thread: float
    root_safety: float
    thread_safety: float


def root_stress(force: float, torque: float, root_diameter: float) -> float:
    """Axial force and torque (N m) together at the root: sqrt(s^2 + 3 t^2)."""
    axial = force / (math.pi / 4 * root_diameter**2)
    shear = 16 * torque * 1000.0 / (math.pi * root_diameter**3)
    return math.sqrt(axial**2 + 3 * shear**2)


@dataclass(frozen=True)
class EngagedThread:
    """Screw and nut over `length` mm; `bore` is the nut's, `included_angle` in degrees."""

    major: float
    mean: float
    bore: float
    pitch: float
    included_angle: float
    length: float

    @property
    def screw_shear_area(self) -> float:
        """mm2 across the screw's threads at the nut's bore: they are p/2 + (d2 - D1) tan(a/2)
        thick there."""
        return self._area(self.bore, self.mean - self.bore)

    @property
    def nut_shear_area(self) -> float:
        """mm2 across the nut's threads at the screw's major diameter."""
        return self._area(self.major, self.major - self.mean)

    def bearing_area(self, play: float) -> float:
        """mm2 of flank that bear, seen along the axis: from the major diameter to the nut's bore,
        which is `play` mm wider than drawn; not above 0 where that is all there is."""
        ring = math.pi / 4 * (self.major**2 - (self.bore + play) ** 2)
        return ring * self.length / self.pitch

    def _area(self, diameter: float, from_mean: float) -> float:
        half = math.radians(self.included_angle / 2)
        thickness = min(self.pitch, self.pitch / 2 + from_mean * math.tan(half))
        return math.pi * diameter * thickness * self.length / self.pitch


def stress(
    force: float,
    torque: float,
    root_diameter: float,
    thread: EngagedThread,
    material: ScrewMaterial,
) -> ScrewStress:
    """Root and thread stresses under `force` with `torque` in the screw, against `material`.

    The load is taken as shared by all engaged turns.
    """
    root = root_stress(force, torque, root_diameter)
    on_screw, on_nut = force / thread.screw_shear_area, force / thread.nut_shear_area
    return ScrewStress(
        root,
        on_screw,
        on_nut,
        material.compression / root,
        material.shear / max(on_screw, on_nut),
    )
