"""Driving one train from the end that turns it: loads, torques, and the crank where hands do."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.screw_turns import Effort, effort
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.strength.loads import (
    Mesh,
    crank_torque,
    overloaded,
    spindle_torque,
    working_meshes,
)
from gearchest.optimizer.turning.cranking import Crank
from gearchest.optimizer.turning.working import TurnedBy, Working


@dataclass(frozen=True)
class Turning:
    """Loads at the policy's torques; `meshes` with those of the end that drives."""

    working: Working
    screw_turns: Fraction
    effort: Effort
    spindle_torque: float
    meshes: tuple[Mesh, ...]

    @property
    def overloaded(self) -> bool:
        """Whether a tooth is known to carry more than it bears."""
        return overloaded(self.meshes)

    @property
    def advice(self) -> str:
        """What the way of working and the screw turns mean at the lathe, in a sentence."""
        if self.working.screw_drives:
            return _SCREW
        return _HAND if self.working.turned is TurnedBy.HAND else _POWERED[self.effort]


_SCREW = (
    "Wind the leadscrew at its own end while the powered cutter cuts: the power flows from the "
    "screw to the spindle, which is free."
)
_HAND = "Turn the spindle by a crank in its bore or on its nose; it drives the screw."
_OUTRUNS = "The screw outruns the spindle, "
_POWERED = {
    Effort.LIGHT: "The spindle drives the screw with ease.",
    Effort.USUAL: f"{_OUTRUNS}as far as makers' charts usually go.",
    Effort.HEAVY: f"{_OUTRUNS}further than makers' charts usually go, and the load comes from the "
    "screw's side: the lathe's slowest speed, light cuts.",
    Effort.CRANK: f"{_OUTRUNS}far beyond what makers' charts go to: slowest speed, lightest cuts.",
}


def turning(lathe: Lathe, train: Train, working: Working) -> Turning:
    """How one train is driven and what its teeth carry."""
    policy = lathe.policy
    return Turning(
        working,
        train.ratio,
        effort(train.ratio, policy.hand_crank_above),
        spindle_torque(train, policy.screw_torque),
        working_meshes(lathe, train),
    )


def crank(
    lathe: Lathe, train: Train, working: Working, lead: float, hand_force: float
) -> Crank | None:
    """The crank for a `lead` in mm and a hand force in N; None under power."""
    policy = lathe.policy
    if working.screw_drives:
        torque = crank_torque(train, policy.screw_torque, policy.cutting_torque)
        return Crank(Drive.SCREW, torque, hand_force, lathe.leadscrew.lead.mm)
    if working.turned is TurnedBy.HAND:
        torque = spindle_torque(train, policy.screw_torque) + policy.cutting_torque
        return Crank(Drive.SPINDLE, torque, hand_force, lead)
    return None
