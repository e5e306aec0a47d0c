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
    """A text file in whatever encoding it was saved. Raises `FaultsError`."""
    return decoded(read_file(path), path)


def decoded(raw: bytes, path: Path) -> str:
    """UTF-8 or UTF-16, with or without a byte-order mark; what is neither, as Windows saves it in
    the west and the north of Europe and in America."""
    try:
        return raw.decode(_encoding(raw))
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise FaultsError(
            [Fault(str(path), "a character here is in no encoding known here", line=line,
                   fix="save the file with the encoding UTF-8")]
        ) from None  # fmt: skip


def _encoding(raw: bytes) -> str:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    for start, encoding in ((1, "utf-16-le"), (0, "utf-16-be")):  # every second byte of English
        zeros = raw[start:2000:2].count(0)
        if 2 * zeros > len(raw[start:2000:2]) and not raw[1 - start : 2000 : 2].count(0):
            return encoding
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8-sig"


_BINARY = getattr(os, "O_BINARY", 0)


def _refused(path: Path, problem: str, fix: str) -> FaultsError:
    return FaultsError([Fault(str(path), problem, fix=fix)])
