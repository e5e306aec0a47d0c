"""What shafts and gears are called in drawings and in what is read out of them."""

from __future__ import annotations

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.domain.train import Train


def gear_names(layout: Layout, *, gearbox: bool = False) -> list[tuple[str, str]]:
    """Each gear in mesh order by its shaft and what it is there: ("stud", "inner")."""
    names = layout.shaft_names(gearbox=gearbox)
    seats = [seat for stage in layout.seats for seat in stage]
    return [(names[seat.shaft], part) for seat, part in zip(seats, layout.parts, strict=True)]


def described(lathe: Lathe, train: Train) -> str:
    """The train in words, for those who do not see the drawing."""
    names = gear_names(train.layout, gearbox=bool(lathe.gearbox))
    called = iter(
        " ".join(filter(None, (*name, str(gear.teeth))))
        for name, gear in zip(names, train.gears, strict=True)
    )
    return "; ".join(" drives ".join(next(called) for _ in stage) for stage in train.stages)
