"""A second answer to what the search and the placement say, by other means.

Trains: every choice of gears for every seat, one after the other, in plain fractions. Fit: the
arm angle and the places of the studs are *looked for*, by scanning and root finding, never
worked out in closed form. Nothing of the program is used but its plain data.

Limits hit to within `MARGIN` are undecided here (None): a numerical search can't settle them.
Exact limits are tested on cases worked by hand.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

import numpy as np
from scipy.optimize import brentq, minimize_scalar

from gearchest.optimizer.domain.gear import Gear, Place
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.domain.want import Want

PI = Fraction("3.14159265358979323846264338327950288419716939937510")
MARGIN = 1e-6
DIRECT_PLAY = 0.1

IDLERS = ((0,), (1,), (0, 0), (2,), (1, 0), (0, 1), (0, 0, 0))
"""The layouts, told by the idlers of each stage: direct; one idler; compound; two idlers;
compound with an idler in either stage; double compound."""


# ------------------------------------------------------------------ kinematics


def ratio(train: Train) -> Fraction:
    """Leadscrew turns per spindle turn, followed from shaft to shaft."""
    speed = train.setting.first_driver_turns
    for driver, driven in zip(train.drivers, train.driven, strict=True):
        speed = speed * driver.teeth / driven.teeth
    return speed * train.setting.gearbox_ratio


def error(lathe: Lathe, train: Train, pitch: Pitch) -> Fraction:
    """(actual - wanted) / wanted of the lead; pi to fifty places where it does not cancel."""
    actual, wanted = lathe.leadscrew, pitch
    turns = ratio(train)
    got = turns * actual.rational * actual.starts * (PI if actual.pi else 1)
    asked = wanted.rational * wanted.starts * (PI if wanted.pi else 1)
    return got / asked - 1


def tooth_load(train: Train) -> Fraction:
    """N on the most loaded mesh for 1 N m at the leadscrew: without friction the power is
    the same on every shaft, so torque goes inversely as speed."""
    speed, speeds = Fraction(1), []
    for driver, driven in zip(train.drivers, train.driven, strict=True):
        speed = speed * driver.teeth / driven.teeth
        speeds.append(speed)
    screw = speed * train.setting.gearbox_ratio
    torques = [screw / speed for speed in speeds]
    return max(
        torque * 1000 / (gear.module * gear.teeth / 2)
        for torque, gear in zip(torques, train.driven, strict=True)
    )


def tooth_share(lathe: Lathe, train: Train) -> float | None:
    """The largest share of what a tooth bears, from shaft speeds: without friction every shaft
    passes the same power, that of the end that drives. Thin rims by AGMA 2001-D04, K_B (from
    memory), for teeth 2.25 modules deep, or 2.157 at 14 1/2 degrees, cut 0.02 modules thin."""
    speed, speeds = train.setting.first_driver_turns, []
    for driver, driven in zip(train.drivers, train.driven, strict=True):
        speeds.append(speed)
        speed = speed * driver.teeth / driven.teeth
    turns, policy = speed * train.setting.gearbox_ratio, lathe.policy
    crank = policy.drive == "screw" or (policy.drive is None and turns > policy.hand_crank_above)
    power = Fraction(policy.cutting_torque if crank else policy.screw_torque)
    power *= 1 if crank else turns
    worst = 0.0
    for stage, turning in zip(train.stages, speeds, strict=True):
        load = float(power / turning) * 2000 / float(stage[0].module * stage[0].teeth)
        for k, pair in enumerate(pairwise(stage)):
            face = min(8 * g.module if g.face_width is None else g.face_width for g in pair)
            for gear, idler in zip(pair, (k > 0, k + 2 < len(stage)), strict=True):
                material = lathe.strength.materials.get(gear.material)
                line = lathe.strength.factors.get(gear.pressure_angle)
                if material is None or line is None:
                    return None
                bears = material.stress * float(face * gear.module) * line(gear.teeth)
                bears /= _rim_factor(lathe, gear)
                worst = max(worst, load / bears / (0.7 if idler else 1.0))
    return worst


def _rim_factor(lathe: Lathe, gear: Gear) -> float:
    if not lathe.making.bore:
        return 1.0
    angle = math.radians(float(gear.pressure_angle))
    whole = float(gear.module) * (2.157 if gear.pressure_angle < 17 else 2.25)
    root = float(gear.module) * (gear.teeth + 2) / 2 - whole
    root -= 0.02 * float(gear.module) / (2 * math.tan(angle))
    reach = lathe.making.bore / 2
    if lathe.making.keyway:
        width, depth = map(float, lathe.making.keyway.split("x"))
        reach = math.hypot(reach + depth, width / 2)
    share = (root - reach) / whole
    return 1.0 if share >= 1.2 else 1.6 * math.log(2.242 / share)


def demerits(tooth: float | Fraction | None, error: Fraction | float) -> int:
    """By the rule's own words: hard^2 + off^2, and 1000 more above 1."""
    hard = 0 if tooth is None else max(0, math.ceil(20 * tooth) - 10)
    off = math.ceil(10 * error)
    return hard**2 + off**2 + (1000 if tooth is not None and tooth > 1 else 0)


