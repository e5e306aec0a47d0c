"""The files of a folder as they read now: what they hold, and every fault with its place."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from gearchest.catalogs.lathes import example
from gearchest.cli.arm_check import arm_faults
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.document import Document, KeyPath
from gearchest.cli.files.lathe import lathe_as_meant, load_lathe
from gearchest.cli.files.toml import parse_toml
from gearchest.cli.files.wants import wants_of
from gearchest.cli.page.shelf import LATHE, NAMES, WANTS, Texts
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want


@dataclass(frozen=True)
class FileSeen:
    """A file: its document where it is TOML at all, and its faults."""

    name: str
    text: str | None
    document: Document | None
    faults: tuple[Fault, ...] = ()

    def typed(self, path: KeyPath) -> Any:
        """A value as it stands in the file, numbers as they were typed; None where there is
        none."""
        if self.document is None:
            return None
        value = self.document.value(*path)
        if value is None or isinstance(value, (str, bool, list, dict)):
            return value
        return self.document.typed(path) or str(value)

    def count(self, path: KeyPath) -> int:
        """Entries of a list."""
        value = self.document.value(*path) if self.document else None
        return len(value) if isinstance(value, list) else 0


@dataclass(frozen=True)
class Seen:
    """Both files that describe; what they describe where they have no faults."""

    lathe_file: FileSeen
    wants_file: FileSeen
    lathe: Lathe | None = None
    wants: tuple[Want, ...] = ()

    @property
    def ready(self) -> bool:
        """Whether something can be answered."""
        return self.lathe is not None and bool(self.wants)


def see(texts: Texts) -> Seen:
    """Read both files as far as they can be read."""
    return _see(texts.get(LATHE), texts.get(WANTS))


@lru_cache(maxsize=4)
def _see(lathe_text: str | None, wants_text: str | None) -> Seen:
    lathe_file, lathe = _see_lathe(lathe_text)
    wants_file, wants = _see_wants(wants_text, lathe)
    return Seen(lathe_file, wants_file, lathe, wants)


def _see_lathe(text: str | None) -> tuple[FileSeen, Lathe | None]:
    document, faults = _document(text, LATHE)
    if document is None:
        return FileSeen(LATHE, text, None, faults), None
    meant, lathe, wrong = lathe_as_meant(document)
    if lathe is not None:
        wrong = [*wrong, *arm_faults(meant, lathe)]
    found = tuple(sorted(wrong, key=lambda fault: fault.line or 0))
    return FileSeen(LATHE, text, document, found), None if found else lathe


def _see_wants(text: str | None, lathe: Lathe | None) -> tuple[FileSeen, tuple[Want, ...]]:
    document, faults = _document(text, WANTS)
    if document is None or not document.values:
        return FileSeen(WANTS, text, document, faults), ()
    try:
        wants = wants_of(document, [], lathe or load_lathe(example().lathe))
    except FaultsError as error:
        return FileSeen(WANTS, text, document, error.faults), ()
    return FileSeen(WANTS, text, document), wants


def _document(text: str | None, name: str) -> tuple[Document | None, tuple[Fault, ...]]:
    if text is None:
        return None, ()
    try:
        return parse_toml(text, NAMES[name]), ()
    except FaultsError as error:
        return None, error.faults


def path_of(where: str) -> KeyPath:
    """The path that a fault's place tells: "banjo.slots[2].start" counts from 1."""
    path: list[str | int] = []
    for part in re.findall(r"\[(\d+)\]|([^.\[\]]+)", where):
        path.append(int(part[0]) - 1 if part[0] else part[1])
    return tuple(path)
