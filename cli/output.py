"""Results out: text for files and for the terminal, and JSON.

With `--json -` standard output holds the JSON alone and everything else goes to standard
error. Rich is imported only for terminals.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from gearchest.cli.faults import Fault, FaultsError, collecting
from gearchest.cli.folding import folded
from gearchest.cli.marks import spelt_out
from gearchest.cli.targets import STANDARD_OUTPUT, full_path
from gearchest.cli.writing import WRITTEN, write_bytes

if TYPE_CHECKING:
    from rich.console import Console


def terminal(json_target: str | None = None) -> Console | None:
    """Where people read: standard output, or standard error while that carries JSON; None where
    no terminal is at its other end, and lines go there as they are.

    Text is taken as it is: square brackets are not markup, numbers are not coloured.
    """
    if not _stream(json_target).isatty():
        return None
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
    screen = terminal(json_target)
    width = screen.width if screen and screen.is_terminal else None
    for line in lines:
        for part in folded(spelt_out(line).replace("\u202f", " "), width):
            if screen:
                screen.print(part)
            else:
                print(part, file=_stream(json_target))
    _stream(json_target).flush()


def _stream(json_target: str | None) -> TextIO:
    return sys.stderr if json_target == STANDARD_OUTPUT else sys.stdout


def tell(line: str) -> None:
    """Print a line on standard error: progress, warnings."""
    show([line], STANDARD_OUTPUT)


def write_text(path: Path, text: str) -> None:
    """Write UTF-8 text with line ends as they are. Raises `FaultsError` where that fails."""
    write_bytes(path, _encoded(text))


def write_json(target: Path | str | None, document: dict[str, Any]) -> None:
    """Write a JSON document to a file, to standard output for "-", nowhere for None."""
    if target is None:
        return
    text = json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    if str(target) == STANDARD_OUTPUT:
        sys.stdout.write(_encoded(text).decode("utf-8"))
        sys.stdout.flush()
    else:
        write_text(Path(target), text)


def deliver(
    lines: Iterable[str],
    document: dict[str, Any],
    json_target: str | None,
    *,
    files: Mapping[Path, str | bytes] | None = None,
    report: Path = Path(),
) -> None:
    """Write the files and the JSON document, then show the lines and where the report is.

    What cannot be written keeps nothing else from being written and shown; its faults are
    raised last. `report`: the file among them whose place is told.
    """
    faults: list[Fault] = []
    for path, content in (files or {}).items():
        with collecting(faults):
            write_bytes(path, content if isinstance(content, bytes) else _encoded(content))
    with collecting(faults):
        write_json(json_target, document)
    show(lines, json_target)
    if report in WRITTEN:
        show([full_path(report)], json_target)
    if faults:
        raise FaultsError(faults)


def _encoded(text: str) -> bytes:
    """UTF-8; bytes of file names that are none are escaped."""
    return text.encode("utf-8", "backslashreplace")
