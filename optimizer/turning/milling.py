"""Cutting a thread with a powered cutter: which, how held, how fast fed. mm, degrees.

Speeds and feeds are common practice without a source, unless said.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from gearchest.optimizer.turning.boring import OVERHANG, ROOM
from gearchest.optimizer.turning.cut import Cut
from gearchest.optimizer.turning.cutter import Cutter, Groove, Kind, widening
from gearchest.optimizer.turning.sizes import Sizes

ROUTER_RPM = 18_000.0
"""A router's usual speed, for a bit of two edges."""

WOOD_SPEED = 15.0
"""m/s at the edge of a disc in wood, no faster than ROUTER_RPM."""

METAL_SPEED = 20.0
"""m/min at the edge of a disc of high speed steel in mild steel."""

WOOD_FEED, METAL_FEED = 0.1, 0.03
"""mm a tooth to aim at; wood routers' charts give 0.1 to 0.2."""

LEAST_FEED = {True: 0.05, False: 0.01}
"""mm a tooth, wood or not, below which an edge rubs: it burns wood and goes blunt in metal."""

WOOD_DISC, METAL_DISC = 40.0, 50.0
"""Diameters taken where none is named."""

DISC_TEETH = {True: 3, False: 12}

INSIDE = 0.7
"""Share of the bore that a disc in it has where none is named: bigger ones widen the groove more
and leave no room to come out, smaller ones have a weak shank."""

PACE = 60.0
"""Turns a minute that a hand keeps up on a crank."""


_CLOSE = 1e-6
"""mm: sizes that differ by less are the same."""


class Hindrance(StrEnum):
    """What keeps a cutter from working a nut."""

    UNKNOWN = "the bore is not known"
    WIDE = "it does not come out of its groove"
    NO_SHANK = "nothing is left of its shank"
    SPRINGS = "its shank springs"


@dataclass(frozen=True)
class Milling:
    """`tilt`: of a disc's axis from the work's, 0 for a bit, None where the lead angle is not
    known. `untilted` and `widened`: how much wider than drawn the groove comes out at the pitch
    line, without tilt and with it; None where the flanks are not straight, a diameter is missing
    or the disc does not come out of its groove. `across`: the groove's width at the surface,
    which a bit must have at least. `shank`: the thickest that clears the crests inside a bore,
    `reaches` how far it may stand out; None outside. `path`: mm that the tip goes along the groove
    in a turn of the work.
    `widest`: the disc that still comes out of its groove in this bore, `sunk`: how far the disc
    stands out of its shank all round; None outside, or where the bore is not known.
    """

    cutter: Cutter
    inside: bool
    tilt: float | None
    untilted: float | None
    widened: float | None
    across: float | None
    path: float | None
    shank: float | None = None
    reaches: float | None = None
    widest: float | None = None
    sunk: float | None = None

    def obstacle(self, nut: float) -> Hindrance | None:
        """Why the cutter cannot work a nut of this length, mm; None where it can."""
        if not self.inside:
            return None
        if self.widest is None:
            return Hindrance.UNKNOWN
        if self.cutter.diameter > self.widest + _CLOSE:
            return Hindrance.WIDE
        if self.reaches is None:
            return Hindrance.NO_SHANK
        return None if self.reaches >= nut - _CLOSE else Hindrance.SPRINGS

    def discs(self, nut: float) -> tuple[float, float] | None:
        """The smallest and the widest disc that can work a nut of this length; None where none
        can, or outside."""
        if self.widest is None or self.sunk is None:
            return None
        return _discs(self.widest, self.sunk, nut)


@dataclass(frozen=True)
class Feed:
    """`rpm` of the work and `crank` turns a minute, at which the cutter advances `surface` mm a
    minute along the groove, `tooth` mm a tooth. `slower`: the highest speed that can be set on
    the cutter at which its teeth would not rub, where they do."""

    rpm: float
    crank: float
    surface: float
    tooth: float
    slower: float | None = None


def disc(
    diameter: float, *, wooden: bool, teeth: int | None = None, rpm: float | None = None,
    assumed: bool = False,
) -> Cutter:  # fmt: skip
    """A disc of this diameter; teeth and speed are the usual ones where none are given."""
    metres = WOOD_SPEED * 60 if wooden else METAL_SPEED
    usual = _rounded(min(ROUTER_RPM, 1000 * metres / (math.pi * diameter)))
    return Cutter(Kind.DISC, diameter, teeth or DISC_TEETH[wooden], rpm or usual, assumed)


