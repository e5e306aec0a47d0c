"""What the arm could carry at all: whether the gears owned reach its slots within its swing.

Only distances count here, no clearances: what fails fails for every train, so a slot or a
swing that comes out empty has been measured wrongly, or the chest is too small for the arm.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product

from gearchest.optimizer.arm.closing import postures
from gearchest.optimizer.arm.geometry import within_slot, within_swing
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo

MOST_SPANS = 12
"""Spans tried per mesh over two studs or more; over one stud all are."""


@dataclass(frozen=True)
class ArmReach:
    """`slots`: slots in which some stud could stand. `angles`: the least and the greatest arm
    angle (degrees) at which studs stand in their slots, None where none do. `swings`:
    whether one of those angles lies within the swing. `complete`: every span was tried."""

    slots: frozenset[int]
    angles: tuple[float, float] | None
    swings: bool
    complete: bool


def arm_reach(banjo: Banjo, chest: Chest) -> ArmReach:
    """Try the chest's gears on the arm, over as many studs as there are."""
    every = spans(chest)
    slots: set[int] = set()
    angles: list[float] = []
    swings = False
    for studs in range(1, min(banjo.studs, 2) + 1):
        tried = every if studs == 1 else _thinned(every)
        for chain in product(tried, repeat=studs + 1):
            for posture in postures(banjo, chain):
                if posture.arm_angle is None or not all(
                    within_slot(banjo.slots[i], t)
                    for i, t in zip(posture.slots, posture.positions, strict=True)
                ):
                    continue
                slots.update(posture.slots)
                angles.append(posture.arm_angle)
                swings = swings or within_swing(banjo, posture.arm_angle)
    extent = (min(angles), max(angles)) if angles else None
    complete = banjo.studs == 1 or len(every) <= MOST_SPANS
    return ArmReach(frozenset(slots), extent, swings, complete)


def spans(chest: Chest) -> list[float]:
    """The distances (mm, ascending) at which two gears of the chest can mesh."""
    gears = [gear for gear, count in chest.loose for _ in range(min(count, 2))]
    gears += [gear for pair in chest.pinned for gear in (pair.one, pair.other)]
    return sorted({_distance(a, b) for a, b in combinations(gears, 2) if _mesh(a, b)})


def _mesh(one: Gear, other: Gear) -> bool:
    return one.mesh_class == other.mesh_class


def _distance(one: Gear, other: Gear) -> float:
    return one.pitch_radius + other.pitch_radius


def _thinned(every: list[float]) -> list[float]:
    if len(every) <= MOST_SPANS:
        return every
    last = len(every) - 1
    return [every[round(i * last / (MOST_SPANS - 1))] for i in range(MOST_SPANS)]
