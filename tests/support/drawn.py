"""Small lathes and threads drawn by hypothesis.

Lengths and angles are quarters of a unit and a little more, so that sums of whole and half
millimetres, which gears make, don't fall on a limit: on a limit two ways of computing may
differ in the last bit. Exact limits have tests of their own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import islice

import oracle
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair, Place
from gearchest.optimizer.domain.lathe import Banjo, Drive, GearMaking, Lathe, Policy, Slot
from gearchest.optimizer.domain.material import NOTHING_KNOWN, GearMaterial, ToothStrength
from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want

ODD = 0.0137

TEETH = st.integers(16, 70)
MAKING = GearMaking(Fraction(1))


def lengths(low: int, high: int) -> st.SearchStrategy[float]:
    """mm or degrees, never on a limit that whole gears make."""
    return st.integers(4 * low, 4 * high).map(lambda n: n / 4 + ODD)


@st.composite
def slots(draw: st.DrawFn) -> Slot:
    start = draw(lengths(-30, 40))
    offset = draw(st.one_of(st.just(0.0), lengths(-15, 15)))
    return Slot(start, start + draw(lengths(20, 90)), float(draw(st.integers(-60, 90))), offset)


@st.composite
def swings(draw: st.DrawFn) -> tuple[float, float]:
    first = draw(lengths(-180, 180))
    turns = 360.0 * draw(st.integers(-1, 1))
    return first + turns, first + turns + draw(lengths(60, 300))


@st.composite
def banjos(draw: st.DrawFn, studs: int) -> Banjo:
    """An arm with enough room that a good part of the trains fit."""
    return Banjo(
        axis_distance=draw(lengths(35, 110)),
        slots=tuple(draw(st.lists(slots(), min_size=1, max_size=2))),
        studs=studs,
        swing=draw(st.one_of(st.just((-180.0, 180.0)), swings())),
        gap=draw(lengths(0, 1)),
        driver_hub=draw(lengths(0, 25)),
        stud_hub=draw(lengths(0, 20)),
        screw_hub=draw(lengths(0, 25)),
        largest_tip_diameter=draw(st.one_of(st.none(), lengths(45, 75))),
    )


def loose(*gears: Gear | int) -> tuple[tuple[Gear, int], ...]:
    """A chest's loose gears, counted, in order; whole numbers are ordinary gears."""
    every = [MAKING.gear(g) if isinstance(g, int) else g for g in gears]
    return tuple(sorted({(g, every.count(g)) for g in every}, key=lambda pair: pair[0].order))


@st.composite
def specials(draw: st.DrawFn) -> Gear:
    """A gear that differs from the rest: in module, pressure angle, face width, material or
    where it can go."""
    everywhere = frozenset(Place)
    return Gear(
        draw(TEETH),
        draw(st.sampled_from([Fraction(1), Fraction(1), Fraction(4, 5), Fraction(5, 4)])),
        draw(st.sampled_from([Fraction(20), Fraction(20), Fraction(29, 2)])),
        draw(st.sampled_from([None, None, Fraction(4), Fraction(12)])),
        draw(st.sampled_from(["steel", "steel", "nylon", "unheard of"])),
        places=draw(
            st.one_of(st.just(everywhere), st.frozensets(st.sampled_from(Place), min_size=1))
        ),
    )


@st.composite
def pinned_pairs(draw: st.DrawFn) -> PinnedPair:
    one, other = (replace(MAKING.gear(draw(TEETH)), unit="pair") for _ in range(2))
    if draw(st.booleans()):
        other = replace(other, module=Fraction(4, 5))
    return PinnedPair(one, other, draw(st.integers(1, 2)))


@st.composite
def _arms_for(draw: st.DrawFn, gears: list[Gear], studs: int) -> Banjo:
    """An arm about as long as some of these gears reach, now and then a roomy one."""
    banjo = draw(banjos(studs))
    meshes = draw(st.integers(1, studs + 1))
    half = [draw(st.sampled_from(gears)).pitch_radius for _ in range(2 * meshes)]
    share = draw(st.sampled_from([0.5, 0.65, 0.8, 0.9, 1.0])) if meshes > 1 else 1.0
    banjo = replace(banjo, axis_distance=sum(half) * share + ODD)
    if draw(st.booleans()):
        wide = Slot(5 + ODD, 120 + ODD, draw(st.sampled_from([0.0, 30.0])))
        banjo = replace(banjo, slots=(wide, *banjo.slots[1:]), swing=(-180.0, 180.0))
    if draw(st.booleans()):
        banjo = replace(banjo, driver_hub=8 + ODD, stud_hub=8 + ODD, screw_hub=8 + ODD)
        banjo = replace(banjo, largest_tip_diameter=None)
    return banjo