def choice(lathe: Lathe, want: Want, train: Train) -> tuple[object, ...]:
    """Which train to set up, least first: demerits, gears changed of the usual train, gears,
    a gearbox turned faster than the spindle, |error|, tooth share, teeth. Where a share comes
    near a limit, the last digit of a float would decide: then ValueError."""
    share, off = tooth_share(lathe, train), abs(error(lathe, train, want.pitch))
    of_allowance = off / want.allowance.relative if off else Fraction(0)
    if share is not None and abs(20 * share - round(20 * share)) < 1e-6:
        raise ValueError("a tooth share on a limit")
    usual = _by_place(lathe.usual_train) if lathe.usual_train else None
    changed = 0 if usual is None else sum(usual.get(p) != g for p, g in _by_place(train).items())
    box = train.setting.gearbox is not None and ratio(train) / train.setting.gearbox_ratio > 1
    return (
        demerits(share, of_allowance), changed, len(train.gears), box, round(float(off), 14),
        float("inf") if share is None else round(share, 8),
        *(tuple(g.teeth for g in group) for group in (train.drivers, train.driven)),
        tuple(g.teeth for idlers in train.idlers for g in idlers),
    )  # fmt: skip


def _by_place(train: Train) -> dict[tuple[str, int], Gear]:
    """Gears by the shaft's name and the plane, stage by stage."""
    places, shaft, studs = {}, 0, len(train.gears) - len(train.drivers) - 1
    for plane, stage in enumerate(train.stages):
        for k, gear in enumerate(stage):
            name = "screw" if shaft + k == studs + 1 else f"shaft {shaft + k}"
            places[name, plane] = gear
        shaft += len(stage) - 1
    return places


def meshes(train: Train) -> int:
    """How often the hand is turned over between the first driver and the screw."""
    return sum(1 + len(idlers) for idlers in train.idlers)


# ---------------------------------------------------------------------- trains


def owned_gears(lathe: Lathe) -> Counter[Gear]:
    """Every gear there is, the pinned ones and a fixed first driver included."""
    have = Counter(dict(lathe.chest.loose))
    for pair in lathe.chest.pinned:
        have.update([pair.one] * pair.count + [pair.other] * pair.count)
    if lathe.fixed_first_driver is not None:
        have[lathe.fixed_first_driver] = max(have[lathe.fixed_first_driver], 1)
    return have


def trains(
    lathe: Lathe,
    candidates: Sequence[tuple[Gear, int | None]] = (),
    most_missing: int = 0,
    *,
    left: bool = False,
) -> Iterator[Train]:
    """Every train of every layout that cuts the hand asked for and lacks at most
    `most_missing` gears, each such as could be added."""
    return iter(_trains(lathe, tuple(candidates), most_missing, left, IDLERS))


@lru_cache(maxsize=8)
def _trains(
    lathe: Lathe,
    candidates: tuple[tuple[Gear, int | None], ...],
    most_missing: int,
    left: bool,
    layouts: tuple[tuple[int, ...], ...],
) -> tuple[Train, ...]:
    """All at once: a test draws its wants from the trains it will look through."""
    found = []
    have = owned_gears(lathe)
    could: Counter[Gear] = Counter()
    for gear, copies in candidates:
        could[gear] += 9 if copies is None else copies
    for idlers in layouts:
        turns_over = len(idlers) + sum(idlers)
        right = lathe.right_hand_meshes
        if right is not None and (turns_over % 2 == right) == left:
            continue
        if sum(idlers) + len(idlers) - 1 > lathe.studs or (lathe.banjo is None and any(idlers)):
            continue
        for gears in _seatings(lathe, idlers, have, could, most_missing):
            for turns in lathe.first_driver_turns:
                for box, factor in lathe.gearbox or ((None, Fraction(1)),):
                    found.append(_train(idlers, gears, Setting(turns, box, factor)))
    return tuple(found)


