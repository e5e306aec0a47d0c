"""Turning by hand: at the screw's end or at the spindle. Torques N m, lengths mm."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.domain.lathe import Drive

CRANK_FORCE = 50.0
"""N a hand keeps up on a crank (common practice, no source)."""

STRETCH = 100.0
"""mm of thread that turns are counted for where no length is asked."""


@dataclass(frozen=True)
class Crank:
    """`torque` at the crank, its least `length` for a `hand_force` in N. `advance`: mm of carriage
    a turn. A pass of `run` mm, or STRETCH where `run` is None, takes `a_pass` turns; the whole
    job of `passes` passes `job`, cranked back between them where `back`."""

    end: Drive
    torque: float
    hand_force: float
    advance: float
    run: float | None = None
    passes: int = 0
    back: bool = False

    @property
    def length(self) -> float:
        """Of the crank, at least."""
        return 1000 * self.torque / self.hand_force

    @property
    def a_pass(self) -> float:
        """Turns of the crank for one pass."""
        return (STRETCH if self.run is None else self.run) / self.advance

    @property
    def job(self) -> float:
        """Turns of the crank for all passes, and back where the carriage is cranked back."""
        return self.a_pass * self.passes * (2 if self.back else 1)
