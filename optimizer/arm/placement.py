"""Whether one train mounts, where everything then stands, and why not if it does not."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from gearchest.optimizer.arm.clearances import DECIMALS, clearances
from gearchest.optimizer.arm.closing import Posture, postures
from gearchest.optimizer.arm.geometry import past_swing, within_slot
from gearchest.optimizer.arm.misfit import Misfit, closing_misfit, shaft_name
from gearchest.optimizer.arm.result import Clearance, Fit, Fits, Placement, StudPosition
from gearchest.optimizer.arm.shop_rule import shop_rule_misfits
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import LENGTH_TOLERANCE, Banjo, Lathe
from gearchest.optimizer.domain.train import Train


def fit(lathe: Lathe, train: Train) -> Fit:
    """Mount a train on the lathe's arm.

    Of all postures that fit the one with the widest tightest clearance is taken. Where none
    fits, the misfits are those of the posture that comes nearest. Without a measured arm the
    shop rule stands in and nothing is claimed beyond "unchecked".
    """
    if train.layout.studs > lathe.studs:
        return _misfit([Misfit.too_few_studs(train.layout.studs, lathe.studs)])
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
    widest = max(fitting, key=lambda m: round(m.tightest, DECIMALS))
    return Fit(Fits.YES, widest.placement)


def _misfit(reasons: list[Misfit], placement: Placement | None = None) -> Fit:
    return Fit(
        Fits.NO,
        placement,
        tuple(reason.text for reason in reasons),
        tuple(reason.cure for reason in reasons),
        sum(reason.amount for reason in reasons),
    )


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
        return clearances(self.banjo, self.train, self.posture.shafts)

    @property
    def tightest(self) -> float:
        return self.clearances[0].mm if self.clearances else math.inf

    @property
    def fits(self) -> bool:
        return next(self._reasons(), None) is None

    @cached_property
    def misfits(self) -> list[Misfit]:
        """Why this posture will not do; [] if it fits."""
        return list(self._reasons())

    def _reasons(self) -> Iterator[Misfit]:
        """The quick questions come first."""
        yield from self._past_slots()
        if self.posture.arm_angle is not None:
            past = past_swing(self.banjo, self.posture.arm_angle)
            if past > 0.0:
                outermost = max(math.hypot(*stud) for stud in self.posture.shafts[1:-1])
                yield Misfit.past_swing(past, outermost)
        for clearance in self.clearances:
            if clearance.mm < self.banjo.gap - LENGTH_TOLERANCE:
                yield Misfit.touching(self.train, clearance, self.banjo.gap)
        yield from cover_misfits(self.banjo, self.train)

    def _past_slots(self) -> Iterator[Misfit]:
        pairs = zip(self.posture.slots, self.posture.positions, strict=True)
        for shaft, (index, position) in enumerate(pairs, start=1):
            if not within_slot(self.banjo.slots[index], position):
                stud = shaft_name(self.train.layout, shaft)
                yield Misfit.past_slot(stud, position, index, self.banjo)


def cover_misfits(banjo: Banjo, train: Train) -> list[Misfit]:
    """The gears too big for the cover, each count once."""
    limit = banjo.largest_tip_diameter
    over = {
        gear.teeth: 2 * gear.tip_radius - limit
        for gear in train.gears
        if limit is not None and not banjo.clears_cover(gear.tip_radius)
    }
    return [Misfit.over_cover(teeth, amount) for teeth, amount in sorted(over.items())]
