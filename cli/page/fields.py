"""Fields of a sheet: what each is called, where it stands in its file, how it is measured."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from gearchest.cli.files.document import KeyPath


def counted(text: str) -> int | None:
    """The number that a part of a name is; None where it is none, or longer than any of ours."""
    return int(text) if text.isdecimal() and len(text) <= 6 else None


@dataclass(frozen=True)
class Field:
    """One value of a file.

    `kind`: how it is written (see `literals`). `how`: how to take it. `usual`: what is taken
    where it is left out. `choices`: (value, word) where there are few. `measure`: the part of the
    drawing that it is. `needed`: nothing can be answered without it.
    """

    path: KeyPath
    label: str
    how: str = ""
    kind: str = "text"
    unit: str = ""
    usual: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    measure: str = ""
    needed: bool = False
    wide: bool = False

    @property
    def ident(self) -> str:
        """Its path as the name of an input: "banjo.slots.0.start"."""
        return ".".join(map(str, self.path))


@dataclass(frozen=True)
class Entries:
    """A list of tables, such as the slots of an arm; `fields` of one entry, their paths from
    the entry on."""

    path: KeyPath
    one: str
    fields: tuple[Field, ...]
    most: int = 10

    def entry(self, number: int) -> tuple[Field, ...]:
        """The fields of an entry, counted from 0."""
        return tuple(replace(f, path=(*self.path, number, *f.path)) for f in self.fields)

    @property
    def ident(self) -> str:
        """Its path as a name."""
        return ".".join(map(str, self.path))


@dataclass(frozen=True)
class Section:
    """A part of a sheet. `costs`: what is not known without it; "" where it is needed. `figure`:
    the drawing beside it."""

    ident: str
    title: str
    lead: str
    parts: tuple[Field | Entries, ...]
    costs: str = ""
    figure: str = ""

    def every(self, counts: dict[str, int]) -> Iterator[Field]:
        """All its fields; `counts`: entries of each list."""
        for part in self.parts:
            if isinstance(part, Field):
                yield part
            else:
                for number in range(counts.get(part.ident, 0)):
                    yield from part.entry(number)


YES = (("", "not said"), ("true", "yes"), ("false", "no"))
