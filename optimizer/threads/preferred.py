"""Preferred numbers: the R40 series of ISO 3, to which ISO rounds its thread tolerances."""

from __future__ import annotations

from bisect import bisect
from itertools import pairwise

_DECADE = (
    "10 10.6 11.2 11.8 12.5 13.2 14 15 16 17 18 19 20 21.2 22.4 23.6 25 26.5 28 30 "
    "31.5 33.5 35.5 37.5 40 42.5 45 47.5 50 53 56 60 63 67 71 75 80 85 90 95"
)
_R40 = tuple(float(n) * 10.0**decade for decade in range(-1, 3) for n in _DECADE.split())
_BETWEEN = tuple((a * b) ** 0.5 for a, b in pairwise(_R40))


def preferred(value: float, steps: int = 0) -> int:
    """The R40 number nearest to a value from 1 to 9500 by ratio, so many steps on, as a whole
    number: halves go to the even side, as ISO's tables have it. ValueError outside.

    Four steps are a factor of 1.26, eight of 1.58, forty of 10.
    """
    at = bisect(_BETWEEN, value) + steps
    if not _R40[0] <= value <= _R40[-1] or not 0 <= at < len(_R40):
        raise ValueError(f"{value:g}, {steps} steps on, is outside 1 to 9500")
    return round(_R40[at])
