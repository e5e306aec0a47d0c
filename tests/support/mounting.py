"""Trains and arms to mount them on, and a placement checked by plain geometry."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import oracle
import pytest
from drawn import MAKING, banjos, loose, specials
from hypothesis import strategies as st

from gearchest.optimizer.arm.result import Placement
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.train import Train


def layout_of(idlers: tuple[int, ...]) -> Layout:
    return next(layout for layout in LAYOUTS if layout.idlers == idlers)


def lathe_with(banjo: Banjo | None, *gears: Gear | int) -> Lathe:
    return Lathe("test", mm(2), MAKING, Chest(loose(*gears)), banjo=banjo)


def train_of(idlers: tuple[int, ...], *gears: Gear | int) -> Train:
    """A train from its gears in mesh order; whole numbers are module 1."""
    left = [MAKING.gear(g) if isinstance(g, int) else g for g in gears]
    stages = [[left.pop(0) for _ in range(n + 2)] for n in idlers]
    return Train(
        layout_of(idlers),
        tuple(s[0] for s in stages),
        tuple(s[-1] for s in stages),
        tuple(tuple(s[1:-1]) for s in stages),
    )


@st.composite
def drawn_trains(draw: st.DrawFn, most: int, least: int = 0) -> Train:
    """A train of any layout with so many studs; each stage in a module of its own."""
    layouts = [i for i in oracle.IDLERS if least <= sum(i) + len(i) - 1 <= most]
    idlers = draw(st.sampled_from(layouts))
    gears: list[Gear] = []
    for count in idlers:
        like = draw(st.one_of(st.just(MAKING.gear(20)), specials()))
        gears += [
            replace(like, teeth=draw(st.integers(16, 60)), places=MAKING.gear(20).places)
            for _ in range(count + 2)
        ]
    return train_of(idlers, *gears)


@st.composite
def drawn_arms(draw: st.DrawFn, most: int, least: int = 0) -> tuple[Lathe, Train]:
    """A train over so many studs, and an arm laid out near enough for it that about half of
    them fit."""
    train = draw(drawn_trains(most, least))
    spans = oracle.spans(train)
    banjo = draw(banjos(most))
    if len(spans) == 1:
        off = draw(st.sampled_from([-0.1037, -0.0963, 0.0137, 0.0963, 0.1037]))
        banjo = replace(banjo, axis_distance=spans[0] + off)
    else:
        share = draw(st.floats(0.5, 1.02))
        banjo = replace(banjo, axis_distance=sum(spans) * share)
    if draw(st.booleans()):
        banjo = replace(banjo, swing=(-180.0, 180.0), largest_tip_diameter=None)
        banjo = replace(banjo, driver_hub=5.0137, stud_hub=5.0137, screw_hub=5.0137)
    return lathe_with(banjo), train


def recheck(banjo: Banjo, train: Train, placement: Placement) -> None:
    """Everything a placement says, by plain geometry."""
    shafts = [
        (banjo.axis_distance, 0.0),
        *[(stud.x, stud.y) for stud in placement.studs],
        (0.0, 0.0),
    ]
    for (one, other), span in zip(itertools.pairwise(shafts), oracle.spans(train), strict=True):
        play = 1e-6 if placement.studs else 0.1 + 1e-9
        assert math.dist(one, other) == pytest.approx(span, abs=play)
    room = oracle.clearances(banjo, train, shafts)
    assert all(clearance >= banjo.gap - 1e-6 for clearance in room)
    assert sorted(c.mm for c in placement.clearances) == pytest.approx(sorted(room), abs=1e-6)
    assert [c.mm for c in placement.clearances] == sorted(
        (c.mm for c in placement.clearances), key=lambda length: round(length, 6)
    )
    if banjo.largest_tip_diameter is not None:
        for gear in train.gears:
            assert float(gear.module) * (gear.teeth + 2) <= banjo.largest_tip_diameter + 1e-9
    if not placement.studs:
        assert placement.arm_angle is None
        return
    angle = placement.arm_angle
    assert angle is not None
    assert -180.0 < angle <= 180.0
    first, last = banjo.swing
    assert last - first >= 360 or (angle - first + 1e-6) % 360 <= (last - first) % 360 + 2e-6
    for stud in placement.studs:
        slot = banjo.slots[stud.slot]
        assert slot.start - 1e-6 <= stud.position <= slot.end + 1e-6
        # t (cos b, sin b) + offset (-sin b, cos b), turned by the arm angle.
        b = math.radians(slot.angle)
        arm = complex(math.cos(b), math.sin(b)) * complex(stud.position, slot.offset)
        turned = arm * complex(math.cos(math.radians(angle)), math.sin(math.radians(angle)))
        assert (stud.x, stud.y) == pytest.approx((turned.real, turned.imag), abs=1e-6)
    by_shaft: dict[int, list[Gear]] = {}
    for seat, gear in train.seated:
        by_shaft.setdefault(seat.shaft, []).append(gear)
    assert [list(stud.gears) for stud in placement.studs] == [
        by_shaft[k + 1] for k in range(len(placement.studs))
    ]
