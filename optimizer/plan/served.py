"""The lathe, or the two lathes, that one chest of gears serves, and the options on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearchest.optimizer.gear import Chest, Gear
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.options import OptionTable, WantOptions
from gearchest.optimizer.train import Train


@dataclass(frozen=True)
class Served:
    """What one chest serves. `lathes` share it; `table` holds, want by want, the options of
    the first lathe and then those of the next; `sizes[want]` how many each has."""

    lathes: tuple[Lathe, ...]
    table: OptionTable
    sizes: tuple[tuple[int, ...], ...]

    def lathe(self, want: int, option: int) -> Lathe:
        """The lathe an option of a want belongs to."""
        for lathe, size in zip(self.lathes, self.sizes[want], strict=True):
            if option < size:
                return lathe
            option -= size
        raise IndexError(f"want {want} has no option {option}")


def serve(lathes: Sequence[Lathe], tables: Sequence[OptionTable]) -> Served:
    """Put the option tables of lathes that share a chest side by side.

    All tables stand over the same candidates and wants.
    """
    first = tables[0]
    wants = tuple(
        _side_by_side([table.wants[want] for table in tables]) for want in range(len(first.wants))
    )
    sizes = tuple(
        tuple(len(table.wants[want].load) for table in tables) for want in range(len(wants))
    )
    return Served(tuple(lathes), OptionTable(first.candidates, wants, first.most_missing), sizes)


def _side_by_side(parts: Sequence[WantOptions]) -> WantOptions:
    if len(parts) == 1:
        return parts[0]
    width = max(part.missing.shape[1] for part in parts)
    missing = [
        np.pad(part.missing, ((0, 0), (0, width - part.missing.shape[1])), constant_values=-1)
        for part in parts
    ]
    return WantOptions(
        np.concatenate(missing),
        np.concatenate([part.load for part in parts]),
        np.concatenate([part.error for part in parts]),
        _train_of([(len(part.load), part.train) for part in parts]),
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

    Raises ValueError where gears of one would not go on the other: module, pressure angle,
    bore and keyway must agree.
    """
    first = lathes[0].making
    for lathe in lathes[1:]:
        for name in ("module", "pressure_angle", "bore", "keyway"):
            one, other = getattr(first, name), getattr(lathe.making, name)
            if one != other:
                raise ValueError(
                    f"one chest cannot serve both lathes: {name.replace('_', ' ')} is {one} on "
                    f"{lathes[0].name!r} and {other} on {lathe.name!r}"
                )
    loose: Counter[Gear] = Counter()
    for lathe in lathes:
        loose.update(dict(lathe.chest.loose))
    pinned = tuple(pair for lathe in lathes for pair in lathe.chest.pinned)
    chest = Chest(tuple(sorted(loose.items(), key=lambda item: item[0].order)), pinned)
    return tuple(replace(lathe, chest=chest) for lathe in lathes)
