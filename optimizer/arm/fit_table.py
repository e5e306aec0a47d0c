"""Which of many trains mount: the closed forms of the arm, over arrays.

A train's demands come apart. Neighbouring shafts stand as far apart as their gears mesh, so
what must pass between neighbours is known from the teeth alone; the first driver's and the
screw's shaft are `axis_distance` apart; and only the distances from the first driver's shaft
to the second stud and from the first stud to the screw depend on the posture. So the cheap
demands are tested first, and postures are worked out once for every pair of spans on the
studs' side and shared by all trains.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np

from gearchest.optimizer.arm.closing import DIRECT_TOLERANCE, in_arm
from gearchest.optimizer.arm.placement import hub_radius
from gearchest.optimizer.arm.shop_rule import SHOP_RULE_TEETH
from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small
from gearchest.optimizer.domain.lathe import LENGTH_TOLERANCE, Banjo, Lathe, Slot
from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.domain.stock import Stock


class FitTable:
    """Fit of trains made from one stock on one lathe."""

    def __init__(self, lathe: Lathe, stock: Stock) -> None:
        self._banjo = lathe.banjo
        self._stock = stock
        limit = self._banjo.largest_tip_diameter if self._banjo else None
        self._tip_limit = math.inf if limit is None else limit / 2 + LENGTH_TOLERANCE
        # A span is told by mesh class and tooth sum, so that equal spans are equal numbers.
        self._stride = 2 * int(stock.teeth.max(initial=0)) + 1

    def mask(self, layout: Layout, seats: Small) -> Bools:
        """Which rows of `seats` fit: (n, seats) gear indices in mesh order from the first
        driver; every mesh must already be between gears of one class."""
        if self._banjo is None:
            return self._shop_rule(layout, seats)
        alive = np.flatnonzero(self._passes_neighbours(self._banjo, layout, seats))
        spans = self._span_ids(layout, seats[alive])
        if layout.studs == 0:
            fits = np.abs(self._lengths(spans[0]) - self._banjo.axis_distance)
            good = fits <= DIRECT_TOLERANCE + LENGTH_TOLERANCE
        elif layout.studs == 1:
            good = self._one_stud[spans[0], spans[1]]
        else:
            good = self._two_studs(self._banjo, layout, seats[alive], spans)
        result = np.zeros(len(seats), dtype=np.bool_)
        result[alive[good]] = True
        return result

    def _shop_rule(self, layout: Layout, seats: Small) -> Bools:
        module = 2 * self._stock.half_module[seats]
        teeth = self._stock.teeth[seats]
        good = np.ones(len(seats), dtype=np.bool_)
        for k in range(layout.stages - 1):
            a, b, c, d = (module[:, i] * teeth[:, i] for i in range(2 * k, 2 * k + 4))
            past_c, past_b = (SHOP_RULE_TEETH * module[:, i] for i in (2 * k + 2, 2 * k + 1))
            good &= (a + b >= c + past_c - LENGTH_TOLERANCE) & (
                c + d >= b + past_b - LENGTH_TOLERANCE
            )
        return good

    def _passes_neighbours(self, banjo: Banjo, layout: Layout, seats: Small) -> Bools:
        """Everything but the distances that depend on the posture."""
        distances = self._known_distances(banjo, layout, seats)
        good: Bools = np.all(self._stock.tip_radius[seats] <= self._tip_limit, axis=1)
        for one, other, room in self._demands(banjo, layout, seats):
            distance = distances.get((one, other))
            if distance is not None:
                good = good & (distance >= room - LENGTH_TOLERANCE)
        return good

    def _known_distances(
        self, banjo: Banjo, layout: Layout, seats: Small
    ) -> dict[tuple[int, int], Floats | float]:
        last = layout.studs + 1
        known: dict[tuple[int, int], Floats | float] = {(0, last): banjo.axis_distance}
        for shaft, ids in enumerate(self._span_ids(layout, seats)):
            known[shaft, shaft + 1] = self._lengths(ids)
        return known

    def _demands(self, banjo: Banjo, layout: Layout, seats: Small) -> list[tuple[int, int, Floats]]:
        """(shaft, further shaft, least distance between them), mm."""
        columns = {seat: k for k, seat in enumerate(s for stage in layout.seats for s in stage)}
        tips = self._stock.tip_radius
        found = [
            (a.shaft, b.shaft, tips[seats[:, columns[a]]] + tips[seats[:, columns[b]]] + banjo.gap)
            for a, b in layout.tip_pairs
        ]
        for seat, shaft in layout.hub_pairs:
            one, other = sorted((seat.shaft, shaft))
            reach = hub_radius(banjo, layout, shaft) + banjo.gap
            found.append((one, other, tips[seats[:, columns[seat]]] + reach))
        return found

    def _span_ids(self, layout: Layout, seats: Small) -> list[Ints]:
        """For each pair of neighbouring shafts, from the first driver's, its span's number."""
        ids: list[Ints] = []
        column = 0
        for stage in layout.seats:
            for k in range(column, column + len(stage) - 1):
                one, other = seats[:, k], seats[:, k + 1]
                total = self._stock.teeth[one] + self._stock.teeth[other]
                ids.append(self._stock.mesh_class[one] * self._stride + total)
            column += len(stage)
        return ids

    @cached_property
    def _all_lengths(self) -> Floats:
        classes = int(self._stock.mesh_class.max(initial=0)) + 1
        half = np.zeros(classes)
        half[self._stock.mesh_class] = self._stock.half_module
        lengths: Floats = np.outer(half, np.arange(self._stride)).ravel()
        return lengths

    def _lengths(self, ids: Ints) -> Floats:
        lengths: Floats = self._all_lengths[ids]
        return lengths

    @cached_property
    def _one_stud(self) -> Bools:
        """By span from the driver's shaft and span to the screw: whether a posture exists."""
        assert self._banjo is not None
        to_driver, to_screw = self._all_lengths[:, None], self._all_lengths[None, :]
        good = np.zeros((len(to_driver), len(to_driver)), dtype=np.bool_)
        for slot in self._banjo.slots:
            for sign in (1.0, -1.0):
                along, placed = _along(slot, to_screw, sign)
                own = math.radians(slot.angle) + np.arctan2(slot.offset, along)
                for arm, closes in _arm_angles(self._banjo, to_screw, own, to_driver):
                    good |= placed & closes & _in_swing(self._banjo, arm)
        return good

    def _two_studs(self, banjo: Banjo, layout: Layout, seats: Small, spans: list[Ints]) -> Bools:
        """Rows for which some posture leaves the posture-dependent distances wide enough."""
        need = {(0, 2): np.full(len(seats), -np.inf), (1, 3): np.full(len(seats), -np.inf)}
        for one, other, room in self._demands(banjo, layout, seats):
            if (one, other) in need:
                np.maximum(need[one, other], room - LENGTH_TOLERANCE, out=need[one, other])
        good = np.zeros(len(seats), dtype=np.bool_)
        pair = spans[1] * len(self._all_lengths) + spans[2]
        for placed, radius, own, own_second in self._stud_pairs:
            rows = np.flatnonzero(~good & placed[pair] & (radius[pair] >= need[1, 3]))
            if not len(rows):
                continue
            at = pair[rows]
            to_driver, to_screw = self._lengths(spans[0][rows]), self._lengths(spans[2][rows])
            for arm, closes in _arm_angles(banjo, radius[at], own[at], to_driver):
                across = (
                    banjo.axis_distance**2
                    + to_screw**2
                    - 2 * banjo.axis_distance * to_screw * np.cos(arm + own_second[at])
                )
                wide = np.sqrt(np.maximum(across, 0.0)) >= need[0, 2][rows]
                good[rows[closes & wide & _in_swing(banjo, arm)]] = True
        return good

    @cached_property
    def _stud_pairs(self) -> list[tuple[Bools, Floats, Floats, Floats]]:
        """For every choice of slots and roots, by (span between the studs, span to the
        screw): whether both studs stand in their slots, the first stud's distance from the
        screw, and both studs' directions from it in the arm's own frame (radians)."""
        assert self._banjo is not None
        between, to_screw = (
            a.ravel() for a in np.meshgrid(self._all_lengths, self._all_lengths, indexing="ij")
        )
        tables = []
        for second in self._banjo.slots:
            for sign in (1.0, -1.0):
                along, placed = _along(second, to_screw, sign)
                if not placed.any():
                    continue
                x, y = in_arm_array(second, along)
                for first in self._banjo.slots:
                    b = math.radians(first.angle)
                    foot = x * math.cos(b) + y * math.sin(b)
                    across = y * math.cos(b) - x * math.sin(b) - first.offset
                    for root in (1.0, -1.0):
                        step, real = _root(between**2 - across**2)
                        t = foot + root * step
                        both = placed & real & _in_slot(first, t)
                        if both.any():
                            px, py = in_arm_array(first, t)
                            radius = np.hypot(px, py)
                            own, own_second = np.arctan2(py, px), np.arctan2(y, x)
                            tables.append((both & (radius > 0), radius, own, own_second))
        return tables


