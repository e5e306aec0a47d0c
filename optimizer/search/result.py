"""What a search answers: trains as answers to wants, and whether a want can be cut."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.arm.result import Fit
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.merit import Merit


class Verdict(StrEnum):
    """The state of a want; the first that applies, in this order. The last is no answer: time
    ended before there was one."""

    EXACT = "exact"
    IN_TOLERANCE = "in tolerance"
    DOES_NOT_FIT = "does not fit"
    OFF = "off"
    NO_TRAIN = "no train"
    NOT_LOOKED = "not looked at"

    @property
    def covered(self) -> bool:
        """Whether the want counts as covered."""
        return self in (Verdict.EXACT, Verdict.IN_TOLERANCE)


@dataclass(frozen=True)
class Answer:
    """One train as an answer to one want. `error` = (actual - wanted) / wanted, exact where
    it is rational. `missing`: gears needed beyond those owned, as often as missing."""

    train: Train
    error: Fraction | float
    verdict: Verdict
    fit: Fit
    merit: Merit
    missing: tuple[Gear, ...] = ()


@dataclass(frozen=True)
class Addition:
    """Gears that would make a want reachable, and the train they make."""

    gears: tuple[Gear, ...]
    answer: Answer


@dataclass(frozen=True)
class Reach:
    """Whether one want can be cut, and how.

    `best`: the train to set up, None where none fits within the allowance; `closest`: the
    fitting train with the smallest |error| up to 5 %, allowed or not; `easiest`: within the
    allowance the one with the smallest tooth load; `trains`: those that fit within the
    allowance, the one to set up first, and where there are none the nearest others, nearest
    first; `additions`: where the gears owned do not do, every set of least size that would.
    `misfit`: for a want whose trains compute but do not fit, the one nearest to fitting, and
    `cures`, what would make it fit.
    """

    want: Want
    verdict: Verdict
    best: Answer | None
    closest: Answer | None
    easiest: Answer | None
    trains: tuple[Answer, ...]
    additions: tuple[Addition, ...]
    misfit: Answer | None = None
    cures: tuple[str, ...] = ()


@dataclass(frozen=True)
class WantStep:
    """A want at one step: the train to set up (where none fits within the allowance, the
    nearest that computes, or the nearest fitting one) and its verdict.

    `without_error`: where another was taken, the exact train that is to be set up first of
    those there are. `lathe` names the lathe that cuts it where a plan serves two, else "".
    `settled`: all trains were looked at; else the answer is the best that was found in time.
    """

    verdict: Verdict
    answer: Answer | None
    lathe: str = ""
    without_error: Answer | None = None
    settled: bool = True

    @property
    def overloaded(self) -> bool:
        """Whether the train that cuts it is known to load a tooth with more than it bears."""
        return self.verdict.covered and self.answer is not None and self.answer.merit.overloaded
