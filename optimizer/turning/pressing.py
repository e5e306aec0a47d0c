"""What the finished screw does in a vise, press or jack: turned by hand, or under a load."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.threads.flanks import SQUARE
from gearchest.optimizer.threads.wooden import nut_clearance
from gearchest.optimizer.turning.screw_force import (
    EngagedThread,
    NutMaterial,
    PowerScrew,
    ScrewMaterial,
    ScrewStress,
    stress,
)
from gearchest.optimizer.turning.sizes import Sizes
from gearchest.optimizer.turning.strut import Ends, Strut, strut


@dataclass(frozen=True)
class Hand:
    """A hand on a lever: `force` in N at `radius` mm."""

    force: float
    radius: float


@dataclass(frozen=True)
class Load:
    """What loads the finished screw: a `hand` that turns it, or an `axial` load in N; one of the
    two. `friction` in the thread, None: the material's own. `nut`: mm of engaged thread, None: one
    diameter; `nut_material` None: a wooden nut is of the screw's wood, a metal one not known.
    `free`: mm pressed between where it is held, None: not pressed endwise; `ends` None: the worst.
    """

    hand: Hand | None = None
    axial: float | None = None
    friction: float | None = None
    nut: float | None = None
    nut_material: NutMaterial | None = None
    free: float | None = None
    ends: Ends | None = None


@dataclass(frozen=True)
class Pressing:
    """Torque in N m, axial force in N, and what it does to the screw; no collar reckoned.

    `frictions`: the least and the most to be reckoned with; `pressure` on the flanks in MPa,
    infinite where a wooden nut's play leaves none.
    `strut` None where the screw is not pressed endwise.
    """

    load: Load
    screw: PowerScrew
    frictions: tuple[float, float]
    torque: float
    force: float
    engaged: float
    material: ScrewMaterial
    stress: ScrewStress
    pressure: float
    strut: Strut | None = None

    @property
    def stress_kept(self) -> bool:
        """Whether root and thread keep the material's factor of safety."""
        return min(self.stress.root_safety, self.stress.thread_safety) >= self.material.safety

    @property
    def strong_enough(self) -> bool:
        """Whether root, thread and the whole as a strut do."""
        steady = self.strut is None or self.strut.safety >= self.material.safety
        return self.stress_kept and steady

    @property
    def holds_surely(self) -> bool:
        """Whether it holds its load whatever the friction reckoned with."""
        return self.screw.least_holding_friction <= self.frictions[0]

    @property
    def runs_back(self) -> bool:
        """Whether the load turns it back whatever the friction reckoned with."""
        return self.screw.least_holding_friction > self.frictions[1]

    @property
    def nut_sure(self) -> bool:
        """Whether the nut's material, if known, bears the pressure without doubt."""
        nut = self.load.nut_material
        return nut is not None and self.pressure <= nut.surely

    @property
    def nut_crushed(self) -> bool:
        """Whether the pressure is known to be more than the nut's material bears."""
        nut = self.load.nut_material
        return nut is not None and self.pressure > nut.most

    @property
    def range_of_torque(self) -> tuple[float, float]:
        """N m that press with `force` at the least and at the most friction; infinite: it jams."""
        low, high = (self.screw.rubbing(friction) for friction in self.frictions)
        return low.raising_torque(self.force), high.raising_torque(self.force)

    @property
    def range_of_force(self) -> tuple[float, float]:
        """N that `torque` presses with at the most and at the least friction; 0: it jams."""
        low, high = (self.screw.rubbing(friction) for friction in self.frictions)
        return high.force_from(self.torque), low.force_from(self.torque)


class JammedError(ValueError):
    """The screw cannot be turned against a load: its friction is `limit` or more."""

    def __init__(self, friction: float, limit: float) -> None:
        super().__init__(f"with friction {friction:g} this screw jams: no hand presses with it")
        self.limit = limit


def pressing(sizes: Sizes, load: Load, material: ScrewMaterial) -> Pressing | None:
    """None where the thread's diameters are unknown or it has no nut. Raises `JammedError`."""
    screw_sizes = sizes.found
    mean, minor = screw_sizes.pitch_diameter_mm, screw_sizes.minor_mm
    major, bore = screw_sizes.major_mm, screw_sizes.nut_bore_mm
    if mean is None or minor is None or major is None or bore is None or minor <= 0:
        return None
    flanks = sizes.flanks or SQUARE
    friction = material.friction if load.friction is None else load.friction
    screw = PowerScrew(mean, sizes.lead_mm, 2 * flanks.load, friction)
    if friction >= screw.jamming_friction:
        raise JammedError(friction, screw.jamming_friction)
    if load.hand is not None:
        torque = load.hand.force * load.hand.radius / 1000.0
        force = screw.force_from(torque)
    else:
        force = load.axial or 0.0
        torque = screw.raising_torque(force)
    engaged = major if load.nut is None else load.nut
    thread = EngagedThread(major, mean, bore, sizes.pitch_mm, flanks.as_alike, engaged)
    play = nut_clearance(major) if material.wood else 0.0
    flank = thread.bearing_area(play)
    column = None
    if load.free is not None and material.modulus is not None:
        column = strut(force, minor, load.free, load.ends, material.modulus, material.compression)
    return Pressing(
        load,
        screw,
        (min(friction, material.frictions[0]), max(friction, material.frictions[1])),
        torque,
        force,
        engaged,
        material,
        stress(force, torque, minor, thread, material),
        force / flank if flank > 0 else math.inf,
        column,
    )
