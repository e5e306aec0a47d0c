"""The program: every end it can come to is an exit code, none a traceback.

Nothing heavy is imported before Ctrl-C is provided for, so that it shows no traceback while
the rest is still being loaded.
"""

from __future__ import annotations

import atexit
import gc
import os
import signal
import sys
import threading
from types import FrameType
from typing import NoReturn

from gearchest.cli.exits import Exit, Stopped

_LITTER = 200_000
"""Objects made and not freed before Python looks for cycles among them. As it comes, 700, loading
the program alone has it look three hundred times, for a ninth of the time of a short question."""

_AGAIN = 0.01
"""Seconds."""


def run() -> NoReturn:
    """Do what the command line says, and exit."""
    signal.signal(signal.SIGINT, _at_once)
    gc.set_threshold(_LITTER)
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")  # none has a say in our files
    from gearchest.cli.commands import app
    from gearchest.cli.ending import ended
    from gearchest.cli.streams import prepare

    prepare()
    sys.unraisablehook = _passed_on
    signal.signal(signal.SIGINT, interrupt)
    code = ended(lambda: app(prog_name="gearchest"))
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _leave(code)


def interrupt(number: int, frame: FrameType | None) -> NoReturn:
    """End by Ctrl-C, with what is open cleared away."""
    raise Stopped


def _passed_on(told: sys.UnraisableHookArgs) -> None:
    """Ctrl-C that fell where Python only prints what is raised is sent again, once out of there."""
    if isinstance(told.exc_value, Stopped):
        threading.Timer(_AGAIN, os.kill, [os.getpid(), signal.SIGINT]).start()
    else:
        sys.__unraisablehook__(told)


def _leave(code: int) -> NoReturn:
    """Exit, and let the kernel take back all memory at once: Python would take it apart object by
    object, a sixth of the time of a short question. With GEARCHEST_DEBUG it does, so that what
    measures the program may tell what it saw."""
    from gearchest.cli.streams import release

    if os.environ.get("GEARCHEST_DEBUG"):
        sys.exit(release(code))
    atexit._run_exitfuncs()
    os._exit(release(code))


def _at_once(number: int, frame: FrameType | None) -> NoReturn:
    """End while modules are half loaded: nothing is open yet, so nothing needs clearing away."""
    os._exit(Exit.INTERRUPTED)


if __name__ == "__main__":
    run()
