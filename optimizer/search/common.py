"""The gears that are to be had where nothing says otherwise."""

from __future__ import annotations

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.search.search import Candidates

COMMON_TEETH = range(16, 128)
"""Tooth counts of change gears in trade. Common practice, no source."""


def common_gears(lathe: Lathe) -> Candidates:
    """Every common tooth count in the lathe's own module, any number of each."""
    return [(lathe.making.gear(teeth), None) for teeth in COMMON_TEETH]
