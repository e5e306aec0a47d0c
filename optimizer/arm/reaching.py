"""What the arm could carry at all: whether the gears owned reach its slots within its swing.

Only distances count here, no clearances: what fails fails for every train, so a slot or a
swing that comes out empty has been measured wrongly, or the chest is too small for the arm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, product

from gearchest.optimizer.arm.closing import Posture, postures
from gearchest.optimizer.arm.geometry import within_slot, within_swing
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo
from gearchest.optimizer.domain.layout import most_studs

MOST_CHAINS = 12**3
"""Chains of gear pairs tried over two studs or more; over one stud all are."""


@dataclass(frozen=True)
class ArmReach:
    """`slots`: slots in which some stud could stand. `swings`: whether studs stand in their
    slots at an angle within the swing. `angles`: where they do not, the least and the greatest
    arm angle (degrees) at which they stand in them, None where none do. `complete`: every span
    was tried."""

    slots: frozenset[int]
    angles: tuple[float, float] | None
    swings: bool
    complete: bool


def arm_reach(banjo: Banjo, chest: Chest) -> ArmReach:
    """Try the chest's gears on the arm, over as many studs as there are, until nothing is left
    that more of them could show."""
    every = spans(chest)
    counts = range(1, min(banjo.studs, most_studs()) + 1)
    tried = {n: every if n == 1 else _thinned(every, _most_spans(n)) for n in counts}
    slots: set[int] = set()
    angles: list[float] = []
    swings = False
    for posture in _standing(banjo, tried):
        slots.update(posture.slots)
        angles.append(posture.arm_angle or 0.0)
        swings = swings or within_swing(banjo, angles[-1])
        if swings and len(slots) == len(banjo.slots):
            break
    extent = (min(angles), max(angles)) if angles and not swings else None
    complete = all(len(some) == len(every) for some in tried.values())
    return ArmReach(frozenset(slots), extent, swings, complete)


def _standing(banjo: Banjo, tried: dict[int, list[float]]) -> Iterator[Posture]:
    """The postures with every stud in its slot, of chains over so many studs (the keys)."""
    for studs, some in tried.items():
        for chain in product(some, repeat=studs + 1):
            for posture in postures(banjo, chain):
                if posture.arm_angle is not None and all(
                    within_slot(banjo.slots[i], t)
                    for i, t in zip(posture.slots, posture.positions, strict=True)
                ):
                    yield posture


def spans(chest: Chest) -> list[float]:
    """The distances (mm, ascending) at which two gears of the chest can mesh."""
    gears = [gear for gear, count in chest.loose for _ in range(min(count, 2))]
    gears += [gear for pair in chest.pinned for gear in (pair.one, pair.other)]
    return sorted({_distance(a, b) for a, b in combinations(gears, 2) if _mesh(a, b)})


def _mesh(one: Gear, other: Gear) -> bool:
    return one.mesh_class == other.mesh_class


def _distance(one: Gear, other: Gear) -> float:
    return one.pitch_radius + other.pitch_radius


def _most_spans(studs: int) -> int:
    """Spans tried for each mesh of a chain over so many studs."""
    return int(MOST_CHAINS ** (1 / (studs + 1)) + 1e-9)


def _thinned(every: list[float], most: int) -> list[float]:
    if len(every) <= most:
        return every
    last = len(every) - 1
    return [every[round(i * last / (most - 1))] for i in range(most)]