def _train(idlers: tuple[int, ...], gears: tuple[Gear, ...], setting: Setting) -> Train:
    left = list(gears)
    stages = [[left.pop(0) for _ in range(count + 2)] for count in idlers]
    return Train(
        next(layout for layout in LAYOUTS if layout.idlers == idlers),
        tuple(stage[0] for stage in stages),
        tuple(stage[-1] for stage in stages),
        tuple(tuple(stage[1:-1]) for stage in stages),
        setting,
    )


def _seatings(
    lathe: Lathe,
    idlers: tuple[int, ...],
    have: Counter[Gear],
    could: Counter[Gear],
    most_missing: int,
) -> Iterator[tuple[Gear, ...]]:
    """Gears seat by seat, from the first driver to the screw."""
    parts = [part for count in idlers for part in (Place.STUD, *[Place.IDLER] * count, Place.STUD)]
    parts[0], parts[-1] = Place.DRIVER, Place.SCREW
    starts = {sum(c + 2 for c in idlers[:k]) for k in range(len(idlers))}
    kinds = sorted({*have, *could}, key=lambda gear: gear.order)
    places = range(len(kinds))
    owned = [have[gear] for gear in kinds]
    most = [have[gear] + could[gear] for gear in kinds]
    sits = [
        [k for k in places if _may_sit(lathe, kinds[k], part, first=seat == 0)]
        for seat, part in enumerate(parts)
    ]
    meshes_with = [[a.mesh_class == b.mesh_class for b in kinds] for a in kinds]
    shares = [[_share_a_stud(lathe, a, b) for b in kinds] for a in kinds]
    used = [0] * len(kinds)

    def fill(chosen: tuple[int, ...], lacking: int) -> Iterator[tuple[Gear, ...]]:
        seat = len(chosen)
        if seat == len(parts):
            yield tuple(kinds[k] for k in chosen)
            return
        for k in sits[seat]:
            if used[k] >= most[k]:
                continue
            if seat and not (shares if seat in starts else meshes_with)[chosen[-1]][k]:
                continue
            now = lacking + (used[k] >= owned[k])
            if now <= most_missing:
                used[k] += 1
                yield from fill((*chosen, k), now)
                used[k] -= 1

    return fill((), 0)


def _may_sit(lathe: Lathe, gear: Gear, part: Place, *, first: bool) -> bool:
    if first and lathe.fixed_first_driver is not None:
        return gear == lathe.fixed_first_driver
    if gear.unit:
        return part is Place.STUD and part in gear.places
    return part in gear.places


def _share_a_stud(lathe: Lathe, one: Gear, other: Gear) -> bool:
    if not one.unit and not other.unit:
        return True
    return any((one, other) in ((p.one, p.other), (p.other, p.one)) for p in lathe.chest.pinned)


def missing(lathe: Lathe, train: Train) -> tuple[Gear, ...]:
    """What the train needs beyond what is owned, ascending."""
    lacking = Counter(train.gears) - owned_gears(lathe)
    return tuple(sorted(lacking.elements(), key=lambda gear: gear.order))


# ------------------------------------------------------------------- placement


@dataclass(frozen=True)
class Stance:
    """One numerically found way a chain closes. `margin`: how far inside (negative:
    outside) the nearest limit of slots and swing it lies, mm or degrees."""

    shafts: tuple[tuple[float, float], ...]
    margin: float


@dataclass(frozen=True)
class Placed:
    """`fits` None: too close to a limit to call. `tightest`: the widest tightest clearance
    (mm) of the stances that fit; inf where nothing comes near anything."""

    fits: bool | None
    tightest: float


