"""Trains as turners and our own reports write them, read back: `40/80 × 63/50`.

A stage is written from its driver to its driven gear, its idlers in brackets between them:
`40/(48)/40`. Stages follow one another after ×, x or *.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from gearchest.optimizer.domain.gear import LEAST_TEETH, MOST_TEETH, Gear, Place
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS, Layout, Seat
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.domain.typography import plain

TRAIN_FORMS = '"40/80", "40/(48)/80" with an idler, or "40/80 x 63/50"'

_GEAR = r"[0-9]{1,9}"
_IDLERS = rf"(?:\({_GEAR}\)/)*"
_STAGE = rf"{_GEAR}/{_IDLERS}{_GEAR}"


def parse_train(text: str, lathe: Lathe, setting: Setting | None = None) -> Train:
    """Read a train of a lathe's gears, its levers set as `setting` says (None: the first
    driver's lever in its first position, no gearbox).

    Of several kinds of gear with one tooth count those are taken that are owned and may sit
    there, the lathe's ordinary ones first; what is not owned is an ordinary gear. Raises
    `NotationError` where this is no train that the lathe's shafts could carry; whether it
    fits is another question.
    """
    stages = _teeth(text)
    layout = _layout(text, stages)
    fixed = lathe.fixed_first_driver
    if fixed is not None and stages[0][0] != fixed.teeth:
        raise NotationError(
            "this lathe's first driver cannot be changed", value=text,
            allowed=f"a train that begins with {fixed}", fix=f"write {fixed} as the first gear",
        )  # fmt: skip
    teeth = [count for stage in stages for count in stage]
    gears = list(_hang(lathe, layout, teeth))
    drivers, driven, idlers = [], [], []
    for stage in stages:
        some, gears = gears[: len(stage)], gears[len(stage) :]
        drivers.append(some[0])
        idlers.append(tuple(some[1:-1]))
        driven.append(some[-1])
    setting = setting or Setting(lathe.first_driver_turns[0])
    return Train(layout, tuple(drivers), tuple(driven), tuple(idlers), setting)


def _teeth(text: str) -> list[list[int]]:
    """For each stage its tooth counts in mesh order."""
    stages = []
    for part in re.split(r" ?[x*\u00b7\u22c5] ?", plain(text)):
        part = re.sub(r" ?([/()]) ?", r"\1", part)
        if not re.fullmatch(_STAGE, part):
            problem = (
                "this cannot be read as a driver over a driven gear"
                if part
                else ("a pair of gears is missing")
            )
            raise NotationError(problem, value=text, allowed=TRAIN_FORMS, fix=_cure(part))
        stages.append([int(count) for count in re.findall(_GEAR, part)])
    for count in (count for stage in stages for count in stage):
        if not LEAST_TEETH <= count <= MOST_TEETH:
            raise NotationError(
                f"no change gear has {count} teeth", value=text,
                allowed=f"{LEAST_TEETH} to {MOST_TEETH} teeth", fix="count its teeth again",
            )  # fmt: skip
    return stages


def _cure(part: str) -> str:
    """What may be meant: gears in a row are a driver, idlers and a driven gear, or pairs."""
    pairs = part.split()
    if len(pairs) > 1 and all(re.fullmatch(rf"{_GEAR}/{_GEAR}", pair) for pair in pairs):
        return f'write x between the pairs: "{" x ".join(pairs)}"'
    row = part.split("/")
    if 2 < len(row) < 8 and all(re.fullmatch(_GEAR, gear) for gear in row):
        between = "/".join(f"({gear})" for gear in row[1:-1])
        fix = f'idlers stand in brackets: "{row[0]}/{between}/{row[-1]}"'
        coupled = " x ".join("/".join(row[k : k + 2]) for k in range(0, len(row), 2))
        return fix if len(row) % 2 else f'{fix}; pairs are parted by x: "{coupled}"'
    return "write the driver, a stroke, the driven gear, as in 40/80"


def _layout(text: str, stages: list[list[int]]) -> Layout:
    idlers = tuple(len(stage) - 2 for stage in stages)
    for layout in LAYOUTS:
        if layout.idlers == idlers:
            return layout
    most = max(layout.studs for layout in LAYOUTS)
    raise NotationError(
        "no arrangement of gears known here is like this", value=text,
        allowed=", ".join(layout.name for layout in LAYOUTS),
        fix=f"hang it over {most} studs at most",
    )  # fmt: skip


def _hang(lathe: Lathe, layout: Layout, teeth: list[int]) -> tuple[Gear, ...]:
    """The gear for each place in mesh order, as few as can be beyond those owned."""
    hanging = _Hanging(lathe, [seat for stage in layout.seats for seat in stage], teeth)
    for missing in range(len(teeth) + 1):
        for gears in hanging.ways((), missing):
            return gears
    raise AssertionError("ordinary gears mesh with each other everywhere")


@dataclass(frozen=True)
class _Hanging:
    """Gears for the seats of one train, looked for seat by seat."""

    lathe: Lathe
    seats: list[Seat]
    teeth: list[int]

    def ways(self, hung: tuple[Gear, ...], missing: int) -> Iterator[tuple[Gear, ...]]:
        """Every way to go on that needs at most so many gears that are not owned."""
        number = len(hung)
        if number == len(self.seats):
            yield hung
            return
        owned, used = owned_gears(self.lathe), hung.count
        for gear in self._kinds(owned, number):
            lacks = used(gear) >= owned[gear]
            if lacks > missing or (lacks and gear != self.lathe.making.gear(gear.teeth)):
                continue
            if self._may_follow(hung, gear):
                yield from self.ways((*hung, gear), missing - lacks)

    def _kinds(self, owned: Counter[Gear], number: int) -> list[Gear]:
        """Kinds of gear for a seat, the ordinary one first."""
        fixed = self.lathe.fixed_first_driver
        if number == 0 and fixed is not None:
            return [fixed]
        ordinary = self.lathe.making.gear(self.teeth[number])
        place = self.seats[number].place
        others = {
            g
            for g in owned
            if g.teeth == ordinary.teeth
            and place in g.places
            and (place is Place.STUD or not g.unit)  # half of a pair goes nowhere alone
        }
        return [ordinary, *sorted(others - {ordinary}, key=lambda gear: gear.order)]

    def _may_follow(self, hung: tuple[Gear, ...], gear: Gear) -> bool:
        """Whether a gear meshes with the one before it, or goes on a stud with it."""
        if not hung:
            return True
        before, seat = hung[-1], self.seats[len(hung)]
        if seat.shaft != self.seats[len(hung) - 1].shaft:
            return before.mesh_class == gear.mesh_class
        pairs = {p for one in self.lathe.chest.pinned for p in ((one.one, one.other),
                                                                 (one.other, one.one))}  # fmt: skip
        return (before, gear) in pairs or not (before.unit or gear.unit)
