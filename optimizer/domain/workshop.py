"""What a workshop has and charges itself for making gears."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction


class Way(StrEnum):
    """How a gear is made."""

    MILL = "mill"  # form cutter and dividing head
    PRINT = "print"
    PLATE = "plate"  # cut from plate by laser, water jet, wire


@dataclass(frozen=True)
class Workshop:
    """Prices in the user's own money; every default is common practice without a source.

    `hourly_rate` for one's own time; `setup_hours` to turn the blank and set up the head;
    `minutes_per_tooth` while cutting. `material_price` a kilogram (None: the material's
    usual). `cutter_price` for one form cutter; `cutters`: those owned, each by the lowest
    tooth count engraved on it, whatever its number. `backlash` mm along the pitch circle of
    a pair (None: 0.04 m); `dial_division` mm of depth on the mill; `outline_offset` mm added all
    round a printed or plate-cut outline (half the kerf; negative for a printer that prints
    fat). `ways`: how gears can be made here.
    """

    hourly_rate: Fraction = Fraction(10)
    setup_hours: Fraction = Fraction(1)
    minutes_per_tooth: Fraction = Fraction(1)
    material_price: Fraction | None = None
    cutter_price: Fraction = Fraction(30)
    cutters: tuple[int, ...] = ()
    backlash: float | None = None
    dial_division: float = 0.02
    outline_offset: float = 0.0
    ways: tuple[Way, ...] = (Way.MILL,)
