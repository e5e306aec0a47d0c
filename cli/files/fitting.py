"""How gears on offer suit the lathe they are for: what meshes, and what has to be altered."""

from __future__ import annotations

from gearchest.cli.files.gear_materials import strength_known
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.tooth import read_keyway
from gearchest.reports.words import numbers

_NEAR = 0.02
"""mm by which bores and faces may differ and still be called the same."""


class Fitting:
    """Judges gears one by one, and keeps what there is to say of them."""

    def __init__(self, lathe: Lathe) -> None:
        self._making = lathe.making
        self._classes = {gear.mesh_class for gear in owned_gears(lathe)}
        self._altered: dict[str, list[int]] = {}
        self._strange: dict[str, list[int]] = {}

    def meshes(self, gear: Gear) -> bool:
        """Whether a gear meshes with some gear owned; those that do not are told."""
        if gear.mesh_class in self._classes:
            return True
        own = self._making
        if gear.pressure_angle != own.pressure_angle:
            why = (
                f"pressure angle {_short(gear.pressure_angle)}, yours {_short(own.pressure_angle)}"
            )
        else:
            why = f"module {_short(gear.module)}, yours {_short(own.module)}"
        self._strange.setdefault(why, []).append(gear.teeth)
        return False

    def note(self, note: str, gear: Gear, bore: float | None, keyway: str | None) -> str:
        """A gear's note, with what has to be done to it so that it goes on the lathe."""
        todo = [*self._bore(bore), *self._keyway(keyway), *self._face(gear), *self._made_of(gear)]
        for one in todo:
            self._altered.setdefault(one, []).append(gear.teeth)
        return ", ".join([note, *todo] if note else todo)

    def said(self) -> list[str]:
        """A line for each alteration and each misfit, with the gears it is for."""
        lines = [f"{todo}: {_listed(teeth)}" for todo, teeth in self._altered.items()]
        for why, teeth in self._strange.items():
            count = numbers.plural(len(teeth), "gear")
            lines.append(f"{why}: mesh with no gear owned, {count} left out")
        return lines

    def _bore(self, bore: float | None) -> list[str]:
        own = self._making.bore
        if bore is None or own is None or abs(bore - own) <= _NEAR:
            return []
        done = "bored out" if bore < own else "bushed"
        return [f"bore {_short(bore)}, yours {_short(own)}: to be {done}"]

    def _keyway(self, keyway: str | None) -> list[str]:
        own = read_keyway(self._making.keyway)
        if keyway is None or own is None:
            return []
        found = read_keyway(keyway)
        if found is None:
            return [f"no keyway, yours {self._making.keyway}: to be cut"]
        if abs(found.width - own.width) <= _NEAR and abs(found.depth - own.depth) <= 0.3:
            return []
        return [f"keyway {keyway}, yours {self._making.keyway}: to be fitted"]

    def _face(self, gear: Gear) -> list[str]:
        own = self._making.face_width
        if own is None or gear.face_width is None or abs(gear.face_width - own) <= _NEAR:
            return []
        return [f"face width {_short(gear.face_width)}, yours {_short(own)}: mind the spacers"]

    def _made_of(self, gear: Gear) -> list[str]:
        own = self._making.material
        if gear.material.casefold() == own.casefold():
            return []
        unsure = "" if strength_known(gear.material) else ": strength unchecked"
        return [f"of {gear.material}, yours {own}{unsure}"]


def _short(value: numbers.Number) -> str:
    return f"{float(value):.4g}"


def _listed(teeth: list[int]) -> str:
    counts = sorted(set(teeth))
    shown = ", ".join(map(str, counts[:12]))
    return shown if len(counts) <= 12 else f"{shown} and {len(counts) - 12} more"
