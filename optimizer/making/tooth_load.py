"""What the teeth of the new gear carry on this lathe, and what they bear in each material."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.material import ToothStrength
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.strength.lewis import tooth_limit
from gearchest.optimizer.strength.loads import working_loads


@dataclass(frozen=True)
class LoadCase:
    """Tangential load in N on the gear's teeth in one use of it; `idler`: bent both ways."""

    use: str
    newtons: float
    idler: bool = False


@dataclass(frozen=True)
class LoadShare:
    """One use in one material: share of what the tooth bears; None: unchecked, and why."""

    case: LoadCase
    material: str
    share: float | None
    unchecked: str = ""


def load_cases(
    lathe: Lathe, gear: Gear, uses: Sequence[tuple[str, Train]] = ()
) -> tuple[LoadCase, ...]:
    """The loads at the policy's torques: for each named train from the end that drives it, or,
    where no train is given, for the seats next to the screw at the screw's.

    F = 2000 T/(m z) with T in N m and m in mm; a gearbox multiplies T by its ratio first
    and its largest counts.
    """
    if uses:
        return tuple(case for name, train in uses for case in _in_train(lathe, gear, name, train))
    box = max((ratio for _, ratio in lathe.gearbox), default=1)
    torque = lathe.policy.screw_torque * float(box)
    cases = [LoadCase("on the screw", 2000 * torque / float(gear.module * gear.teeth))]
    mates = [g for g, _ in lathe.chest.loose if g.mesh_class == gear.mesh_class]
    if mates:
        least = min(mates, key=lambda mate: mate.teeth)
        load = 2000 * torque / float(least.module * least.teeth)
        cases.append(LoadCase(f"driving {least.teeth} teeth on the screw", load))
    return tuple(cases)


def _in_train(lathe: Lathe, gear: Gear, name: str, train: Train) -> list[LoadCase]:
    loads = zip(train.stages, train.idlers, working_loads(lathe, train), strict=True)
    return [LoadCase(name, load, gear in idlers) for stage, idlers, load in loads if gear in stage]


def last_carries_most(lathe: Lathe, trains: Sequence[Train]) -> bool:
    """Whether in each of these trains, one at least, no mesh carries more than the last."""
    loads = [working_loads(lathe, train) for train in trains]
    return bool(loads) and all(of[-1] >= max(of) * (1 - 1e-9) for of in loads)


def load_shares(
    blank: Blank, cases: Sequence[LoadCase], materials: Sequence[str], strength: ToothStrength
) -> tuple[LoadShare, ...]:
    """Each case in each material, by the Lewis formula, the rim as it is left over the bore where
    there is one; static bending only."""
    rim = blank.rim_share if blank.bore else None
    shares: list[LoadShare] = []
    for case in cases:
        for material in materials:
            gear = replace(blank.gear, material=material)
            width = blank.gear.face_width
            limit = tooth_limit(gear, width, strength, idler=case.idler, rim=rim)
            share = case.newtons / limit.newtons if limit.newtons else None
            shares.append(LoadShare(case, material, share, limit.unchecked))
    return tuple(shares)
