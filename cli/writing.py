"""Files written whole or not at all.

The new file is written beside the old one, reaches the disk, and takes its name. Mode and
owner stay what they were. A file with several names (hard links), or whose owner or folder
allow no other way, is written in its place: then a fault or Ctrl-C puts the old text back, and
only the death of the process or the machine can leave half.
"""

from __future__ import annotations

import os
import re
import shutil
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from gearchest.cli.faults import Fault, FaultsError

WRITTEN: list[Path] = []
"""What this run of the program has written so far."""

_LONGEST_NAME = 255
_OURS: set[Path] = set()


def write_bytes(path: Path, data: bytes) -> None:
    """Write a file. Raises `FaultsError` where that fails; the old file then stands."""
    with _faults(path):
        _write(Path(os.path.realpath(path)), data)
    WRITTEN.append(path)


def write_new(path: Path, data: bytes) -> bool:
    """Write a file that is not there yet; False where one is. Raises as `write_bytes`."""
    if os.path.lexists(path):
        return False
    with _faults(path):
        try:
            _write_beside(path, data, None, new=True)
        except FileExistsError:
            return False
    WRITTEN.append(path)
    return True


def make_folder(path: Path) -> list[Path]:
    """Make a folder and those around it; the ones made, outermost first. Raises as above."""
    made: list[Path] = []
    with _faults(path, "make this folder"):
        try:
            for each in reversed([path, *path.parents]):
                if not os.path.isdir(each):
                    each.mkdir()
                    made.append(each)
        except BaseException:
            remove_folders(made)
            raise
    return made


def remove_folders(made: list[Path]) -> None:
    """Take folders back that were made, as far as nothing stands in them."""
    for each in reversed(made):
        with suppress(OSError):
            each.rmdir()


def write_fault(path: Path | str, reason: str, what: str = "write this file") -> Fault:
    """The fault of a place that cannot be written."""
    return Fault(str(path), f"cannot {what}: {reason}", fix="choose another place for it")


@contextmanager
def _faults(path: Path, what: str = "write this file") -> Iterator[None]:
    try:
        yield
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FaultsError([write_fault(path, reason, what)]) from None


def _write(target: Path, data: bytes) -> None:
    try:
        old = os.stat(target)
    except FileNotFoundError:
        old = None
    if old is None:
        _write_beside(target, data, None)
    elif not stat.S_ISREG(old.st_mode):
        target.write_bytes(data)  # a device or a pipe: nothing to put in its place
    elif old.st_nlink > 1 or not _write_beside(target, data, old):
        _write_over(target, data)


def _write_beside(
    target: Path, data: bytes, old: os.stat_result | None, *, new: bool = False
) -> bool:
    """Write beside the target and take its name; False where it has to be written in place.

    `old`: of the file that is replaced. `new`: raise `FileExistsError` where there is one by now.
    """
    _clear_the_dead(target)
    beside = target.with_name(_part(target.name))
    _OURS.add(beside)
    try:
        with open(beside, "xb", opener=_private if old else None) as file:
            if old and not _dressed(beside, target, old):
                return False
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if new:
            _take_new_name(beside, target)
        else:
            beside.replace(target)
    except PermissionError:
        if old is None or os.access(target.parent, os.W_OK):
            raise
        return False  # no file can be made in this folder, though the old one can be written
    finally:
        beside.unlink(missing_ok=True)
        _OURS.discard(beside)
    _sync_folder(target.parent)
    return True


def _write_over(target: Path, data: bytes) -> None:
    with open(target, "r+b", buffering=0) as file:
        old = file.read()
        try:
            _put(file.fileno(), data)
        except BaseException:
            _put(file.fileno(), old)
            raise
        os.fsync(file.fileno())


def _put(handle: int, data: bytes) -> None:
    """Make `data` the content. What is there is cut off last, so that its room is not lost."""
    os.lseek(handle, 0, os.SEEK_SET)
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]
    os.ftruncate(handle, len(data))


def _private(path: str, flags: int) -> int:
    """Nobody else reads the new file before it has the old one's mode."""
    return os.open(path, flags, 0o600)


def _dressed(beside: Path, target: Path, old: os.stat_result) -> bool:
    """Give the new file the old one's owner, mode and attributes; whether it took the owner."""
    made = os.stat(beside)
    if (made.st_uid, made.st_gid) != (old.st_uid, old.st_gid):
        try:
            os.chown(beside, old.st_uid, old.st_gid)
        except OSError:
            return False
    shutil.copystat(target, beside)
    return True


def _take_new_name(beside: Path, target: Path) -> None:
    try:
        os.link(beside, target)
    except FileExistsError:
        raise
    except OSError:  # a disk without hard links
        beside.rename(target)


def _part(name: str) -> str:
    """The name under which this process writes what will be `name`."""
    end = f".{os.getpid()}.part"
    kept = name
    while len(os.fsencode(f".{kept}{end}")) > _LONGEST_NAME:
        kept = kept[:-1]
    return f".{kept}{end}"


def _clear_the_dead(target: Path) -> None:
    """Remove what processes that no longer run have left beside the target."""
    stem = _part(target.name).removesuffix(f".{os.getpid()}.part")
    left = re.compile(rf"{re.escape(stem)}\.([0-9]{{1,10}})\.part")
    with suppress(OSError):
        for entry in os.scandir(target.parent):
            found = left.fullmatch(entry.name)
            path = target.with_name(entry.name)
            if found and path not in _OURS and not _runs(int(found[1])):
                path.unlink(missing_ok=True)


def _runs(number: int) -> bool:
    """Whether another process has this number. On Windows open files cannot be removed anyway."""
    if os.name == "nt" or number == os.getpid():
        return False
    try:
        os.kill(number, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


def _sync_folder(folder: Path) -> None:
    """Let the new name reach the disk too, where the system lets folders be synced."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
