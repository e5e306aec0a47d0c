"""What the finished screw does in a vise, press or jack, turned by hand."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.threads.flanks import SQUARE
from gearchest.optimizer.turning.screw_force import (
    EngagedThread,
    PowerScrew,
    ScrewMaterial,
    ScrewStress,
    stress,
)
from gearchest.optimizer.turning.sizes import Sizes


@dataclass(frozen=True)
class Hand:
    """A hand on a lever: `force` in N at `radius` mm; `nut` mm of engaged thread, `friction`
    in it, None: one diameter and the material's own."""

    force: float
    radius: float
    friction: float | None = None
    nut: float | None = None


@dataclass(frozen=True)
class Pressing:
    """Torque in N m, axial force in N, and what it does to the screw; no collar reckoned."""

    hand: Hand
    screw: PowerScrew
    torque: float
    force: float
    engaged: float
    material: ScrewMaterial
    stress: ScrewStress

    @property
    def strong_enough(self) -> bool:
        """Whether root and thread keep the material's factor of safety."""
        found = self.stress
        return min(found.root_safety, found.thread_safety) >= self.material.safety


class JammedError(ValueError):
    """The screw cannot be turned against a load: its friction is `limit` or more."""

    def __init__(self, friction: float, limit: float) -> None:
        super().__init__(f"with friction {friction:g} this screw jams: no hand presses with it")
        self.limit = limit


def pressing(sizes: Sizes, hand: Hand, material: ScrewMaterial) -> Pressing | None:
    """None where the thread's diameters are unknown or it has no nut. Raises `JammedError`."""
    screw_sizes = sizes.found
    mean, minor = screw_sizes.pitch_diameter_mm, screw_sizes.minor_mm
    major, bore = screw_sizes.major_mm, screw_sizes.nut_bore_mm
    if mean is None or minor is None or major is None or bore is None or minor <= 0:
        return None
    flanks = sizes.flanks or SQUARE
    friction = material.friction if hand.friction is None else hand.friction
    screw = PowerScrew(mean, sizes.lead_mm, 2 * flanks.load, friction)
    if friction >= screw.jamming_friction:
        raise JammedError(friction, screw.jamming_friction)
    torque = hand.force * hand.radius / 1000.0
    force = screw.force_from(torque)
    engaged = major if hand.nut is None else hand.nut
    thread = EngagedThread(major, mean, bore, sizes.pitch_mm, flanks.as_alike, engaged)
    found = stress(force, torque, minor, thread, material)
    return Pressing(hand, screw, torque, force, engaged, material, found)
