"""Why a train does not mount, in the shop's terms, with millimetres and degrees."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.lathe import Banjo
from gearchest.optimizer.result import Clearance
from gearchest.optimizer.train import Train


@dataclass(frozen=True)
class Misfit:
    """One reason. `amount` in mm (degrees for the swing) ranks postures by how near they
    come."""

    amount: float
    text: str

    @staticmethod
    def past_slot(stud: str, past: float, end: str, slot: int, slots: int) -> Misfit:
        which = "the slot" if slots == 1 else f"slot {slot}"
        return Misfit(past, f"{stud} would sit {_mm(past)} beyond the {end} end of {which}")

    @staticmethod
    def past_swing(degrees: float) -> Misfit:
        return Misfit(
            degrees, f"the arm would have to swing {_number(degrees)} degrees past its stop"
        )

    @staticmethod
    def touching(clearance: Clearance, gap: float) -> Misfit:
        one, other = clearance.between.split(" and ", 1)
        if clearance.mm < 0:
            return Misfit(gap - clearance.mm, f"{one} strikes {other} by {_mm(-clearance.mm)}")
        return Misfit(
            gap - clearance.mm,
            f"{one} clears {other} by only {_mm(clearance.mm)}; {_mm(gap)} is wanted",
        )

    @staticmethod
    def over_cover(teeth: int, amount: float) -> Misfit:
        return Misfit(amount, f"the {teeth} overtops the cover by {_mm(amount)}")


def closing_misfit(banjo: Banjo, train: Train) -> str:
    """Why a chain of gears does not close on the arm at all."""
    lengths = train.spans
    axis = banjo.axis_distance
    if len(lengths) == 1:
        off = lengths[0] - axis
        return (
            f"in direct mesh the {train.drivers[0]} and the {train.driven[0]} need shafts "
            f"{_mm(lengths[0])} apart: {_mm(abs(off))} too {'much' if off > 0 else 'little'}"
        )
    total = sum(lengths)
    if total < axis:
        return (
            f"the gears reach {_mm(total)} from shaft to shaft, but the axis distance is "
            f"{_mm(axis)}: {_mm(axis - total)} short"
        )
    longest = max([*lengths, axis])
    rest = total + axis - longest
    if longest > rest:
        return (
            f"one pair stands {_mm(longest)} apart and the others cannot come round to it: "
            f"{_mm(longest - rest)} too much"
        )
    return "no place in the slots brings the studs to the distances these gears need"


def _number(value: float) -> str:
    """Two significant digits below ten, else whole tenths; never "0.0" for a real misfit."""
    if value >= 10:
        return f"{value:.0f}" if value >= 100 else f"{value:.1f}"
    return f"{value:.1f}" if value >= 0.1 else f"{value:.2g}"


def _mm(value: float) -> str:
    return f"{_number(value)} mm"
