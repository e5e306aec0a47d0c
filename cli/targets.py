"""Where results go, looked at before anything is computed.

Outputs never overwrite what is read, or each other. Files are told apart by what they are on
the disk, so that links, capitals and roundabout paths make no difference.
"""

from __future__ import annotations

import os
import stat
import sys
import unicodedata
from collections.abc import Mapping
from pathlib import Path

from gearchest.cli.faults import COMMAND_LINE, Fault, FaultsError
from gearchest.cli.writing import write_fault

STANDARD_OUTPUT = "-"

Target = Path | str | None
"""A file to write, "-" for standard output, None for none."""


def check_targets(
    outputs: Mapping[str, Target],
    inputs: Mapping[str, Path | None] | None = None,
    *,
    folder_to_be_made: Path | None = None,
) -> None:
    """Refuse outputs that cannot be written, or would write over an input or each other.

    Both are named as on the command line ("--out", "LATHE"). Devices and pipes may stand for
    several outputs. `folder_to_be_made` need not be there yet.
    """
    files = {
        name: Path(path)
        for name, path in outputs.items()
        if path is not None and str(path) != STANDARD_OUTPUT
    }
    taken: dict[object, tuple[str, str]] = {}
    faults: list[Fault] = []

    def take(name: str, path: str, identity: object) -> None:
        if identity in taken:
            faults.append(_same(name, path, *taken[identity]))
        elif identity is not None:
            taken[identity] = (name, path)

    for name, source in (inputs or {}).items():
        if source is not None:
            taken[_identity(source)] = (name, str(source))
    taken.pop(None, None)
    take("standard output", "", _standard_output())
    for name, path in files.items():
        if reason := _obstacle(path, folder_to_be_made):
            faults.append(write_fault(path, reason))
        else:
            take(name, str(path), _identity(path))
    if faults:
        raise FaultsError(faults)


def full_path(path: Path) -> str:
    """The path from the top, for people to find the file by."""
    try:
        return str(path.resolve())
    except OSError:  # the folder we are in is gone
        return str(path)


def _same(name: str, path: str, other: str, other_path: str) -> Fault:
    there = f"{other} = {other_path}" if other_path else other
    return Fault(
        COMMAND_LINE,
        f"{name} and {other} are one file, and the one would be written over the other",
        where=name,
        value=path,
        fix=f"choose another name for {name}" if path else "send it to another file",
        also=((0, there),) if other_path != path else (),
    )


def _identity(path: Path) -> object:
    """What tells a file from any other: its number on its disk; where it is not there yet, its
    folder's and its name (as one where systems differ in whether case counts); None for what
    is no file of its own."""
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        real = os.path.realpath(path)
        folder, name = os.path.split(real)
        try:
            within = os.stat(folder)
        except (OSError, ValueError):
            return (folder, _folded(name))
        return (within.st_dev, within.st_ino, _folded(name))
    return (found.st_dev, found.st_ino) if stat.S_ISREG(found.st_mode) else None


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()


def _standard_output() -> object:
    """The file standard output was sent to, None where it is none."""
    try:
        found = os.fstat(sys.stdout.fileno())
    except (OSError, ValueError, AttributeError):
        return None
    return (found.st_dev, found.st_ino) if stat.S_ISREG(found.st_mode) else None


def _obstacle(path: Path, to_be_made: Path | None) -> str:
    """Why this file cannot be written; "" where nothing is known to stand in the way."""
    try:
        mode = os.stat(path).st_mode
    except FileNotFoundError:
        return _no_folder(path, to_be_made)
    except (OSError, ValueError) as error:
        return getattr(error, "strerror", None) or str(error)
    if stat.S_ISDIR(mode):
        return "this is a folder"
    return "" if os.access(path, os.W_OK) else "writing here is not permitted"


def _no_folder(path: Path, to_be_made: Path | None) -> str:
    try:
        folder = Path(os.path.realpath(path)).parent
    except OSError:
        return "the folder we are in is gone"
    if to_be_made is not None and folder == Path(os.path.realpath(to_be_made)):
        folder = next((each for each in (folder, *folder.parents) if os.path.lexists(each)), folder)
    if not os.path.isdir(folder):
        there = os.path.lexists(folder)
        return f"{folder} is no folder" if there else f"there is no folder {folder}"
    return "" if os.access(folder, os.W_OK | os.X_OK) else "writing here is not permitted"
