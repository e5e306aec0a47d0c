"""A thread worth having, and how much lead error it can bear."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.thread import Thread


class Use(StrEnum):
    """What a thread is for; decides its allowance where nothing nearer does."""

    FASTENER = "fastener"
    TRAVEL = "travel"
    WOOD = "wood"
    WORM = "worm"
    FEED = "feed"
    PLAIN = "plain"


@dataclass(frozen=True)
class Allowance:
    """Largest |relative lead error| a thread can bear, inclusive, and the reason in one line.

    `ruled` is False where no rule applies and a bare default stands in.
    """

    relative: Fraction
    why: str = ""
    ruled: bool = True

    def share(self, error: Fraction | float) -> float:
        """|error| over what is allowed: 0 without error, infinite where none is allowed."""
        if error == 0:
            return 0.0
        return abs(float(error)) / float(self.relative) if self.relative else math.inf


@dataclass(frozen=True)
class Want:
    """One thread to cover. `weight` > 0 is how much covering it is worth.

    `diameter` (mm) is what was given beside the pitch or size; `major_mm` the one that counts.
    `inside`: an internal thread. `engaged` (mm): how much of it engages where that was said.
    `series` is the thread catalog the want came from, `series_title` what that calls itself,
    both "" for a single pitch or size; maps group by it.
    """

    name: str
    pitch: Pitch
    allowance: Allowance
    weight: Fraction = Fraction(1)
    use: Use = Use.PLAIN
    thread: Thread | None = None
    diameter: Fraction | None = None
    left: bool = False
    inside: bool = False
    engaged: Fraction | None = None
    series: str = ""
    series_title: str = ""

    @property
    def major_mm(self) -> Fraction | None:
        """The nominal major diameter: the one given, else the size's own; None: not known."""
        own = self.thread.major_mm if self.thread else None
        return own if self.diameter is None else self.diameter
