"""Which of the gears on offer can be had for a lathe, and what one that is cut here costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.making.cost import Cost, making_costs
from gearchest.optimizer.making.job import GearJob, job_for, job_for_gear
from gearchest.optimizer.making.obstacle import Obstacle, obstacle, rim_obstacle, ways_here
from gearchest.optimizer.making.tables import Tables
from gearchest.optimizer.search.search import Candidates


@dataclass(frozen=True)
class Sifted:
    """Offers sorted into those that can be had and those that cannot, each with the reason."""

    lathe: Lathe
    kept: tuple[Offer, ...]
    left_out: tuple[tuple[Offer, Obstacle], ...]

    @property
    def candidates(self) -> Candidates:
        """The gears that can be had, each with how many of it."""
        return [(offer.gear, offer.copies) for offer in self.kept]

    def why_not(self, gear: Gear) -> Obstacle | None:
        """Why a gear cannot be had from any of the offers; None where it can or nobody has it."""
        if any(offer.gear == gear for offer in self.kept):
            return None
        return next((why for offer, why in self.left_out if offer.gear == gear), None)

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What was left out and why, a sentence for each reason."""
        reasons: dict[str, list[str]] = {}
        for offer, why in self.left_out:
            cutting = " for cutting" if offer.how == "cut" else ""
            reasons.setdefault(f"Not considered{cutting}, as {why.short}", []).append(
                str(offer.gear)
            )
        notes = [f"{said}: {', '.join(dict.fromkeys(teeth))}." for said, teeth in reasons.items()]
        return (*notes, *self._contradictions())

    def _contradictions(self) -> Sequence[str]:
        """Gears owned that by the lathe file's bore and keyway could not be."""
        if not any(why.rim for _, why in self.left_out):
            return ()
        making = self.lathe.making
        owned = [gear for gear, _ in self.lathe.chest.loose if gear.module == making.module]
        thin = [str(g) for g in owned if rim_obstacle(job_for(self.lathe, g.teeth).blank)]
        if not thin:
            return ()
        return (
            f"Yet gears of {', '.join(dict.fromkeys(thin))} teeth are owned: see whether bore and "
            "keyway in the lathe file are right.",
        )


def sift(lathe: Lathe, offers: Sequence[Offer], tables: Tables) -> Sifted:
    """The offers that can be had for a lathe, in their order.

    A gear to buy must leave metal over the lathe's bore and keyway, one to cut must be one that
    can be made here.
    """
    judged = [(offer, _obstacle(lathe, offer, tables)) for offer in offers]
    return Sifted(
        lathe,
        tuple(offer for offer, why in judged if why is None),
        tuple((offer, why) for offer, why in judged if why is not None),
    )


def _obstacle(lathe: Lathe, offer: Offer, tables: Tables) -> Obstacle | None:
    job = job_for_gear(lathe, offer.gear)
    return obstacle(job, tables) if offer.how == "cut" else rim_obstacle(job.blank)


def cheapest(job: GearJob, tables: Tables) -> Cost | None:
    """What a gear costs that is made here; None where no price of its material is known."""
    costs = making_costs(job.lathe, job.blank, ways_here(job, tables), tables)
    return costs[0] if costs else None
