"""What the scripts of this room draw with, each as the module it repeats: one set of figures."""

from __future__ import annotations

from gearchest.optimizer.arm.clearances import DECIMALS
from gearchest.optimizer.arm.geometry import COSINE_SLACK, DIRECT_TOLERANCE
from gearchest.optimizer.domain.lathe import LENGTH_TOLERANCE
from gearchest.reports.drawing import lettering, planes, schematic, train


def constants() -> dict[str, object]:
    """By script."""
    return {
        "mounting": {
            "tolerance": LENGTH_TOLERANCE,
            "direct": DIRECT_TOLERANCE,
            "cosine": COSINE_SLACK,
            "decimals": DECIMALS,
            "bends": schematic.BENDS,
        },
        "lettering": lettering.constants(),
        "train": train.constants(),
        "planes": planes.constants(),
    }
