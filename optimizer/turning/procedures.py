"""What to do at the lathe, step by step. Shop practice, no source."""

from __future__ import annotations

from gearchest.optimizer.turning.half_nuts import HalfNuts
from gearchest.optimizer.turning.mounting import PAPER
from gearchest.optimizer.turning.work import Starts

BACKLASH = (
    f"A strip of writing paper ({PAPER}) between the teeth of each mesh: push the gears "
    "together, tighten, wind the paper out. It comes out creased, not cut. Screw side first, "
    "the swing of the arm last."
)

PICK_UP = (
    "Half-nuts closed, tool clear of the work.",
    "Turn the spindle forward until screw, gears and nuts have taken up their slack.",
    "Bring the tool into the groove with top slide and cross-slide, spindle standing.",
    "Wind on half a turn forward: the tool still fills the groove. Set both dials to zero.",
)

SET_BACK = (
    "Half-nuts open, reversing lever to neutral.",
    "Top slide back to its usual angle, dials re-zeroed.",
    "Feed train and gearbox lever back; paper between the teeth again.",
    "Belt or plug back in, cover closed, spindle turned once by hand.",
)


def carriage_back(nuts: HalfNuts) -> str:
    """How to bring the carriage back for the next pass."""
    if nuts.may_open:
        return "Tool out, half-nuts open, carriage back by its handwheel, close as told here."
    if nuts.may_open is None:
        return "Keep the half-nuts closed and reverse the lathe, tool out, unless the step fits."
    return "Tool out, then reverse the lathe with everything engaged, past the start of the thread."


def next_start(starts: Starts) -> str:
    """How to pass to the next start of a multi-start thread."""
    slide = f"move the top slide, set along the work, on by one pitch, {starts.pitch:.4g} mm"
    if starts.teeth is None:
        return (
            f"Next start: {starts.first_driver} teeth of the first driver do not divide by "
            f"{starts.starts} starts; {slide}."
        )
    return (
        f"Next start: mark the first driver's mesh, part it, turn the spindle until the driver "
        f"has moved on {starts.teeth} of its {starts.first_driver} teeth, mesh again; or {slide}."
    )
