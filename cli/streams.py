"""Standard output and standard error, whatever stands at their other end.

Text is UTF-8: thread names hold signs that older terminals' own encodings lack. A reader who
has seen enough ends the program quietly; a full disk is a fault like any other; nobody
listening to progress is no reason to stop.
"""

from __future__ import annotations

import os
import sys
from io import TextIOWrapper
from typing import TextIO

from gearchest.cli.exits import Exit
from gearchest.cli.faults import Fault, FaultsError


class _Stream(TextIOWrapper):
    """A stream whose failures end the program in order, or are overlooked."""

    def __init__(self, stream: TextIO, *, needed: bool) -> None:
        super().__init__(
            stream.buffer, encoding="utf-8", errors="replace",
            line_buffering=not needed or stream.isatty(),
        )  # fmt: skip
        self._needed = needed

    def write(self, text: str, /) -> int:
        try:
            return super().write(text)
        except OSError as error:
            self._fail(error)
        return len(text)

    def flush(self) -> None:
        try:
            super().flush()
        except OSError as error:
            self._fail(error)

    def _fail(self, error: OSError) -> None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), self.fileno())  # what is held back goes nowhere
        if not self._needed:
            return
        if isinstance(error, BrokenPipeError):
            sys.exit(Exit.CLOSED_PIPE)
        problem = f"cannot write this: {error.strerror or error}"
        raise FaultsError(
            [Fault("standard output", problem, fix="send it to a file on another disk")]
        ) from None


def prepare() -> None:
    """Put both streams in place."""
    sys.stdout = _stream(sys.stdout, needed=True)
    sys.stderr = _stream(sys.stderr, needed=False)


def release(code: int) -> int:
    """Write what is still held back; the exit code, which that may change."""
    from gearchest.cli.ending import ended

    late = ended(sys.stdout.flush)
    sys.stderr.flush()
    return late or code


def _stream(stream: TextIO | None, *, needed: bool) -> TextIO:
    """The stream, or nothing's where it was closed before the program began."""
    if stream is None or stream.closed:
        return open(os.devnull, "w", encoding="utf-8")
    return _Stream(stream, needed=needed)
