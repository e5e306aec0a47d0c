"""A field as it is shown: what stands in the file, its faults and their cures."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from gearchest.cli.faults import Fault
from gearchest.cli.page.cures import Cure
from gearchest.cli.page.fields import Entries, Field, Section
from gearchest.cli.page.lathe_form import HOLDERS
from gearchest.cli.page.literals import shown
from gearchest.cli.page.seen import FileSeen, path_of


@dataclass(frozen=True)
class Told:
    """A fault in words, and buttons: (value of the button, words on it)."""

    problem: str
    allowed: str
    fix: str
    buttons: tuple[tuple[str, str], ...] = ()
    line: int | None = None
    where: str = ""


@dataclass(frozen=True)
class FieldView:
    """`value` as in the file; `told`: what is wrong with it."""

    field: Field
    value: str
    told: tuple[Told, ...] = ()

    @property
    def ident(self) -> str:
        return self.field.ident


@dataclass(frozen=True)
class EntriesView:
    """The entries of a list; the last may be an empty one, for a new entry."""

    row: Entries
    entries: tuple[tuple[FieldView, ...], ...]
    there: int


@dataclass(frozen=True)
class SectionView:
    """A section with its fields; `open` where something stands in it or is wrong."""

    section: Section
    parts: tuple[FieldView | EntriesView, ...]
    open: bool
    filled: bool


@dataclass
class FaultsAt:
    """Faults by the field they are shown at; each is shown once."""

    by_ident: dict[str, list[Told]] = field(default_factory=dict)
    elsewhere: list[Told] = field(default_factory=list)


def faults_at(
    file: FileSeen,
    cures: Iterable[tuple[Cure, ...]],
    digest: str,
    idents: set[str],
    conflicts: Mapping[str, tuple[str, str]] = {},
) -> FaultsAt:
    """The faults of a file at its fields. `idents`: the fields that are shown; `digest`: of the
    text the cures are for; `conflicts`: (typed here, written elsewhere) by field."""
    found = FaultsAt()
    for number, (fault, own) in enumerate(zip(file.faults, cures, strict=True)):
        buttons = tuple(
            (f"cure:{file.name}:{number}:{i}:{digest}", cure.words) for i, cure in enumerate(own)
        )
        told = told_of(fault, buttons)
        ident = _ident(fault, idents)
        if ident is None:
            found.elsewhere.append(told)
        else:
            found.by_ident.setdefault(ident, []).append(told)
    for ident, (mine, theirs) in conflicts.items():
        words = f"Meanwhile “{theirs or 'nothing'}” was written here elsewhere."
        button = (f"set:{file.name}:{ident}:{mine}", f"write “{mine or 'nothing'}” all the same")
        found.by_ident.setdefault(ident, []).append(Told(words, "", "", (button,)))
    return found


def told_of(fault: Fault, buttons: tuple[tuple[str, str], ...] = ()) -> Told:
    """A fault in words; of what is missing the field says what it is."""
    if lacking := re.match(r'the key ".*?is missing(.*)', fault.problem):
        return Told(f"this is still needed{lacking[1]}", "", "", buttons, fault.line, fault.where)
    return Told(fault.problem, fault.allowed, fault.fix, buttons, fault.line, fault.where)


def _ident(fault: Fault, idents: set[str]) -> str | None:
    """The field a fault belongs to: its own, that of a list around it, or of its table."""
    path = path_of(fault.where)
    while path:
        ident = ".".join(map(str, path))
        for each in (ident, HOLDERS.get(ident, "")):
            if each in idents:
                return each
        path = path[:-1]
    return None


def section_views(
    sections: Iterable[Section], file: FileSeen, faults: FaultsAt, more: str = ""
) -> list[SectionView]:
    """The sections of a sheet; `more`: the list that shows one empty entry beyond its own."""
    return [_section(section, file, faults, more) for section in sections]


def _section(section: Section, file: FileSeen, faults: FaultsAt, more: str) -> SectionView:
    parts: list[FieldView | EntriesView] = []
    filled = wrong = False
    for part in section.parts:
        if isinstance(part, Field):
            view = field_view(part, file, faults)
            filled |= bool(view.value)
            wrong |= bool(view.told)
            parts.append(view)
            continue
        there = file.count(part.path)
        shown_entries = min(there + int(there == 0 or more == part.ident), part.most)
        entries = tuple(
            tuple(field_view(each, file, faults) for each in part.entry(number))
            for number in range(shown_entries)
        )
        filled |= there > 0
        wrong |= any(view.told for entry in entries for view in entry)
        parts.append(EntriesView(part, entries, there))
    here = any(part.path and more == ".".join(map(str, part.path)) for part in section.parts)
    return SectionView(section, tuple(parts), filled or wrong or here or not section.costs, filled)


def field_view(field: Field, file: FileSeen, faults: FaultsAt) -> FieldView:
    """A field with what stands in the file."""
    value = shown(field.kind, file.typed(field.path))
    return FieldView(field, value, tuple(faults.by_ident.get(field.ident, ())))


def idents_of(sections: Iterable[Section], file: FileSeen) -> set[str]:
    """The names of all fields that are shown; none where the file is no TOML."""
    found: set[str] = set()
    if file.text is not None and file.document is None:
        return found
    for section in sections:
        counts = {
            part.ident: max(1, file.count(part.path) + 1)
            for part in section.parts
            if isinstance(part, Entries)
        }
        found |= {each.ident for each in section.every(counts)}
    return found
