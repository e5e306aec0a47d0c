"""How good a train is for a want: demerits, and what settles the choice among equals.

A good machinist takes the exact train, or the nearest, unless it is hard on the teeth, and of
equals the simplest. Load is a limit and not the first aim, so neither share counts while it
is small:

    hard = max(0, ceil(20 x tooth share) - 10)     nothing up to half of what a tooth bears
    off  = ceil(10 x error share)                  nothing only without error
    demerits = hard^2 + off^2, and 1000 more where the tooth share is above 1

A rule of this program's own. Shares are compared with SPARE to spare, so that the same train
wins on every machine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from gearchest.optimizer.domain.arrays import Floats, Ints
from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.pitch import magnitude, relative_error
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.strength.loads import tooth_share

SPARE = 1e-9

_MOST = 1e4
"""Error shares beyond count as this: an error where none is allowed has an infinite one."""

OVERLOAD = 1000
"""Demerits more where a tooth carries more than it bears."""

NOT_COVERED = 200
"""What a want that is not covered counts, so that sets of different coverage compare."""


@dataclass(frozen=True)
class Merit:
    """How a train stands to a want. `tooth_share`: the largest share of what a tooth bears, at
    the torque of the end that drives; None where it can't be known. `error_share`: |error| over
    the allowance; infinite beyond an allowance of nothing."""

    driven_from: Drive
    tooth_share: float | None
    error_share: float
    demerits: int

    @property
    def overloaded(self) -> bool:
        """Whether a tooth is known to carry more than it bears."""
        return self.tooth_share is not None and self.tooth_share > 1.0 + SPARE


def merit(lathe: Lathe, want: Want, train: Train) -> Merit:
    """Judge one train for one want, from exact fractions."""
    error = magnitude(relative_error(train.ratio, lathe.leadscrew, want.pitch))
    share = tooth_share(lathe, train)
    of_allowance = error_share(error, want.allowed_on(lathe))
    return Merit(
        lathe.policy.driven_from(train.ratio), share, of_allowance, demerits(share, of_allowance)
    )


def error_share(error: Fraction | float, allowed: Fraction) -> float:
    """|error| over the allowance, for an error >= 0."""
    if not error:
        return 0.0
    return float(error / allowed) if allowed > 0 else math.inf


def demerits(tooth: float | None, error: float) -> int:
    """Demerits of a tooth share (None: unknown, which adds nothing) and an error share."""
    hard = 0 if tooth is None else max(0, math.ceil(20 * (tooth - SPARE)) - 10)
    off = math.ceil(10 * (min(error, _MOST) - SPARE)) if error else 0
    over = OVERLOAD if tooth is not None and tooth > 1.0 + SPARE else 0
    return hard**2 + max(off, 1 if error else 0) ** 2 + over


def many_demerits(tooth: Floats, error: Floats) -> Ints:
    """`demerits` of many trains; a tooth share that is not a number is unknown."""
    known = np.where(np.isnan(tooth), 0.0, tooth)
    hard = np.maximum(0.0, np.ceil(20 * (known - SPARE)) - 10)
    far = np.minimum(error, _MOST)
    off = np.maximum(1.0, np.ceil(10 * (far - SPARE))) * (error > 0.0)
    total = hard * hard + off * off + OVERLOAD * (known > 1.0 + SPARE)
    whole: Ints = total.astype(np.int64)
    return whole


def error_shares(error: Floats, allowed: Fraction) -> Floats:
    """|error| over the allowance; an allowance of nothing admits no error."""
    if allowed <= 0:
        return np.where(error == 0.0, 0.0, np.inf)
    shares: Floats = np.abs(error) / float(allowed)
    return shares
