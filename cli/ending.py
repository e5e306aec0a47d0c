"""What the program says where it does not end as usual, and with which exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable

from gearchest.cli.exits import Exit, Stopped
from gearchest.cli.faults import FaultsError, shorten
from gearchest.cli.folding import folded
from gearchest.cli.marks import spelt_out
from gearchest.cli.targets import full_path
from gearchest.cli.writing import WRITTEN


def ended(program: Callable[[], object]) -> int:
    """Run the program; the exit code it comes to, once what is to be said has been said."""
    try:
        program()
    except FaultsError as error:
        _say([*error.lines(), *_written()])
        return Exit.FAULT
    except Stopped:
        _say(["Stopped by Ctrl-C.", *(_written() or ["No file was written."])])
        return Exit.INTERRUPTED
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    except KeyboardInterrupt:
        return Exit.INTERRUPTED
    except Exception as error:
        if os.environ.get("GEARCHEST_DEBUG"):
            raise
        _say([shorten(f"gearchest has a fault of its own: {type(error).__name__}: {error}", 500),
              "  with GEARCHEST_DEBUG=1 in the environment it shows where",
              *(_written() or ["Nothing was written."])])  # fmt: skip
        return Exit.OWN_FAULT
    return Exit.DONE


def _written() -> list[str]:
    """What was written before the end came; no line where nothing was."""
    names = ", ".join(spelt_out(full_path(path)) for path in WRITTEN)
    return [f"Written before that: {names}"] if names else []


def _say(lines: Iterable[str]) -> None:
    width = _width()
    for line in lines:
        for part in folded(line, width):
            print(part, file=sys.stderr)


def _width() -> int | None:
    """Characters of the terminal at the end of standard error; None where there is none."""
    try:
        return os.get_terminal_size(sys.stderr.fileno()).columns or None
    except (OSError, ValueError, AttributeError):
        return None
