"""How the program can end."""

from enum import IntEnum


class Exit(IntEnum):
    """Exit codes."""

    DONE = 0
    OWN_FAULT = 1
    """A fault of the program."""
    USAGE = 2
    """Wrong usage."""
    FAULT = 3
    """A file or a value is wrong, or something cannot be written."""
    NO = 4
    """Done, but the answer is no."""
    INTERRUPTED = 130
    """Ctrl-C."""
    CLOSED_PIPE = 141
    """Whoever read standard output has stopped, as `head` does."""


class Stopped(SystemExit):
    """Ctrl-C. Unlike KeyboardInterrupt, nothing on the way out takes it for its own."""

    def __init__(self) -> None:
        super().__init__(Exit.INTERRUPTED)
