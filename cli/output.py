"""Results out: files written whole or not at all, JSON, and text for the terminal.

With `--json -` standard output holds the JSON alone and everything else goes to standard
error. Rich is imported only where something is shown.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.marks import spelt_out

if TYPE_CHECKING:
    from rich.console import Console

STANDARD_OUTPUT = "-"


def console(json_target: str | None = None) -> Console:
    """Where people read: standard output, or standard error while that carries JSON.

    Text is taken as it is: square brackets are not markup, numbers are not coloured.
    """
    from rich.console import Console

    return Console(
        stderr=json_target == STANDARD_OUTPUT, markup=False, highlight=False, emoji=False,
        soft_wrap=True,
    )  # fmt: skip


def show(lines: Iterable[str], json_target: str | None = None) -> None:
    """Print lines where people read, with nothing in them that a terminal would obey.

    The narrow spaces of pages become plain ones, which every terminal has and every search
    finds.
    """
    screen = console(json_target)
    for line in lines:
        screen.print(spelt_out(line).replace("\u202f", " "))


def tell(line: str) -> None:
    """Print a line on standard error: progress, warnings."""
    show([line], STANDARD_OUTPUT)


def check_writable(*targets: Path | str | None) -> None:
    """Refuse targets that cannot be written before the work is done; None and "-" pass."""
    faults = [fault for target in targets if (fault := _unwritable(target)) is not None]
    if faults:
        raise FaultsError(faults)


def write_text(path: Path, text: str) -> None:
    """Write UTF-8 text with line ends as they are; the old file stands until the new is whole."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, data: bytes) -> None:
    """Write beside the target, then rename over it. Raises `FaultsError` where that fails."""
    target = Path(os.path.realpath(path))
    beside = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        if target.exists() and not target.is_file():
            target.write_bytes(data)  # a device or a pipe: nothing to rename over
            return
        beside.write_bytes(data)
        beside.replace(target)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise FaultsError([_write_fault(path, error.strerror or str(error))]) from None
    except BaseException:  # interrupted: leave no half file behind
        beside.unlink(missing_ok=True)
        raise


def write_json(target: Path | str | None, document: dict[str, Any]) -> None:
    """Write a JSON document to a file, to standard output for "-", nowhere for None."""
    if target is None:
        return
    text = json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    if str(target) == STANDARD_OUTPUT:
        sys.stdout.write(text)
        sys.stdout.flush()
    else:
        write_text(Path(target), text)


def _unwritable(target: Path | str | None) -> Fault | None:
    if target is None or str(target) == STANDARD_OUTPUT:
        return None
    path = Path(target)
    folder = path.parent
    if path.is_dir():
        return _write_fault(path, "this is a folder")
    if not folder.is_dir():
        return _write_fault(path, f"there is no folder {folder}")
    if not os.access(path if path.exists() else folder, os.W_OK):
        return _write_fault(path, "writing here is not permitted")
    return None


def _write_fault(path: Path, reason: str) -> Fault:
    return Fault(str(path), f"cannot write this file: {reason}", fix="choose another place for it")