def place(lathe: Lathe, train: Train) -> Placed:
    """Whether a train mounts on the lathe's arm, by looking for it."""
    if lathe.banjo is None:
        return Placed(_shop_rule(train), float("inf"))
    stances, doubtful = stances_of(lathe.banjo, spans(train))
    best, widest = -float("inf"), -float("inf")
    for stance in stances:
        room = clearances(lathe.banjo, train, stance.shafts)
        margin = min(
            [stance.margin, _cover_margin(lathe.banjo, train), *(r - lathe.banjo.gap for r in room)]
        )
        best = max(best, margin)
        if margin > 0:
            widest = max(widest, min(room, default=float("inf")))
    if best > MARGIN:
        return Placed(True, widest)
    return Placed(None if doubtful or best >= -MARGIN else False, widest)


def spans(train: Train) -> tuple[float, ...]:
    """Distances between successive shafts: half the sum of the pitch diameters in mesh."""
    return tuple(
        float(a.module * a.teeth + b.module * b.teeth) / 2
        for d, i, e in zip(train.drivers, train.idlers, train.driven, strict=True)
        for a, b in zip((d, *i), (*i, e), strict=True)
    )


def clearances(
    banjo: Banjo, train: Train, shafts: Sequence[tuple[float, float]]
) -> tuple[float, ...]:
    """Room between every two parts that must not touch, mm, worked out from the rule: in a
    plane, gears that do not mesh keep their tips apart; a gear passes the hub of every shaft
    that carries nothing in its plane and something in a plane next to it."""
    planes: list[dict[int, Gear]] = []
    shaft = 0
    for d, i, e in zip(train.drivers, train.idlers, train.driven, strict=True):
        planes.append({shaft + k: gear for k, gear in enumerate((d, *i, e))})
        shaft += len(i) + 1
    hubs = [banjo.driver_hub, *[banjo.stud_hub] * (len(shafts) - 2), banjo.screw_hub]
    room = []
    for k, plane in enumerate(planes):
        beside = {s for j in (k - 1, k + 1) if 0 <= j < len(planes) for s in planes[j]}
        for s, gear in plane.items():
            tip = float(gear.module) * (gear.teeth / 2 + 1)
            for other, neighbour in plane.items():
                if other > s + 1:
                    reach = float(neighbour.module) * (neighbour.teeth / 2 + 1)
                    room.append(_distance(shafts[s], shafts[other]) - tip - reach)
            room += [
                _distance(shafts[s], shafts[other]) - tip - hubs[other] / 2
                for other in beside - set(plane)
            ]
    return tuple(room)


def _distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    return float(np.hypot(a[0] - b[0], a[1] - b[1]))


def _cover_margin(banjo: Banjo, train: Train) -> float:
    if banjo.largest_tip_diameter is None:
        return float("inf")
    return banjo.largest_tip_diameter - max(
        float(gear.module) * (gear.teeth + 2) for gear in train.gears
    )


def _shop_rule(train: Train) -> bool:
    """A + B >= C + 15 and C + D >= B + 15 along the train (common practice, no source);
    for gears of one module."""
    a, b = train.drivers, train.driven
    return all(
        a[k].teeth + b[k].teeth >= a[k + 1].teeth + 15
        and a[k + 1].teeth + b[k + 1].teeth >= b[k].teeth + 15
        for k in range(len(a) - 1)
    )


@lru_cache(maxsize=4096)
def stances_of(banjo: Banjo, lengths: tuple[float, ...]) -> tuple[tuple[Stance, ...], bool]:
    """Every way the chain closes, also some way past the limits; and whether some root was
    too near a tangency to tell whether it is there."""
    screw, driver = (0.0, 0.0), (banjo.axis_distance, 0.0)
    if len(lengths) == 1:
        margin = DIRECT_PLAY - abs(lengths[0] - banjo.axis_distance)
        return (Stance((driver, screw), margin),), False
    chains, doubt = _chains(banjo, lengths[1:], screw)
    found = []
    for margin, studs in chains:
        angles, doubtful = _arm_angles(studs[0], banjo.axis_distance, lengths[0])
        doubt |= doubtful
        for angle in angles:
            turned = tuple(_turn(stud, angle) for stud in studs)
            least = min(margin, _swing_margin(banjo, angle))
            found.append(Stance((driver, *turned, screw), least))
    return tuple(found), doubt


