"""The combinations of one pitch that could still be chosen, where there are too many to make all.

A layer holds what lacks so many gears, the nearest to the pitch first. What is further off costs
more, whatever it is; so a layer ends where nothing that lacks so many gears could cost less than
what is known to lack some of them, and on the way gears drop out that are of no use beyond.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.arrays import Bools
from gearchest.optimizer.domain.layout import Layout
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.search.asking import Ask
from gearchest.optimizer.search.combine import lack_count
from gearchest.optimizer.search.costs import Costs
from gearchest.optimizer.search.fronts import Fronts, less
from gearchest.optimizer.search.trains import PitchWindow

FEW = 100_000
"""So many combinations of a pitch are made at once."""

_MANY = 400_000
"""Combinations made at a time, about, where there are more."""

_FIRST = (Fraction(1, 100), Fraction(1, 10))
"""The first times it is these shares of them: the nearest trains leave little to look for."""

_WORTH = 0.8
"""Gears without use are left out where fewer than this share of all are of use."""

_FINE = 10**9
"""Widths are whole parts of the allowance."""


@dataclass(frozen=True)
class Layers:
    """The combinations of a layout without idlers, within the allowance that `costs` are for."""

    costs: Costs
    layout: Layout
    pitch: Pitch
    ask: Ask
    later: list[PitchWindow] = field(default_factory=list)

    def lacking(self, level: int, fronts: Fronts) -> Iterator[PitchWindow]:
        """Those that lack exactly `level` gears, levels being asked for in turn; all that are
        not beaten by what `fronts` hold by then."""
        search, allowed = self.costs.search, self.costs.allowed
        before, self.later[:] = self.later[:], []
        now = [self._sorted_out(part, level, fronts) for part in before]
        every = search.halves_of(self.layout.stages)
        halves, useful = every, None
        beyond: Fraction | None = None
        upto, turn = Fraction(0), 0
        while allowed >= 0 and upto < 1:
            floor = self.costs.least(self.layout.stages, beyond)
            still = self._useful(level, fronts, floor)
            if not still.any():
                break
            if level and still.mean() < _WORTH and (useful is None or (useful != still).any()):
                halves = (every[0].with_only(still), every[1].with_only(still))
            useful = still
            about = search.joined(halves, level, level) * float(allowed)
            if about * float(1 - upto) <= _MANY:
                upto = Fraction(1)
            elif beyond is not None:
                wide = Fraction(max(1, round(_FINE * _MANY / about)), _FINE)
                upto = min(Fraction(1), upto + wide * (_FIRST[turn] if turn < len(_FIRST) else 1))
                turn += 1
            lack = level, level
            for part in search.parts(self.pitch, allowed * upto, halves, lack, self.ask, beyond):
                now.append(self._sorted_out(part, level, fronts))
            beyond = allowed * upto
            if now:
                yield PitchWindow.stack(now)
            now = []
        if now:
            yield PitchWindow.stack(now)

    def _sorted_out(self, part: PitchWindow, level: int, fronts: Fronts) -> PitchWindow:
        """What lacks so many gears and is not beaten; what lacks more is put by."""
        floor = self.costs.floor(self.layout, part)
        part = part.take(less(floor, fronts.limit(part.lacks, floor)))
        now = lack_count(part.lacks) == level
        if not now.all():
            self.later.append(part.take(~now))
        return part.take(now)

    def _useful(self, level: int, fronts: Fronts, floor: tuple[int, ...]) -> Bools:
        """By candidate, whether what lacks it among others could cost so little and not be
        beaten; of level 0, whether anything could."""
        search = self.costs.search
        kinds = len(search.stock.candidates) if level else 1
        lacks = np.full((kinds, search.most_missing), -1, dtype=np.int16)
        if level:
            lacks[:, 0] = np.arange(kinds)
        floors = np.tile(np.array(floor, dtype=np.int64), (kinds, 1))
        return less(floors, fronts.limit(lacks, floors))
