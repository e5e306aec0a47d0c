"""Layouts that take three studs, added to the table as the guide says: one line each."""

from __future__ import annotations

import cmath
import math
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import oracle
import pytest
from drawn import ODD
from hypothesis import strategies as st
from mounting import drawn_trains, lathe_with

from gearchest.optimizer.domain.lathe import Banjo, Lathe, Slot
from gearchest.optimizer.domain.layout import LAYOUTS, Layout
from gearchest.optimizer.domain.train import Train

TRIPLE = Layout("triple compound", (0, 0, 0, 0))
IDLERS = Layout("simple, three idlers", (3,))
BOTH = Layout("compound, idlers in both stages", (1, 1))
ADDED = (TRIPLE, IDLERS, BOTH)


@contextmanager
def longer_trains() -> Iterator[None]:
    """With the three lines added, wherever the table has been imported already."""
    longer = (*LAYOUTS, *ADDED)
    with pytest.MonkeyPatch.context() as patch:
        for module in [m for m in sys.modules.values() if m and vars(m).get("LAYOUTS") is LAYOUTS]:
            patch.setattr(module, "LAYOUTS", longer)
        patch.setattr(oracle, "IDLERS", (*oracle.IDLERS, *(x.idlers for x in ADDED)))
        yield


@st.composite
def arms_laid_out(draw: st.DrawFn) -> tuple[Lathe, Train]:
    """A train over three studs and an arm with a slot wherever one of its studs happens to
    stand in a bent line of shafts; whether gears strike is left to chance."""
    train = draw(drawn_trains(3, least=3))
    bends = st.integers(-110, 110).map(lambda n: math.radians(n) + 1e-3)
    at, direction = 0j, cmath.rect(1.0, math.radians(draw(st.integers(-60, 60))))
    slots = []
    for span in reversed(oracle.spans(train)):
        if slots:
            direction *= cmath.rect(1.0, draw(bends))
        at += span * direction
        angle = draw(st.integers(-60, 90)) + ODD
        along = at * cmath.rect(1.0, -math.radians(angle))
        room = draw(st.integers(1, 12)) + ODD
        slots.append(Slot(along.real - room, along.real + room, angle, along.imag))
    slots.pop()  # the first driver's shaft needs none
    banjo = Banjo(
        abs(at), tuple(slots), studs=3, gap=0.25, stud_hub=draw(st.sampled_from([0.0, 9.0, 16.0]))
    )
    return lathe_with(banjo), train
