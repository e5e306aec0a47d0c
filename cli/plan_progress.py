"""How far a plan has come, on standard error: one live line, or plain lines where nobody
watches."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TYPE_CHECKING

from gearchest.cli.output import tell, terminal
from gearchest.cli.targets import STANDARD_OUTPUT
from gearchest.optimizer.domain.pitch import format_fraction
from gearchest.optimizer.plan.planner import SEARCH
from gearchest.optimizer.plan.watch import Progress, Watch

if TYPE_CHECKING:
    from rich.console import Console
    from rich.status import Status

TICKING = "gears to tick"
"""The objective shown while the report's what-if table is worked out."""

_EVERY = 5.0
"""Seconds between plain lines of one step."""


class Teller:
    """Shows progress. Plain lines come for every new step, and every few seconds."""

    def __init__(self, screen: Console | None, watch: Watch) -> None:
        self._screen = screen
        self._watch = watch
        self._status: Status | None = None
        self._told: tuple[int | None, str] | None = None
        self._next = 0.0

    def start(self) -> None:
        """Begin the live line where there is a terminal that can take it back."""
        if self._screen and self._screen.is_terminal and not self._screen.is_dumb_terminal:
            self._status = self._screen.status("reading")
            self._status.start()

    def stop(self) -> None:
        """Take the live line away."""
        if self._status:
            self._status.stop()

    def report(self, progress: Progress) -> None:
        """Hear of progress."""
        seconds = self._watch.seconds
        if self._status:
            self._status.update(_line(progress, seconds))
            return
        about = (progress.most, progress.objective)
        if about != self._told or seconds >= self._next:
            self._told, self._next = about, seconds + _EVERY
            tell(_line(progress, seconds))


def _line(progress: Progress, seconds: float) -> str:
    best = "-" if progress.best is None else format_fraction(progress.best)
    bound = "-" if progress.bound is None else format_fraction(progress.bound)
    if progress.objective in (SEARCH, TICKING):
        about = "looking for trains" if progress.objective == SEARCH else "for ticking gears"
        return f"{about}: {best} of {bound} pitches, {seconds:.1f} s"
    step = "cheapest set" if progress.most is None else f"step {progress.most}"
    return f"{step}, {progress.objective}: best so far {best}, bound {bound}, {seconds:.1f} s"


@contextmanager
def watching(time_limit: float | None) -> Iterator[Watch]:
    """A watch whose progress is shown, and which the first Ctrl-C stops.

    The second Ctrl-C ends the program at once.
    """
    watch = Watch(time_limit)
    teller = Teller(terminal(STANDARD_OUTPUT), watch)
    watch.report = teller.report

    def stop(number: int, frame: FrameType | None) -> None:
        signal.signal(signal.SIGINT, before)
        watch.stop()
        print("stopping: the best so far is kept; press again to give up", file=sys.stderr)

    before = signal.signal(signal.SIGINT, stop)
    teller.start()
    try:
        yield watch
    finally:
        teller.stop()
        signal.signal(signal.SIGINT, before)
