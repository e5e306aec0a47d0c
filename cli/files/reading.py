"""Files in: read once, whole, and only what can be somebody's own file."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.limits import LARGEST_FILE


def read_file(path: Path) -> bytes:
    """The bytes of a file. Raises `FaultsError` for what is too large, is no file (devices and
    pipes may never end) or cannot be read."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | _BINARY)
    except (OSError, ValueError) as error:
        if os.path.isdir(path):  # where folders cannot even be opened
            raise _refused(path, "this is a folder", "name a file in it") from None
        reason = getattr(error, "strerror", None) or str(error)
        raise _refused(path, f"cannot read this file: {reason}", "check the path") from None
    try:
        found = os.fstat(handle)
        if stat.S_ISDIR(found.st_mode):
            raise _refused(path, "this is a folder", "name a file in it")
        if not stat.S_ISREG(found.st_mode):
            raise _refused(path, "this is a device or a pipe", "save what it gives as a file")
        with os.fdopen(handle, "rb", closefd=False) as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as error:
        reason = error.strerror or str(error)
        raise _refused(path, f"cannot read this file: {reason}", "check the disk") from None
    finally:
        os.close(handle)
    if len(data) > LARGEST_FILE:
        raise _refused(
            path,
            f"this file is larger than {LARGEST_FILE // 1_000_000} MB",
            "check that it is the right one, or take out what is not wanted",
        )
    return data


def read_text(path: Path) -> str:
    """A text file in UTF-8, with or without a byte-order mark; UTF-16 with one."""
    raw = read_file(path)
    encoding = "utf-16" if raw.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig"
    try:
        return raw.decode(encoding)
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise FaultsError(
            [Fault(str(path), "a character here is not in UTF-8", line=line,
                   fix="save the file with the encoding UTF-8")]
        ) from None  # fmt: skip


_BINARY = getattr(os, "O_BINARY", 0)


def _refused(path: Path, problem: str, fix: str) -> FaultsError:
    return FaultsError([Fault(str(path), problem, fix=fix)])