def in_arm_array(slot: Slot, along: Floats) -> tuple[Floats, Floats]:
    """`arm.in_arm` for many positions along one slot."""
    (ux, uy), (x0, y0) = in_arm(Slot(0, 0, slot.angle, 0.0), 1.0), in_arm(slot, 0.0)
    return x0 + along * ux, y0 + along * uy


def _root(square: Floats) -> tuple[Floats, Bools]:
    return np.sqrt(np.maximum(square, 0.0)), square >= -LENGTH_TOLERANCE


def _in_slot(slot: Slot, along: Floats) -> Bools:
    return (along >= slot.start - LENGTH_TOLERANCE) & (along <= slot.end + LENGTH_TOLERANCE)


def _along(slot: Slot, radius: Floats, sign: float) -> tuple[Floats, Bools]:
    """Positions along a slot at `radius` from the screw, and whether they lie in it."""
    root, real = _root(radius**2 - slot.offset**2)
    along = sign * root
    return along, real & _in_slot(slot, along)


def _arm_angles(
    banjo: Banjo, radius: Floats, own: Floats, to_driver: Floats
) -> list[tuple[Floats, Bools]]:
    """Both mirror positions: arm angles (radians) that bring a stud at (radius, own) in the
    arm's frame to `to_driver` from the first driver's shaft, and whether it can be."""
    with np.errstate(divide="ignore", invalid="ignore"):
        cosine = (radius**2 + banjo.axis_distance**2 - to_driver**2) / (
            2 * radius * banjo.axis_distance
        )
        closes = np.abs(cosine) <= 1.0 + 1e-12
        angle = np.arccos(np.clip(cosine, -1.0, 1.0))
    return [(angle - own, closes), (-angle - own, closes)]


def _in_swing(banjo: Banjo, arm: Floats) -> Bools:
    first, last = banjo.swing
    if last - first >= 360.0:
        return np.ones(arm.shape, dtype=np.bool_)
    with np.errstate(invalid="ignore"):
        turned = (np.degrees(arm) - first) % 360.0
    width = (last - first) % 360.0
    inside: Bools = (turned <= width + LENGTH_TOLERANCE) | (turned >= 360.0 - LENGTH_TOLERANCE)
    return inside
