"""The program: every end it can come to is an exit code, none a traceback.

Nothing heavy is imported before Ctrl-C is provided for, so that it shows no traceback while
the rest is still being loaded.
"""

from __future__ import annotations

import os
import signal
import sys
from types import FrameType
from typing import NoReturn

from gearchest.cli.exits import Exit


def run() -> NoReturn:
    """Do what the command line says, and exit."""
    signal.signal(signal.SIGINT, _at_once)
    from gearchest.cli.commands import app
    from gearchest.cli.ending import ended
    from gearchest.cli.streams import prepare, release

    prepare()
    signal.signal(signal.SIGINT, interrupt)
    code = ended(lambda: app(prog_name="gearchest"))
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    sys.exit(release(code))


def interrupt(number: int, frame: FrameType | None) -> NoReturn:
    """End by Ctrl-C. Unlike KeyboardInterrupt, nothing on the way out takes it for its own."""
    sys.exit(Exit.INTERRUPTED)


def _at_once(number: int, frame: FrameType | None) -> NoReturn:
    """End while modules are half loaded: nothing is open yet, so nothing needs clearing away."""
    os._exit(Exit.INTERRUPTED)


if __name__ == "__main__":
    run()