STRENGTH = ToothStrength(
    {Fraction(20): lambda z: 0.154 * 3.1416 - 0.912 * 3.1416 / z if z > 11 else None,
     Fraction(29, 2): lambda z: 0.124 * 3.1416 - 0.684 * 3.1416 / z if z > 11 else None},
    {"steel": GearMaterial("steel", 100.0, ""), "nylon": GearMaterial("nylon", 14.0, "", True)},
)  # fmt: skip
"""Lewis's own straight lines; the stresses make up for torques drawn."""

POLICIES = st.builds(
    Policy,
    screw_torque=st.sampled_from([0.3, 1.5, 6.0, 20.0]),
    cutting_torque=st.sampled_from([0.5, 2.0, 9.0]),
    hand_crank_above=st.sampled_from([Fraction(1, 2), Fraction(3)]),
    drive=st.sampled_from([None, None, Drive.SPINDLE, Drive.SCREW]),
)


@st.composite
def lathes(
    draw: st.DrawFn,
    *,
    most_gears: int = 6,
    measured: st.SearchStrategy[bool] = st.just(True),  # noqa: B008
    special: bool = True,
) -> Lathe:
    """A lathe with everything that bears on trains drawn at random."""
    studs = draw(st.integers(1, 2))
    gears: list[Gear] = [
        MAKING.gear(z) for z in draw(st.lists(TEETH, min_size=most_gears - 2, max_size=most_gears))
    ]
    pinned: tuple[PinnedPair, ...] = ()
    if special and len(gears) > 3:
        some = draw(st.lists(specials(), max_size=3))
        gears[: len(some)] = some
        if len(gears) > 4 and draw(st.booleans()):
            pinned, gears = (draw(pinned_pairs()),), gears[:-2]
    banjo = draw(_arms_for(gears, studs)) if draw(measured) else None
    if banjo is None:
        # The shop rule counts teeth and says nothing about mixed modules.
        gears = [replace(gear, module=MAKING.module) for gear in gears]
        pinned = tuple(
            replace(pair, other=replace(pair.other, module=MAKING.module)) for pair in pinned
        )
    levers = st.lists(
        st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(2), Fraction(4, 3)]),
        min_size=1,
        max_size=2,
        unique=True,
    )
    boxes = st.sampled_from(
        [(), (), (("A", Fraction(1)), ("B", Fraction(1, 2))), (("A", Fraction(3, 2)),)]
    )
    fixed = st.one_of(st.none(), st.none(), st.none(), st.sampled_from(gears))
    lathe = Lathe(
        name="drawn",
        leadscrew=draw(
            st.sampled_from([mm("1.5"), mm(3), tpi(8), tpi(16), Pitch(Fraction(1), pi=True)])
        ),
        making=MAKING,
        chest=Chest(loose(*gears), pinned),
        first_driver_turns=tuple(draw(levers)),
        fixed_first_driver=draw(fixed),
        right_hand_meshes=draw(st.sampled_from([None, None, 0, 1])),
        gearbox=draw(boxes),
        banjo=banjo,
        unmeasured_studs=studs,
        policy=draw(POLICIES),
        strength=draw(st.sampled_from([STRENGTH, STRENGTH, NOTHING_KNOWN])),
    )
    if draw(st.booleans()):
        some = list(islice(oracle.trains(lathe), 200))
        lathe = replace(lathe, usual_train=draw(st.sampled_from(some)) if some else None)
    return lathe


ALLOWANCES = st.sampled_from(
    [Fraction(0), Fraction(1, 1000), Fraction(1, 100), Fraction(3, 100), Fraction(1, 5)]
)


@st.composite
def wants(
    draw: st.DrawFn,
    lathe: Lathe,
    allowances: st.SearchStrategy[Fraction] = ALLOWANCES,
    extra: Sequence[tuple[Gear, int | None]] = (),
) -> Want:
    """A thread near what some train cuts that the lathe's gears make, of any layout."""
    left = draw(st.booleans())
    by_layout: dict[object, list[Train]] = {}
    for train in oracle.trains(lathe, extra, 2 if extra else 0, left=left):
        by_layout.setdefault(train.layout.idlers, []).append(train)
    turns = Fraction(1)
    if by_layout:
        longest = sorted(by_layout, key=str)
        turns = oracle.ratio(draw(st.sampled_from(by_layout[draw(st.sampled_from(longest))])))
    turns *= draw(st.sampled_from([Fraction(1)] * 3 + [Fraction(1001, 1000), Fraction(98, 100)]))
    pi = draw(st.sampled_from([lathe.leadscrew.pi] * 3 + [not lathe.leadscrew.pi]))
    if pi != lathe.leadscrew.pi:
        turns *= Fraction(7, 22) if pi else Fraction(22, 7)
    starts = draw(st.sampled_from([1, 1, 1, 3]))
    pitch = Pitch(turns * lathe.leadscrew.rational / starts, pi=pi, starts=starts)
    return Want("drawn", pitch, Allowance(draw(allowances)), left=left)
