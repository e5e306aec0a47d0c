"""A thread worth having, and how much lead error it can bear."""

from __future__ import annotations

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


@dataclass(frozen=True)
class Want:
    """One thread to cover. `weight` > 0 is how much covering it is worth.

    `series` is the thread catalog the want came from, "" for a single pitch or size; maps
    group by it.
    """

    name: str
    pitch: Pitch
    allowance: Allowance
    weight: Fraction = Fraction(1)
    use: Use = Use.PLAIN
    thread: Thread | None = None
    left: bool = False
    series: str = ""