def _rounded(rpm: float) -> float:
    """Down to two figures, as speeds can be set."""
    step = 10 ** max(0, math.floor(math.log10(rpm)) - 1)
    return float(math.floor(rpm / step) * step)


def bit(
    diameter: float, *, teeth: int | None = None, rpm: float | None = None, assumed: bool = False
) -> Cutter:
    """A router's bit of this diameter."""
    return Cutter(Kind.BIT, diameter, teeth or 2, rpm or ROUTER_RPM, assumed)


def milling(
    sizes: Sizes,
    made: Cut | None,
    lead: float,
    *,
    wooden: bool,
    cutter: Cutter | None = None,
    nut: float = 0.0,
) -> Milling:
    """How a cutter stands in a thread that is cut with `lead` mm a turn; `made` as it is cut, None
    where its form has no figures. `cutter` None: a router's bit in wood outside, else a disc,
    inside one that can work `nut` mm of length where any can."""
    groove = None if made is None else _groove(sizes, made)
    surface = None if made is None else made.blank
    across = None if groove is None else groove.width(groove.top)
    widest = sunk = shank = None
    if sizes.inside and made is not None and made.blank is not None:
        widest, sunk = made.blank - 2 * ROOM, made.depth + ROOM
    if cutter is None:
        cutter = _usual(sizes, surface, across, wooden=wooden)
        if widest is not None and sunk is not None and (able := _discs(widest, sunk, nut)):
            least = min(math.ceil(able[0]), able[1])
            if cutter.diameter < least:
                cutter = disc(least, wooden=wooden, assumed=True)
    if widest is not None and sunk is not None and cutter.diameter <= widest + _CLOSE:
        left = cutter.diameter - 2 * sunk
        shank = left if left > 0 else None
    untilted = widened = None
    tilt = 0.0 if cutter.kind is Kind.BIT else sizes.lead_angle
    if (
        groove is not None
        and made is not None
        and made.pitch_diameter is not None
        and tilt is not None
        and (widest is None or cutter.diameter <= widest + _CLOSE)
    ):
        middle = made.pitch_diameter / 2
        untilted = widening(groove, cutter, lead, 0.0, middle)
        widened = widening(groove, cutter, lead, tilt, middle)
    return Milling(
        cutter,
        sizes.inside,
        tilt,
        untilted,
        widened,
        across,
        None if surface is None else math.hypot(math.pi * surface, lead),
        shank,
        None if shank is None else OVERHANG * shank,
        widest,
        sunk,
    )


def _discs(widest: float, sunk: float, nut: float) -> tuple[float, float] | None:
    """The smallest and the widest disc whose shank reaches through a nut."""
    least = nut / OVERHANG + 2 * sunk
    return (least, widest) if least <= widest else None


def _usual(
    sizes: Sizes, surface: float | None, across: float | None, *, wooden: bool
) -> Cutter:  # fmt: skip
    if wooden and not sizes.inside:
        return bit(math.ceil((across or sizes.pitch_mm) + 2 * ROOM), assumed=True)
    diameter = WOOD_DISC if wooden else METAL_DISC
    if sizes.inside and surface is not None:
        diameter = min(diameter, max(1.0, math.floor(INSIDE * surface)))
    return disc(diameter, wooden=wooden, assumed=True)


def _groove(sizes: Sizes, made: Cut) -> Groove | None:
    flanks = sizes.flanks
    if flanks is None or not flanks.alike or made.blank is None or made.pitch_diameter is None:
        return None
    top = made.blank / 2
    root = top + (made.depth if sizes.inside else -made.depth)
    slope = math.tan(math.radians(flanks.included / 2))
    below = abs(made.pitch_diameter / 2 - root)
    flat = max(0.0, sizes.pitch_mm / 2 - 2 * below * slope)  # half the pitch at the pitch line
    return Groove(root, top, flat, slope)


def feed(found: Milling, turns: float, *, wooden: bool) -> Feed | None:
    """How fast to crank with `turns` of the crank a turn of the work; None without a diameter."""
    if found.path is None:
        return None
    cutter = found.cutter
    bites = cutter.teeth * cutter.rpm
    wanted = (WOOD_FEED if wooden else METAL_FEED) * bites
    rpm = min(wanted / found.path, PACE / turns)
    surface = rpm * found.path
    tooth, least = surface / bites, LEAST_FEED[wooden]
    slower = _rounded(surface / cutter.teeth / least) if tooth < least * (1 - 1e-9) else None
    return Feed(rpm, rpm * turns, surface, tooth, slower)
