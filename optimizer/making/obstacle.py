"""Whether a gear can be had: the one answer that plans, offers and sheets ask for.

A gear that is bought must leave metal between bore or keyway and its teeth. One that is made
must besides be one that some way of the workshop makes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.domain.workshop import Way
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.cutters import cutters_for
from gearchest.optimizer.making.job import GearJob
from gearchest.optimizer.making.measuring import jaws_rest
from gearchest.optimizer.making.tables import Tables

FEWEST_TEETH = 8
"""Below this a 20 degree gear has no tooth left worth the name. Common practice, no source."""

THINNEST_RIM = 0.5
"""Rim / whole depth below which AGMA 2101 gives no rating at all (from memory): refused."""

THINNEST_LAND = 0.1
"""Modules of land at the tip below which a tooth is pointed. Common practice, no source."""


@dataclass(frozen=True)
class Obstacle:
    """Why a gear is not to be had: `why` of this gear, with the cure; `short` as it is said of
    several together. `rim`: it lies with the lathe's bore and keyway."""

    why: str
    short: str
    rim: bool = False


def obstacle(job: GearJob, tables: Tables) -> Obstacle | None:
    """Why a gear cannot be made here; None where it can."""
    return blank_obstacle(job.blank) or (None if ways_here(job, tables) else _milled(job, tables))


def ways_here(job: GearJob, tables: Tables) -> tuple[Way, ...]:
    """The ways of the workshop that make a gear nothing is wrong with."""
    return tuple(
        way
        for way in job.lathe.workshop.ways
        if way is not Way.MILL or _milled(job, tables) is None
    )


def blank_obstacle(blank: Blank) -> Obstacle | None:
    """What speaks against the gear however it is made; None where nothing does."""
    if blank.teeth < FEWEST_TEETH:
        return Obstacle(
            f"{blank.teeth} teeth are too few: the flanks would be cut away. "
            f"{FEWEST_TEETH} is the least.",
            f"fewer than {FEWEST_TEETH} teeth leave no flanks",
        )
    if blank.tip_thickness <= THINNEST_LAND * blank.module:
        return Obstacle(
            f"shifted by {blank.shift:g} the teeth grow pointed: {blank.tip_thickness:.2f} mm of "
            "land at the tip. Shift less.",
            "their teeth would be pointed",
        )
    if blank.shift < 0 and not jaws_rest(blank):  # without a shift 8 teeth have flanks enough
        return Obstacle(
            f"shifted by {blank.shift:g} the undercut takes the flanks away. Shift less.",
            "the undercut would take their flanks away",
        )
    return rim_obstacle(blank)


def rim_obstacle(blank: Blank) -> Obstacle | None:
    """What speaks against boring the gear for this lathe; None where enough metal is left."""
    if blank.rim_share >= THINNEST_RIM:
        return None
    over = "keyway" if blank.keyway else "bore"
    least = THINNEST_RIM * blank.whole_depth
    enough = _teeth_enough(blank)
    short = (
        f"the {over} would leave too little metal under their teeth ({enough} teeth have enough)"
    )
    if blank.rim < 0:
        why = f"The {over} reaches {-blank.rim:.2f} mm into the teeth."
    else:
        why = (
            f"Only {blank.rim:.2f} mm of metal between the {over} and the root of the teeth; at "
            f"least {least:.2f} mm is needed."
        )
    return Obstacle(f"{why} {_cure(blank, enough)}", short, rim=True)


def _teeth_enough(blank: Blank) -> int:
    """The fewest teeth that leave enough metal over this bore."""
    lacking = THINNEST_RIM * blank.whole_depth - blank.rim
    return blank.teeth + math.ceil(2 * lacking / blank.module - 1e-9)


def _cure(blank: Blank, enough: int) -> str:
    """What would let the gear be made: more teeth, or a smaller bore."""
    bore = math.floor(2 * _largest_bore(blank)) / 2
    smaller = f", or bore it {bore:g} mm or less" if bore >= 3 else ""
    return f"From {enough} teeth up it can be made{smaller}."


def _largest_bore(blank: Blank) -> float:
    """mm; the bore that leaves the thinnest rim allowed over it, or over its keyway."""
    reach = blank.cut_root_diameter / 2 - THINNEST_RIM * blank.whole_depth
    if blank.keyway is None:
        return 2 * reach
    half = blank.keyway.width / 2
    return 2 * (math.sqrt(max(0.0, reach**2 - half**2)) - blank.keyway.depth)


def _milled(job: GearJob, tables: Tables) -> Obstacle | None:
    """Why no cutter or no head of this shop mills the gear; None where they do."""
    cutters = tables.cutters
    if not cutters_for(job.blank.teeth, cutters):
        least = min((cutter.teeth_from for cutter in cutters), default=0)
        return Obstacle(
            f"Form cutters begin at {least} teeth. {_OTHERWISE}",
            f"form cutters begin at {least} teeth",
        )
    if job.divides:
        return None
    nearest = min((head.spacing for head in job.heads), key=lambda spacing: spacing.pitch_error)
    head = nearest.way.head.name
    if nearest.hopeless:
        why = f"{head} cannot divide by {job.blank.teeth} at all."
    else:
        why = (
            f"Divided with {head} a tooth may come out {nearest.pitch_error:.3f} mm too thick, "
            f"more than the {job.backlash:.3f} mm of backlash: it would bind. Give it more "
            "backlash, or divide with other plates."
        )
    return Obstacle(f"{why} {_OTHERWISE}", f"{_heads(job)} would leave teeth that bind")


_OTHERWISE = 'Printed or cut from plate it needs neither: ways = ["print"] under [workshop].'


def _heads(job: GearJob) -> str:
    return " and ".join(dict.fromkeys(head.head.name for head in job.heads))
