"""Whether the lathe's change gears go on a dividing head's shafts."""

from __future__ import annotations

from enum import StrEnum

from gearchest.optimizer.domain.lathe import DividingHead, GearMaking
from gearchest.optimizer.domain.tooth import read_keyway


class ShaftFit(StrEnum):
    """How the lathe's gears sit on the shafts of a head."""

    YES = "yes"
    BUSHED = "bushed"  # with a bush or another key
    NO = "no"  # the bore is too small for the shafts
    UNKNOWN = "unknown"


def shaft_fit(head: DividingHead, making: GearMaking) -> ShaftFit:
    """By bore and keyway; UNKNOWN where the lathe file leaves out one of the bores."""
    if head.bore is None or making.bore is None:
        return ShaftFit.UNKNOWN
    if making.bore < head.bore:
        return ShaftFit.NO
    same = making.bore == head.bore and read_keyway(head.keyway) == read_keyway(making.keyway)
    return ShaftFit.YES if same else ShaftFit.BUSHED
