"""How far off one pitch many combinations are: in floats, and exactly where it matters."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cached_property

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Floats, Ints, Small
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.stock import Stock
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.search.columns import across
from gearchest.optimizer.search.combine import Combos

SLACK = 1e-12
"""Relative widening of float windows; what falls into it is compared exactly."""


class PitchRatios:
    """From drivers/driven to actual/wanted pitch, by setting: a factor n/d, times pi or 1/pi
    where just one of the two pitches carries pi."""

    def __init__(self, leadscrew: Pitch, wanted: Pitch, settings: tuple[Setting, ...]) -> None:
        lead = leadscrew.lead.rational / wanted.lead.rational
        self.exact = [s.first_driver_turns * s.gearbox_ratio * lead for s in settings]
        self.irrational = math.pi ** (int(leadscrew.pi) - int(wanted.pi))
        self._factor = np.array([float(exact) for exact in self.exact]) * self.irrational

    def bounds(
        self, allowed: Fraction, beyond: Fraction | None, side: int
    ) -> tuple[Floats, Floats]:
        """Lowest and highest drivers/driven, a trifle too wide: of all errors up to `allowed`,
        or of those below (`side` -1) or above (1) that lie `beyond`."""
        low = 1 - allowed if side <= 0 else 1 + (beyond or 0)
        high = 1 + allowed if side >= 0 else 1 - (beyond or 0)
        lowest: Floats = max(float(low), 1e-9) / self._factor * (1 - SLACK)
        highest: Floats = float(high) / self._factor * (1 + SLACK)
        return lowest, highest

    def errors(self, stock: Stock, combos: Combos, setting: Small) -> Floats:
        """Signed relative errors; exactly 0.0 where the error is zero."""
        top, bottom = _products(stock, combos)
        if self.irrational == 1.0 and self._whole(top, bottom):
            n, d = self._whole_factors
            below = bottom * d[setting]
            error: Floats = (top * n[setting] - below) / below
            return error
        error = top / bottom * self._factor[setting] - 1.0
        if self.irrational == 1.0:
            error[np.abs(error) < SLACK] = 0.0
        return error

    def _whole(self, top: Ints, bottom: Ints) -> bool:
        """Whether the products stay within whole numbers of 64 bits."""
        n = max(exact.numerator for exact in self.exact)
        d = max(exact.denominator for exact in self.exact)
        return max(int(top.max(initial=1)) * n, int(bottom.max(initial=1)) * d) < 1 << 62

    @cached_property
    def _whole_factors(self) -> tuple[Ints, Ints]:
        """Numerators and denominators; only where they are known to be small enough."""
        return (
            np.array([exact.numerator for exact in self.exact], dtype=np.int64),
            np.array([exact.denominator for exact in self.exact], dtype=np.int64),
        )

    def within(
        self, stock: Stock, combos: Combos, error: Floats, setting: Small, allowed: Fraction
    ) -> Bools:
        """|error| <= allowed, exactly where the error is rational."""
        if not allowed and self.irrational == 1.0 and self._whole(*_products(stock, combos)):
            none: Bools = error == 0.0
            return none
        excess = np.abs(error) - float(allowed)
        good: Bools = excess <= 0.0
        if self.irrational == 1.0:
            for row in np.flatnonzero(np.abs(excess) <= SLACK):
                top = math.prod(stock.teeth[combos.drivers[row]].tolist())
                bottom = math.prod(stock.teeth[combos.driven[row]].tolist())
                exact = self.exact[setting[row]]
                good[row] = abs(exact * top / bottom - 1) <= allowed
        return good


def _products(stock: Stock, combos: Combos) -> tuple[Ints, Ints]:
    """Of the teeth of the drivers, and of the driven gears."""
    return (
        across(np.multiply, stock.teeth, combos.drivers),
        across(np.multiply, stock.teeth, combos.driven),
    )
