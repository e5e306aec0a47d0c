"""A file's values, and where in the file each of them stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import Any

from gearchest.cli.faults import MOST_TOLD, Fault, shorten

KeyPath = tuple[str | int, ...]
"""Keys and list positions from the top of the file down to a value."""


@dataclass(frozen=True)
class Spot:
    """Where a value stands: its line (from 1; 0 where there are none), its text as typed."""

    line: int
    typed: str


class Style(Enum):
    """What the places in a document are called."""

    KEYS = "key"
    TABLE = "column"
    COMMAND = "option"


class Patience:
    """How many cures that take a search are still worth it: no more than are shown."""

    def __init__(self, left: int = MOST_TOLD) -> None:
        self._left = left

    def spent(self) -> bool:
        """Whether there was any left; one less now."""
        self._left -= 1
        return self._left >= 0


@dataclass(frozen=True)
class Reading:
    """How values of a document are read: how many mm a bare length counts, and with how much
    patience for what is wrong."""

    bare: Fraction = Fraction(1)
    patience: Patience = field(default_factory=Patience)


@dataclass(frozen=True)
class Document:
    """`source` is the file's name for messages; `slips` were mended before it was read,
    `unused` are the headings of columns that are not."""

    source: str
    values: dict[str, Any]
    spots: dict[KeyPath, Spot]
    style: Style = Style.KEYS
    slips: tuple[Fault, ...] = ()
    unused: tuple[str, ...] = ()
    patience: Patience = field(default_factory=Patience)

    def spot(self, path: KeyPath) -> Spot | None:
        """The spot of a value, or of the nearest thing around it."""
        while path and path not in self.spots:
            path = path[:-1]
        return self.spots.get(path)

    def value(self, *path: str | int) -> Any:
        """The value at `path`, None where there is none."""
        here: Any = self.values
        for key in path:
            try:
                here = here[key]
            except (KeyError, IndexError, TypeError):
                return None
        return here

    def typed(self, path: KeyPath) -> str:
        """A value as typed; "" where there is none."""
        return self.spots[path].typed if path in self.spots else ""

    def where(self, path: KeyPath) -> str:
        """A path in words: "gears.special[1].teeth", "column teeth", "--tolerance"."""
        if self.style is Style.TABLE:
            return f"column {path[-1]}" if isinstance(path[-1], str) else ""
        if self.style is Style.COMMAND:
            return "PITCH" if path[-1] == "pitch" else f"--{path[-1]}"
        text = ""
        for key in path:
            text += f"[{key + 1}]" if isinstance(key, int) else f".{shorten(key)}"
        return text.removeprefix(".")

    def fault(
        self, path: KeyPath, problem: str, *, allowed: str = "", fix: str = "",
        also: tuple[KeyPath, ...] = (),
    ) -> Fault:  # fmt: skip
        """A fault at `path`; `also` are the paths it clashes with."""
        spot = self.spot(path)
        others = [(other, self.spot(other)) for other in also]
        return Fault(
            self.source,
            problem,
            line=(spot.line or None) if spot else None,
            where=self.where(path),
            value=spot.typed if spot and path in self.spots else "",
            allowed=allowed,
            fix=fix,
            also=tuple(
                (there.line, f"{self.where(other)} = {there.typed}".removeprefix(" = "))
                for other, there in others
                if there is not None
            ),
        )
