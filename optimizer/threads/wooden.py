"""What a wooden thread is taken for: its form where none is named, and the play of its nut.

Common practice throughout, no source.
"""

from __future__ import annotations

from gearchest.optimizer.domain.pitch import MM_PER_INCH, Pitch

COARSE_WOOD = MM_PER_INCH / 5
"""mm; wooden screws coarser than 5 to the inch are taken as 90 degree ones if nothing is said."""

NUT_CLEARANCE, LEAST_CLEARANCE = 0.02, 0.5
"""Share of the diameter a wooden nut is let out by, and mm at least: a screw swells across the
grain with the weather and with oil."""


def wooden_angle(pitch: Pitch) -> int:
    """Degrees between the flanks of a wooden V where nobody names its form."""
    return 90 if pitch.rational > COARSE_WOOD else 60


def nut_clearance(major: float) -> float:
    """mm on the diameter between a wooden screw of `major` > 0 mm and its nut."""
    return max(LEAST_CLEARANCE, NUT_CLEARANCE * major)


def nut_thickness(major: float) -> float:
    """mm of thread in a wooden nut where nothing is said: it is as thick as its screw."""
    return major
