"""How long a solve may go on, and what it says on the way."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from gearchest.optimizer.search.asking import Ask, SearchStoppedError


@dataclass(frozen=True)
class Progress:
    """Where a solve stands: at most `most` gears (None: as many as it takes), the objective at
    work, the best value so far and the bound it is known to keep within (None while there is
    none)."""

    most: int | None
    objective: str
    best: Fraction | None
    bound: Fraction | None


class StoppedError(Exception):
    """The watch stops what was under way."""


GRACE = 0.4
"""Seconds that work may take which is begun though the time is up: a plan holds at least the lathe
as it is, as far as that is soon known."""


@dataclass
class Watch:
    """A deadline and a stop button. `time_limit` in s, None for no limit; counts from the
    creation of the watch. `report` hears of progress. `grace` in s: see `GRACE`."""

    time_limit: float | None = None
    report: Callable[[Progress], None] = lambda progress: None
    interrupted: bool = False
    grace: float = GRACE
    _started: float = field(default_factory=time.monotonic)

    def stop(self) -> None:
        """Ask the solve to end soon with the best it has."""
        self.interrupted = True

    def asked(self, until: float | None = None) -> Ask:
        """What a search may ask that begins now: it ends where the watch is over, or so many
        seconds since the start are, but not before the grace."""
        begun = self.seconds

        def ask() -> None:
            seconds = self.seconds
            over = self.over or (until is not None and seconds > until)
            if over and seconds - begun >= self.grace:
                raise SearchStoppedError

        return ask

    def check(self) -> None:
        """Raise `StoppedError` where it is time to stop."""
        if self.over:
            raise StoppedError

    @property
    def seconds(self) -> float:
        """Time since the start, s."""
        return time.monotonic() - self._started

    @property
    def remaining(self) -> float | None:
        """Time left, s, at least 0; None without a limit."""
        if self.time_limit is None:
            return None
        return max(0.0, self.time_limit - self.seconds)

    @property
    def over(self) -> bool:
        """Whether to stop."""
        return self.interrupted or self.remaining == 0.0

    @property
    def why(self) -> str:
        """What stopped the solve; "" while nothing has."""
        if self.interrupted:
            return "interrupted"
        return "time limit" if self.over else ""
