"""What the number of leadscrew turns per spindle turn asks of the lathe."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction


class Effort(StrEnum):
    """How hard the screw is to turn from the spindle."""

    LIGHT = "light"
    USUAL = "as far as makers' charts usually go"
    HEAVY = "beyond what makers' charts usually go"
    CRANK = "drive from the leadscrew end"


def bands(crank_above: Fraction) -> tuple[tuple[Fraction, Effort], ...]:
    """(above so many leadscrew turns a spindle turn, what that asks), the most turns first; above
    `crank_above` > 0 the screw is driven from its own end (common practice, no source)."""
    return (
        (crank_above, Effort.CRANK),
        (Fraction(2), Effort.HEAVY),
        (Fraction(1), Effort.USUAL),
        (Fraction(0), Effort.LIGHT),
    )


def effort(screw_turns: Fraction, crank_above: Fraction) -> Effort:
    """The band of a pitch by its leadscrew turns per spindle turn, > 0. The number belongs to the
    pitch: other gears for it change the tooth load only."""
    return next(asked for above, asked in bands(crank_above) if screw_turns > above)
