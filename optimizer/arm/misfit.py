"""Why a train does not mount, in the shop's terms, with millimetres and degrees."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.arm.result import Clearance, Hub
from gearchest.optimizer.domain.lathe import Banjo
from gearchest.optimizer.domain.layout import Layout, Seat
from gearchest.optimizer.domain.train import Train


@dataclass(frozen=True)
class Misfit:
    """One reason. `amount` in mm says how far off it is, and so which miss is the nearest;
    `cure` is the dimension that would have to change, and to what."""

    amount: float
    text: str
    cure: str

    @staticmethod
    def past_slot(stud: str, position: float, number: int, banjo: Banjo) -> Misfit:
        which, slot = banjo.slot_name(number), banjo.slots[number]
        inner = position < slot.start
        end, past = ("inner", slot.start - position) if inner else ("outer", position - slot.end)
        return Misfit(
            past,
            f"{stud} would sit {_mm(past)} beyond the {end} end of {which}",
            f"{which} {'starting from' if inner else 'reaching to'} {_mm(position)}",
        )

    @staticmethod
    def past_swing(degrees: float, radius: float) -> Misfit:
        """An arm that would have to swing so far past its stop; `radius`: mm from the screw to
        the outermost stud. So far off is the arc which that stud lacks."""
        return Misfit(
            math.radians(degrees) * radius,
            f"the arm would have to swing {_number(degrees)} degrees past its stop",
            f"{_number(degrees)} degrees more swing",
        )

    @staticmethod
    def touching(train: Train, clearance: Clearance, gap: float) -> Misfit:
        one, other = part_name(train, clearance.one), part_name(train, clearance.other)
        short = gap - clearance.mm
        if clearance.mm < 0:
            text = f"{one} strikes {other} by {_mm(-clearance.mm)}"
        else:
            text = f"{one} clears {other} by only {_mm(clearance.mm)}; {_mm(gap)} is wanted"
        if isinstance(clearance.other, Hub) and clearance.other.radius > short:
            return Misfit(short, text, f"{other} turned down by {_mm(2 * short)} in diameter")
        return Misfit(short, text, f"{_mm(short)} more between the shafts of {one} and {other}")

    @staticmethod
    def too_few_studs(needed: int, there: int) -> Misfit:
        """A train over more studs than there are; no measure tells how far off that is."""
        studs = "1 stud" if there == 1 else f"{there} studs"
        return Misfit(
            math.inf,
            f"it hangs over {needed} studs, and the lathe file tells of {studs}",
            f"{needed} studs on the arm; if they are there, studs = {needed} in the lathe file",
        )

    @staticmethod
    def over_cover(teeth: int, amount: float) -> Misfit:
        return Misfit(
            amount,
            f"the {teeth} overtops the cover by {_mm(amount)}",
            f"room for a tip diameter {_mm(amount)} larger under the cover",
        )


def part_name(train: Train, part: Seat | Hub) -> str:
    """A gear of a train, or what stands proud on a shaft, as the shop names it."""
    if isinstance(part, Hub):
        return f"the nut on {shaft_name(train.layout, part.shaft)}"
    return f"the {dict(train.seated)[part]}"


def shaft_name(layout: Layout, shaft: int) -> str:
    """A shaft as the shop names it."""
    if shaft == 0:
        return "the driver's shaft"
    if shaft == layout.studs + 1:
        return "the screw shaft"
    return "the stud" if layout.studs == 1 else layout.shaft_names()[shaft]


def closing_misfit(banjo: Banjo, train: Train) -> Misfit:
    """Why a chain of gears does not close on the arm at all."""
    lengths, axis = train.spans, banjo.axis_distance
    if len(lengths) == 1:
        off = lengths[0] - axis
        return Misfit(
            abs(off),
            f"in direct mesh the {train.drivers[0]} and the {train.driven[0]} need shafts "
            f"{_mm(lengths[0])} apart: {_mm(abs(off))} too {'much' if off > 0 else 'little'}",
            f"an axis distance of {_mm(lengths[0])} instead of {_mm(axis)}",
        )
    total, longest = sum(lengths), max(lengths)
    if total < axis:
        return Misfit(
            axis - total,
            f"the gears span {_mm(total)}, but the shafts are {_mm(axis)} apart: "
            f"{_mm(axis - total)} short",
            f"an axis distance of at most {_mm(total)} instead of {_mm(axis)}",
        )
    rest = total - longest + axis
    if longest > rest:
        return Misfit(
            longest - rest,
            f"one pair needs shafts {_mm(longest)} apart, the others and the axis distance "
            f"come to {_mm(rest)}: {_mm(longest - rest)} too much",
            f"an axis distance of at least {_mm(axis + longest - rest)} instead of {_mm(axis)}",
        )
    return Misfit(
        longest,
        "no place in the slots brings the studs to the distances these gears need",
        "a slot at another angle or offset",
    )


def _number(value: float) -> str:
    """Tenths, whole numbers bare; thousandths where a tenth would read as nothing."""
    return f"{value:.1f}".removesuffix(".0") if value >= 0.05 else f"{value:.3f}"


def _mm(value: float) -> str:
    return f"{_number(value)} mm"
