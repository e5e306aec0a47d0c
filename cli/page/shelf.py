"""The files of a folder: read as they stand, written whole, and watched for others' changes."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from gearchest.cli.files.reading import read_text
from gearchest.cli.writing import WRITTEN, write_bytes, write_fault

LATHE, WANTS, OFFERS = "lathe", "wants", "offers"

NAMES = {LATHE: "lathe.toml", WANTS: "wants.toml", OFFERS: "offers.csv"}
"""The files of a folder that pages show and write."""

Texts = dict[str, str | None]
"""By file; None where there is none."""

Stamp = tuple[int, int, int] | None


@dataclass
class Shelf:
    """A folder on the disk."""

    folder: Path

    def path(self, name: str) -> Path:
        """Where one of the files stands; none of it comes out of a request."""
        return self.folder / NAMES[name]

    def read(self, name: str) -> str | None:
        """The text of a file. Raises `FaultsError` where there is one that cannot be read."""
        path = self.path(name)
        return read_text(path) if os.path.lexists(path) else None

    def write(self, name: str, text: str | None) -> None:
        """Write a file, or take it away. Raises `FaultsError`; the old file then stands."""
        path = self.path(name)
        if text is not None:
            write_bytes(path, text.encode("utf-8"))
            WRITTEN.clear()  # what is written goes on as long as the page is open
            return
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            from gearchest.cli.faults import FaultsError

            reason = error.strerror or str(error)
            raise FaultsError([write_fault(path, reason, "take this file away")]) from None

    def stamp(self, name: str) -> Stamp:
        """What changes with a file, without reading it; None where there is none."""
        try:
            found = os.stat(self.path(name))
        except (OSError, ValueError):
            return None
        return found.st_mtime_ns, found.st_size, found.st_ino

    @property
    def writable(self) -> bool:
        """Whether files can be made in the folder."""
        return os.access(self.folder, os.W_OK | os.X_OK)

    def other_lathes(self) -> list[str]:
        """Names of further lathe files in the folder."""
        own = set(NAMES.values())
        try:
            entries = sorted(entry.name for entry in os.scandir(self.folder) if entry.is_file())
        except OSError:
            return []
        return [name for name in entries if name.endswith(".toml") and name not in own][:50]
