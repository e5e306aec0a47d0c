"""Which of many trains mount: the closed forms of the arm, over arrays.

A train's demands come apart. Neighbouring shafts stand as far apart as their gears mesh, so
what must pass between neighbours is known from the teeth alone; the first driver's and the
screw's shaft are `axis_distance` apart; and only the distances from the first driver's shaft
to the second stud and from the first stud to the screw depend on the posture. So the cheap
demands are tested first, and where studs can stand is worked out once for every span, or pair of
spans, on the studs' side and shared by all trains. (Triples would be too many: with more than
two studs it is worked out train by train.)
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from gearchest.optimizer.arm.clearances import kept_apart
from gearchest.optimizer.arm.geometry import (
    COSINE_SLACK,
    along_slot,
    arm_cosine,
    in_arm,
    meshes_directly,
    within_slot,
    within_swing,
)
from gearchest.optimizer.arm.result import Hub
from gearchest.optimizer.arm.shop_rule import shop_rule_room
from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small
from gearchest.optimizer.domain.lathe import LENGTH_TOLERANCE, Banjo, Lathe
from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.domain.stock import Stock

_ZERO: Floats = np.zeros(())


@dataclass(frozen=True)
class _Studs:
    """One choice of slots and roots, over arrays: whether every stud stands in its slot, and
    each stud's distance from the screw and direction from it (radians) in the arm's own frame,
    the first driver's side first."""

    placed: Bools
    radius: tuple[Floats, ...]
    direction: tuple[Floats, ...]

    def distance(self, one: int, other: int) -> Floats:
        """From one stud to another or to the screw, shafts counted from the first driver's."""
        if other > len(self.radius):
            return self.radius[one - 1]
        angle = self.direction[one - 1] - self.direction[other - 1]
        return _opposite(self.radius[one - 1], self.radius[other - 1], angle)


class FitTable:
    """Fit of trains made from one stock on one lathe."""

    def __init__(self, lathe: Lathe, stock: Stock) -> None:
        self._banjo = lathe.banjo
        self._stock = stock
        self._under_cover = np.array(
            [not self._banjo or self._banjo.clears_cover(gear.tip_radius) for gear in stock.gears]
        )
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
            good = meshes_directly(self._banjo, self._lengths(spans[0]))
        elif layout.studs == 1:
            good = self._one_stud[spans[0], spans[1]]
        else:
            good = self._several_studs(self._banjo, layout, seats[alive], spans)
        result = np.zeros(len(seats), dtype=np.bool_)
        result[alive[good]] = True
        return result

    def _shop_rule(self, layout: Layout, seats: Small) -> Bools:
        module = 2 * self._stock.half_module[seats]
        teeth = self._stock.teeth[seats]
        good = np.ones(len(seats), dtype=np.bool_)
        for k in range(layout.stages - 1):
            a, b, c, d = (module[:, i] * teeth[:, i] for i in range(2 * k, 2 * k + 4))
            past_c = shop_rule_room(a, b, c, module[:, 2 * k + 2])
            past_b = shop_rule_room(c, d, b, module[:, 2 * k + 1])
            good &= (past_c >= -LENGTH_TOLERANCE) & (past_b >= -LENGTH_TOLERANCE)
        return good

    def _passes_neighbours(self, banjo: Banjo, layout: Layout, seats: Small) -> Bools:
        """Everything but the distances that depend on the posture."""
        distances = self._known_distances(banjo, layout, seats)
        good: Bools = np.all(self._under_cover[seats], axis=1)
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
        found = []
        for one, other in kept_apart(banjo, layout):
            reach = other.radius if isinstance(other, Hub) else tips[seats[:, columns[other]]]
            least = tips[seats[:, columns[one]]] + reach + banjo.gap
            found.append((min(one.shaft, other.shaft), max(one.shaft, other.shaft), least))
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
        for studs in _ways_to_stand(self._banjo, [to_screw]):
            radius, direction = studs.radius[0], studs.direction[0]
            for _, fits in _arm_angles(self._banjo, radius, direction, to_driver):
                good |= studs.placed & fits
        return good

    def _several_studs(
        self, banjo: Banjo, layout: Layout, seats: Small, spans: list[Ints]
    ) -> Bools:
        """Rows for which some posture leaves the posture-dependent distances wide enough."""
        need: dict[tuple[int, int], Floats] = {}
        for one, other, room in self._demands(banjo, layout, seats):
            if other - one > 1 and (one, other) != (0, layout.studs + 1):
                least = room - LENGTH_TOLERANCE
                need[one, other] = np.maximum(need.get((one, other), least), least)
        if layout.studs == 2:
            ways, at = self._two_studs, spans[1] * len(self._all_lengths) + spans[2]
        else:
            ways = list(_ways_to_stand(banjo, [self._lengths(ids) for ids in spans[1:]]))
            at = np.arange(len(seats))
        good = np.zeros(len(seats), dtype=np.bool_)
        for way in ways:
            rows = np.flatnonzero(~good & way.placed[at])
            for (one, other), least in need.items():
                if one > 0:
                    rows = rows[way.distance(one, other)[at[rows]] >= least[rows]]
            if not len(rows):
                continue
            radius = [radii[at[rows]] for radii in way.radius]
            direction = [directions[at[rows]] for directions in way.direction]
            to_driver = self._lengths(spans[0][rows])
            for arm, fits in _arm_angles(banjo, radius[0], direction[0], to_driver):
                for (one, other), least in need.items():
                    if one == 0:
                        turned = arm + direction[other - 1]
                        across = _opposite(banjo.axis_distance, radius[other - 1], turned)
                        fits &= across >= least[rows]
                good[rows[fits]] = True
        return good

    @cached_property
    def _two_studs(self) -> list[_Studs]:
        """By span between two studs and span to the screw, in one row."""
        assert self._banjo is not None
        between, to_screw = np.meshgrid(self._all_lengths, self._all_lengths, indexing="ij")
        return list(_ways_to_stand(self._banjo, [between.ravel(), to_screw.ravel()]))


