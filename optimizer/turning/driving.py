"""Driving one train: from the spindle, or from the screw's end where the pitch is steep."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.material import ToothStrength
from gearchest.optimizer.domain.screw_turns import Effort, effort
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.result import Answer, Reach
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
    pitch is to be driven from the screw's end. Where a tooth is overloaded: `easier` is the
    easiest train that is not, of `looked_at` within the allowance, None if there is none."""

    screw_turns: Fraction
    effort: Effort
    spindle_torque: float
    meshes: tuple[Mesh, ...]
    crank: Crank | None = None
    easier: Answer | None = None
    looked_at: int = 0

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


def turning(
    lathe: Lathe, train: Train, strength: ToothStrength, crank_force: float = CRANK_FORCE
) -> Turning:
    """How one train is driven and what its teeth carry; `crank_force` in N, > 0."""
    policy = lathe.policy
    found = Turning(
        train.ratio,
        effort(train.ratio, policy.hand_crank_above),
        spindle_torque(train, policy.screw_torque),
        meshes(train, stage_loads_from_spindle(train, policy.screw_torque), strength),
    )
    if found.effort is not Effort.CRANK:
        return found
    torque = crank_torque(train, policy.screw_torque, policy.cutting_torque)
    loads = stage_loads_from_screw(train, policy.cutting_torque)
    chain = meshes(train, loads, strength)
    return replace(found, crank=Crank(torque, crank_force, 1000 * torque / crank_force, chain))


def with_easier(found: Turning, lathe: Lathe, reach: Reach, strength: ToothStrength) -> Turning:
    """For an overloaded train, the least loaded of the trains within the allowance of which
    every mesh is checked and none overloaded."""
    if not found.overloaded:
        return found
    within = [answer for answer in reach.trains if answer.verdict.covered]
    bearable = [
        answer
        for answer in within
        if all(
            mesh.share is not None and mesh.share <= 1
            for mesh in turning(lathe, answer.train, strength).working
        )
    ]
    easiest = min(bearable, key=lambda a: (a.train.tooth_load, abs(a.error)), default=None)
    return replace(found, easier=easiest, looked_at=len(within))
