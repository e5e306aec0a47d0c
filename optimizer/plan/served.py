"""The lathe, or the two lathes, that one chest of gears serves, and the options on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearchest.optimizer.domain.arrays import Small
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import most_gears
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.options import OptionTable, WantOptions


class UnlikeLathesError(ValueError):
    """Gears of one lathe would not go on the other."""


@dataclass(frozen=True)
class Served:
    """What one chest serves. `lathes` share it; `table` holds, want by want, the options of
    the first lathe and then those of the next; `sizes[want]` how many each has."""

    lathes: tuple[Lathe, ...]
    table: OptionTable
    sizes: tuple[tuple[int, ...], ...]

    @property
    def most_missing(self) -> int:
        """The most gears a train on any of the lathes can lack."""
        return most_gears(max(lathe.studs for lathe in self.lathes))

    def lathe(self, want: int, option: int) -> Lathe:
        """The lathe an option of a want belongs to."""
        for lathe, size in zip(self.lathes, self.sizes[want], strict=True):
            if option < size:
                return lathe
            option -= size
        raise IndexError(f"want {want} has no option {option}")


def serve(lathes: Sequence[Lathe], tables: Sequence[OptionTable]) -> Served:
    """Put the option tables of lathes that share a chest side by side.

    All tables stand over the same wants; a gear too big for one lathe's cover may be missing
    from that lathe's candidates.
    """
    gears = {gear for table in tables for gear in table.candidates}
    candidates = tuple(sorted(gears, key=lambda gear: gear.order))
    places = [
        np.array([*map(candidates.index, table.candidates), -1], dtype=np.int16) for table in tables
    ]
    columns = list(zip(*(table.wants for table in tables), strict=True))
    return Served(
        tuple(lathes),
        OptionTable(
            candidates,
            tuple(_side_by_side(column, places) for column in columns),
            min(table.most_missing for table in tables),
        ),
        tuple(tuple(len(part) for part in column) for column in columns),
    )


def _side_by_side(parts: Sequence[WantOptions], places: Sequence[Small]) -> WantOptions:
    """One want's options on each lathe, their candidates counted in the common list."""
    width = max(part.missing.shape[1] for part in parts)
    missing = [
        np.pad(
            place[part.missing], ((0, 0), (0, width - part.missing.shape[1])), constant_values=-1
        )
        for part, place in zip(parts, places, strict=True)
    ]
    return WantOptions(
        np.concatenate(missing),
        np.concatenate([part.costs for part in parts]),
        _train_of([(len(part), part.train) for part in parts]),
    )


def _train_of(parts: Sequence[tuple[int, Callable[[int], Train]]]) -> Callable[[int], Train]:
    def train(option: int) -> Train:
        for size, of in parts:
            if option < size:
                return of(option)
            option -= size
        raise IndexError("no such option")

    return train


def share_chest(lathes: Sequence[Lathe]) -> tuple[Lathe, ...]:
    """The lathes, each with the gears of all of them.

    Raises `UnlikeLathesError` where gears of one would not go on the other: module, pressure angle,
    bore and keyway must agree.
    """
    first = lathes[0].making
    for lathe in lathes[1:]:
        for name in ("module", "pressure_angle", "bore", "keyway"):
            one, other = getattr(first, name), getattr(lathe.making, name)
            if one != other:
                raise UnlikeLathesError(
                    f"one chest cannot serve both lathes: {name.replace('_', ' ')} is {one} on "
                    f"{lathes[0].name!r} and {other} on {lathe.name!r}"
                )
    loose: Counter[Gear] = Counter()
    for lathe in lathes:
        loose.update(dict(lathe.chest.loose))
    pinned = tuple(pair for lathe in lathes for pair in lathe.chest.pinned)
    chest = Chest(tuple(sorted(loose.items(), key=lambda item: item[0].order)), pinned)
    return tuple(replace(lathe, chest=chest) for lathe in lathes)
