"""Driving one train: from the spindle, or from the screw's end where the pitch is steep."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.screw_turns import Effort, effort
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.strength.loads import (
    Mesh,
    crank_torque,
    meshes,
    overloaded,
    spindle_torque,
    stage_loads_from_screw,
    stage_loads_from_spindle,
)

CRANK_FORCE = 50.0
"""N a hand keeps up on a crank (common practice, no source)."""


@dataclass(frozen=True)
class Crank:
    """The screw driven from its own end: torque in N m, the crank's length in mm for a hand
    force in N, and the meshes with the loads they carry that way round."""

    torque: float
    hand_force: float
    length: float
    meshes: tuple[Mesh, ...]


@dataclass(frozen=True)
class Turning:
    """Loads at the policy's torques. `meshes` with the spindle driving; `crank` where the
    train is to be driven from the screw's end."""

    screw_turns: Fraction
    effort: Effort
    spindle_torque: float
    meshes: tuple[Mesh, ...]
    crank: Crank | None = None

    @property
    def working(self) -> tuple[Mesh, ...]:
        """The meshes as they work: driven from the screw where that is advised."""
        return self.crank.meshes if self.crank else self.meshes

    @property
    def overloaded(self) -> bool:
        """Whether a tooth is known to carry more than it bears."""
        return overloaded(self.working)

    @property
    def advice(self) -> str:
        """What the screw turns mean at the lathe, in a sentence."""
        return _ADVICE[self.effort]


_ADVICE = {
    Effort.LIGHT: "The spindle drives the screw with ease.",
    Effort.USUAL: "The screw outruns the spindle; as far as makers' charts usually go. Run slowly.",
    Effort.HEAVY: "The screw outruns the spindle, further than makers' charts usually go: the load "
    "comes from the screw's side. Slowest speed, light cuts, or wind it by hand.",
    Effort.CRANK: "Wind or drive it from the leadscrew's end while a powered cutter cuts; the "
    "power then flows from the screw to the spindle.",
}


def turning(lathe: Lathe, train: Train, crank_force: float = CRANK_FORCE) -> Turning:
    """How one train is driven and what its teeth carry; `crank_force` in N, > 0."""
    policy = lathe.policy
    found = Turning(
        train.ratio,
        effort(train.ratio, policy.hand_crank_above),
        spindle_torque(train, policy.screw_torque),
        meshes(lathe, train, stage_loads_from_spindle(train, policy.screw_torque)),
    )
    if policy.driven_from(train.ratio) is Drive.SPINDLE:
        return found
    torque = crank_torque(train, policy.screw_torque, policy.cutting_torque)
    loads = stage_loads_from_screw(train, policy.cutting_torque)
    chain = meshes(lathe, train, loads)
    return replace(found, crank=Crank(torque, crank_force, 1000 * torque / crank_force, chain))