def _ways_to_stand(
    banjo: Banjo, spans: Sequence[Floats], centre: tuple[Floats, Floats] = (_ZERO, _ZERO)
) -> Iterator[_Studs]:
    """For every choice of slots and roots that lets some studs stand: studs `spans` apart, the
    last of them from `centre`."""
    *others, span = spans
    for slot in banjo.slots:
        along, across = along_slot(slot, *centre)
        square = span**2 - across**2
        root = np.sqrt(np.maximum(square, 0.0))
        for position in (along + root, along - root):
            placed = (square >= -LENGTH_TOLERANCE) & within_slot(slot, position)
            if not placed.any():
                continue
            x, y = in_arm(slot, position)
            last = _Studs(placed, (np.hypot(x, y),), (np.arctan2(y, x),))
            if not others:
                yield last
                continue
            for way in _ways_to_stand(banjo, others, (x, y)):
                yield _Studs(
                    way.placed & placed,
                    way.radius + last.radius,
                    way.direction + last.direction,
                )


def _arm_angles(
    banjo: Banjo, radius: Floats, direction: Floats, to_driver: Floats
) -> list[tuple[Floats, Bools]]:
    """Both mirror positions: arm angles (radians) that bring the first stud to `to_driver` from
    the first driver's shaft, and whether that can be, within the swing."""
    with np.errstate(divide="ignore", invalid="ignore"):
        cosine = arm_cosine(banjo, radius, to_driver)
        closes = np.abs(cosine) <= 1.0 + COSINE_SLACK
        angle = np.arccos(np.clip(cosine, -1.0, 1.0))
        return [
            (arm, closes & within_swing(banjo, np.degrees(arm)))
            for arm in (angle - direction, -angle - direction)
        ]


def _opposite(one: Floats | float, other: Floats, angle: Floats) -> Floats:
    """The side opposite the `angle` (radians) between two sides (law of cosines)."""
    square = one**2 + other**2 - 2 * one * other * np.cos(angle)
    side: Floats = np.sqrt(np.maximum(square, 0.0))
    return side
