"""Whether one train mounts, where everything then stands, and why not if it does not."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from gearchest.optimizer.arm.closing import Posture, past_swing, postures
from gearchest.optimizer.arm.misfit import Misfit, closing_misfit
from gearchest.optimizer.arm.result import Clearance, Fit, Fits, Placement, StudPosition
from gearchest.optimizer.arm.shop_rule import shop_rule_misfits
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import LENGTH_TOLERANCE, ORDINALS, Banjo, Lathe
from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.domain.train import Train


def fit(lathe: Lathe, train: Train) -> Fit:
    """Mount a train on the lathe's arm.

    Of all postures that fit the one with the widest tightest clearance is taken. Where none
    fits, the misfits are those of the posture that comes nearest. Without a measured arm the
    shop rule stands in and nothing is claimed beyond "unchecked".
    """
    if lathe.banjo is None:
        broken = shop_rule_misfits(train)
        return _misfit(broken) if broken else Fit(Fits.UNCHECKED)
    mounted = [
        _Mounted(lathe.banjo, train, posture) for posture in postures(lathe.banjo, train.spans)
    ]
    if not mounted:
        return _misfit([closing_misfit(lathe.banjo, train), *cover_misfits(lathe.banjo, train)])
    fitting = [m for m in mounted if m.fits]
    if not fitting:
        nearest = min(mounted, key=lambda m: (len(m.misfits), sum(x.amount for x in m.misfits)))
        return _misfit(nearest.misfits, nearest.placement)
    # Mirror positions differ by rounding alone: a nanometre decides nothing.
    widest = max(fitting, key=lambda m: round(m.tightest, 9))
    return Fit(Fits.YES, widest.placement)


def _misfit(reasons: list[Misfit], placement: Placement | None = None) -> Fit:
    return Fit(
        Fits.NO,
        placement,
        tuple(reason.text for reason in reasons),
        tuple(reason.cure for reason in reasons),
        sum(reason.amount for reason in reasons),
    )


def hub_radius(banjo: Banjo, layout: Layout, shaft: int) -> float:
    """mm; radius of what stands proud on a shaft."""
    if shaft == 0:
        return banjo.driver_hub / 2
    return (banjo.screw_hub if shaft == layout.studs + 1 else banjo.stud_hub) / 2


def shaft_name(layout: Layout, shaft: int) -> str:
    """A shaft as the shop names it."""
    if shaft == 0:
        return "the first driver's shaft"
    if shaft == layout.studs + 1:
        return "the screw shaft"
    return "the stud" if layout.studs == 1 else f"the {ORDINALS[shaft - 1]} stud"


@dataclass(frozen=True)
class _Mounted:
    """A train in one posture."""

    banjo: Banjo
    train: Train
    posture: Posture

    @property
    def placement(self) -> Placement:
        by_shaft: dict[int, list[Gear]] = {}
        for seat, gear in self.train.seated:
            by_shaft.setdefault(seat.shaft, []).append(gear)
        studs = tuple(
            StudPosition(slot, position, x, y, tuple(by_shaft[shaft]))
            for shaft, (slot, position, (x, y)) in enumerate(
                zip(
                    self.posture.slots,
                    self.posture.positions,
                    self.posture.shafts[1:-1],
                    strict=True,
                ),
                start=1,
            )
        )
        return Placement(self.posture.arm_angle, studs, self.clearances)

    @cached_property
    def clearances(self) -> tuple[Clearance, ...]:
        """Every clearance, tightest first."""
        layout, centres = self.train.layout, self.posture.shafts
        gears = dict(self.train.seated)
        found = [
            Clearance(
                math.dist(centres[a.shaft], centres[b.shaft])
                - gears[a].tip_radius
                - gears[b].tip_radius,
                f"the {gears[a]}",
                f"the {gears[b]}",
            )
            for a, b in layout.tip_pairs
        ]
        found += [
            Clearance(
                math.dist(centres[seat.shaft], centres[shaft])
                - gears[seat].tip_radius
                - hub_radius(self.banjo, layout, shaft),
                f"the {gears[seat]}",
                f"the nut on {shaft_name(layout, shaft)}",
                2 * hub_radius(self.banjo, layout, shaft),
            )
            for seat, shaft in layout.hub_pairs
        ]
        return tuple(sorted(found, key=lambda c: (round(c.mm, 9), c.between)))

    @property
    def tightest(self) -> float:
        return self.clearances[0].mm if self.clearances else math.inf

    @property
    def fits(self) -> bool:
        """Whether all is well; the quick questions come first."""
        return not (
            self._slot_misfits()
            or self._swing_misfits()
            or self._touching()
            or cover_misfits(self.banjo, self.train)
        )

    @cached_property
    def misfits(self) -> list[Misfit]:
        """Why this posture will not do; [] if it fits."""
        return [
            *self._slot_misfits(),
            *self._swing_misfits(),
            *self._touching(),
            *cover_misfits(self.banjo, self.train),
        ]

    def _slot_misfits(self) -> list[Misfit]:
        found = []
        pairs = zip(self.posture.slots, self.posture.positions, strict=True)
        for shaft, (index, position) in enumerate(pairs, start=1):
            slot = self.banjo.slots[index]
            for past, end in ((slot.start - position, "inner"), (position - slot.end, "outer")):
                if past > LENGTH_TOLERANCE:
                    stud = shaft_name(self.train.layout, shaft)
                    found.append(Misfit.past_slot(stud, past, end, index, self.banjo))
        return found

    def _swing_misfits(self) -> list[Misfit]:
        angle = self.posture.arm_angle
        past = 0.0 if angle is None else past_swing(self.banjo, angle)
        return [Misfit.past_swing(past)] if past > 0.0 else []

    def _touching(self) -> list[Misfit]:
        return [
            Misfit.touching(clearance, self.banjo.gap)
            for clearance in self.clearances
            if clearance.mm < self.banjo.gap - LENGTH_TOLERANCE
        ]


def cover_misfits(banjo: Banjo, train: Train) -> list[Misfit]:
    """The gears too big for the cover, each count once."""
    limit = banjo.largest_tip_diameter
    if limit is None:
        return []
    over = {
        gear.teeth: 2 * gear.tip_radius - limit
        for gear in train.gears
        if 2 * gear.tip_radius > limit + LENGTH_TOLERANCE
    }
    return [Misfit.over_cover(teeth, amount) for teeth, amount in sorted(over.items())]
