"""Threads that come in pairs, one of either hand: which of the two is to be cut must be asked.

Common practice of the cycle trade, no source.
"""

from __future__ import annotations

from fractions import Fraction

from gearchest.optimizer.domain.pitch import MM_PER_INCH, tpi
from gearchest.optimizer.domain.thread import Thread

_PEDALS = "the left pedal's thread is left-hand, the right one's right-hand"
_BRACKET = (
    "of a threaded bottom bracket the cup on the chain's side is left-hand, the other right-hand"
)

_PAIRS = {
    (Fraction(9, 16), 20): _PEDALS,
    (Fraction(1, 2), 20): _PEDALS,
    (Fraction(11, 8), 24): _BRACKET,
}
"""By diameter in inches and threads to the inch, of the cycle threads."""


def pair_of(thread: Thread) -> str | None:
    """What pair a thread belongs to, and which of it has which hand; None for others."""
    if thread.series != "cycle" or thread.major_mm is None:
        return None
    return next(
        (
            said
            for (inches, threads), said in _PAIRS.items()
            if thread.major_mm == inches * MM_PER_INCH
            and thread.pitch.rational == tpi(threads).rational
        ),
        None,
    )
