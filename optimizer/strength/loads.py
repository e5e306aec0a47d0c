"""Torques and tooth loads, whether the spindle drives the screw or the screw the spindle.

Mesh loads leave friction out, like `Train.stage_loads`; torques at spindle and crank carry
it, EFFICIENCY a mesh. Torques in N m, forces in N.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.tooth import face_taken
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.strength.lewis import ToothLimit, tooth_limit
from gearchest.optimizer.strength.rim import rim_share

EFFICIENCY = 0.97
"""Of one mesh (common practice, no source)."""


@dataclass(frozen=True)
class Mesh:
    """Two gears in mesh, numbered from the first driver: load and what the weaker bears.

    `limit` is the weaker gear's; where one of the two can't be checked, that one's.
    """

    driver: Gear
    driven: Gear
    load: float
    limit: ToothLimit

    @property
    def share(self) -> float | None:
        """Share used of what the teeth bear; above 1 the tooth is overloaded; None: unchecked."""
        return None if self.limit.newtons is None else self.load / self.limit.newtons


def mesh_efficiency(train: Train) -> float:
    """Of all change-gear meshes together. Gearbox and screw are left out."""
    return float(EFFICIENCY**train.layout.meshes)


def spindle_torque(train: Train, screw_torque: float) -> float:
    """Torque at the spindle that keeps `screw_torque` at the screw: T x screw turns / eff."""
    return screw_torque * float(train.ratio) / mesh_efficiency(train)


def crank_torque(train: Train, screw_torque: float, cutting_torque: float) -> float:
    """Torque at the screw's end when the screw drives: it moves the carriage, and turns the
    spindle against `cutting_torque` through the train backwards."""
    return screw_torque + cutting_torque / (float(train.ratio) * mesh_efficiency(train))


def stage_loads_from_spindle(train: Train, screw_torque: float) -> tuple[float, ...]:
    """Tangential load of each stage with the spindle driving."""
    return tuple(float(load) * screw_torque for load in train.stage_loads)


def stage_loads_from_screw(train: Train, cutting_torque: float) -> tuple[float, ...]:
    """Tangential load of each stage with the screw driving: what turns the spindle.

    The first driver turns `first_driver_turns` a spindle turn, so it takes the cutting
    torque divided by that; each driven gear passes on more or less by the tooth counts.
    """
    torque = cutting_torque / float(train.setting.first_driver_turns)
    loads: list[float] = []
    for driver, driven in zip(train.drivers, train.driven, strict=True):
        loads.append(2000.0 * torque / float(driver.module * driver.teeth))
        torque *= driven.teeth / driver.teeth
    return tuple(loads)


def meshes(lathe: Lathe, train: Train, stage_loads: tuple[float, ...]) -> tuple[Mesh, ...]:
    """Every mesh with its load and its limit. Idlers carry the stage's load on both sides."""
    result: list[Mesh] = []
    for gears, load in zip(train.stages, stage_loads, strict=True):
        last = len(gears) - 1
        for i in range(last):
            limits = [
                tooth_limit(
                    gear,
                    _narrower(gears[i], gears[i + 1]),
                    lathe.strength,
                    idler=0 < at < last,
                    rim=rim_share(lathe.making, gear),
                )
                for at, gear in ((i, gears[i]), (i + 1, gears[i + 1]))
            ]
            result.append(Mesh(gears[i], gears[i + 1], load, min(limits, key=_weakness)))
    return tuple(result)


def working_loads(lathe: Lathe, train: Train) -> tuple[float, ...]:
    """Tangential load of each stage at the policy's torque of the end that drives."""
    policy = lathe.policy
    if policy.driven_from(train.ratio) is Drive.SCREW:
        return stage_loads_from_screw(train, policy.cutting_torque)
    return stage_loads_from_spindle(train, policy.screw_torque)


def working_meshes(lathe: Lathe, train: Train) -> tuple[Mesh, ...]:
    """Every mesh as it works."""
    return meshes(lathe, train, working_loads(lathe, train))


def tooth_share(lathe: Lathe, train: Train) -> float | None:
    """The largest share of what it bears that some tooth carries, at the torque of the end
    that drives; None where one of them can't be checked."""
    hardest = weakest(working_meshes(lathe, train))
    return None if hardest is None else hardest.share


def weakest(chain: tuple[Mesh, ...]) -> Mesh | None:
    """The mesh that uses the largest share of what it bears; None if one is unchecked."""
    if any(mesh.share is None for mesh in chain):
        return None
    return max(chain, key=lambda mesh: mesh.share or 0.0)


def overloaded(chain: tuple[Mesh, ...]) -> bool:
    """Whether some mesh is known to carry more than its weaker gear bears."""
    return any(mesh.share is not None and mesh.share > 1.0 for mesh in chain)


def _narrower(one: Gear, other: Gear) -> Fraction | None:
    """The face in mesh; None where neither gear's is known. A missing one is taken for
    `face_taken`, which may be the narrower."""
    if one.face_width is None and other.face_width is None:
        return None
    return min(face_taken(gear.face_width, gear.module) for gear in (one, other))


def _weakness(limit: ToothLimit) -> float:
    return -1.0 if limit.newtons is None else limit.newtons