Chain = tuple[float, tuple[tuple[float, float], ...]]
"""How far inside their slots the studs of a chain stand, and where, in the arm's own frame."""


def _chains(
    banjo: Banjo, lengths: tuple[float, ...], centre: tuple[float, float]
) -> tuple[list[Chain], bool]:
    """Studs so far apart, the last of them from the centre: each along its slot, in any slot,
    until it is far enough out."""
    if not lengths:
        return [(float("inf"), ())], False
    found, doubt = [], False
    for slot in banjo.slots:
        places, doubtful = _along(slot, centre, lengths[-1])
        doubt |= doubtful
        for t in places:
            point = _in_arm(slot, t)
            others, doubtful = _chains(banjo, lengths[:-1], point)
            doubt |= doubtful
            found += [
                (min(t - slot.start, slot.end - t, margin), (*studs, point))
                for margin, studs in others
            ]
    return found, doubt


def _in_arm(slot: Slot, t: float) -> tuple[float, float]:
    b = np.radians(slot.angle)
    x = t * np.cos(b) - slot.offset * np.sin(b)
    y = t * np.sin(b) + slot.offset * np.cos(b)
    return float(x), float(y)


def _turn(point: tuple[float, float], degrees: float) -> tuple[float, float]:
    turned = complex(*point) * np.exp(1j * np.radians(degrees))
    return float(turned.real), float(turned.imag)


def _along(slot: Slot, centre: tuple[float, float], distance: float) -> tuple[list[float], bool]:
    """Positions along a slot, a little past its ends too, at a distance from a point."""
    b = np.radians(slot.angle)
    x0, y0 = -slot.offset * np.sin(b) - centre[0], slot.offset * np.cos(b) - centre[1]

    def gap(t: np.ndarray) -> np.ndarray:
        return np.hypot(x0 + t * np.cos(b), y0 + t * np.sin(b)) - distance

    return _crossings(gap, slot.start - 1.0, slot.end + 1.0, 60)


def _arm_angles(
    stud: tuple[float, float], axis: float, distance: float
) -> tuple[list[float], bool]:
    """Arm angles over the whole circle, degrees, that bring a stud to its distance from the
    first driver's shaft."""

    def gap(angle: np.ndarray) -> np.ndarray:
        return np.abs(complex(*stud) * np.exp(1j * np.radians(angle)) - axis) - distance

    # The circle is cut open where nothing in particular happens.
    return _crossings(gap, -180.0 + 1.2345, 180.0 + 1.2345, 120)


def _swing_margin(banjo: Banjo, angle: float) -> float:
    """Degrees inside (negative: outside) the swing."""
    first, last = banjo.swing
    if last - first >= 360.0:
        return float("inf")
    width, turned = (last - first) % 360.0, (angle - first) % 360.0
    return min(turned, width - turned) if turned <= width else -min(turned - width, 360 - turned)


def _crossings(
    f: Callable[[np.ndarray], np.ndarray], low: float, high: float, steps: int
) -> tuple[list[float], bool]:
    """Roots of a smooth function by scanning and root finding, and whether it comes so near
    to touching zero without crossing (or crosses so flatly) that a root may be missed."""
    grid = np.linspace(low, high, steps + 1)
    values = f(grid)
    sign = np.sign(values[1:-1])
    toward_zero = (sign * values[:-2] >= sign * values[1:-1]) & (
        sign * values[2:] >= sign * values[1:-1]
    )
    doubtful = False
    extra = []
    for k in np.flatnonzero(toward_zero) + 1:
        side = float(np.sign(values[k]))
        if not side:
            continue
        lowest = minimize_scalar(
            lambda x, side=side: side * float(f(np.asarray(x))),
            bounds=(float(grid[k - 1]), float(grid[k + 1])),
            method="bounded",
            options={"xatol": 1e-10},
        )
        doubtful |= abs(lowest.fun) < MARGIN
        extra.append(float(lowest.x))
    if extra:
        grid = np.sort(np.append(grid, extra))
        values = f(grid)
    roots = [float(x) for x in grid[values == 0.0]]
    for k in np.flatnonzero(values[:-1] * values[1:] < 0):
        roots.append(
            brentq(lambda x: float(f(np.asarray(x))), grid[k], grid[k + 1], xtol=1e-13, rtol=1e-14)
        )
    return roots, doubtful
