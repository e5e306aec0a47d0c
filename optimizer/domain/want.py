"""A thread worth having, and how much lead error it can bear."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe
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
class Travel:
    """What a feed screw is held to: the relative error of train and leadscrew together, and the
    travel grade's name, "" where it was asked for as a figure."""

    whole: Fraction
    grade: str = ""

    def left(self, screw_error: Fraction | None) -> Fraction:
        """What a leadscrew of this relative error, in the worst case of the train's sign, leaves
        to the train; below 0 where it errs more than the whole, all of it where it is not known."""
        return self.whole - (screw_error or 0)


@dataclass(frozen=True)
class Allowance:
    """Largest |relative lead error| a thread can bear, inclusive, and the reason in one line.

    `ruled` is False where no rule applies and a bare default stands in. `travel` is what a feed
    screw is held to; `relative` is then what the leadscrew leaves to the train, below 0 where not
    even a train without error would do. `judged`: what it is the error of where that is more
    than the train's, or should be; "" for all but feed screws.
    """

    relative: Fraction
    why: str = ""
    ruled: bool = True
    travel: Travel | None = None
    judged: str = ""

    def share(self, error: Fraction | float) -> float:
        """|error| over what is allowed: 0 without error, infinite where none is allowed."""
        if error == 0:
            return 0.0
        return abs(float(error)) / float(self.relative) if self.relative > 0 else math.inf


@dataclass(frozen=True)
class Want:
    """One thread to cover. `weight` > 0 is how much covering it is worth.

    `diameter` (mm) is what was given beside the pitch or size; `major_mm` the one that counts.
    `inside`: an internal thread. `engaged` (mm): how much of it engages where that was said.
    `mating`: its mate exists, and was not cut with its train.
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
    mating: bool = False
    series: str = ""
    series_title: str = ""

    @property
    def major_mm(self) -> Fraction | None:
        """The nominal major diameter: the one given, else the size's own; None: not known."""
        own = self.thread.major_mm if self.thread else None
        return own if self.diameter is None else self.diameter

    def allowed_on(self, lathe: Lathe) -> Fraction:
        """The largest |relative lead error| a train on this lathe may have; below 0: none does."""
        travel = self.allowance.travel
        return self.allowance.relative if travel is None else travel.left(lathe.screw_error)
