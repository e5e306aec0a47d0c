"""What a lathe file leaves unsaid, and what to measure."""

from __future__ import annotations

from collections.abc import Iterator

from gearchest.optimizer.domain.lathe import Banjo, Lathe
from gearchest.optimizer.domain.tooth import USUAL_FACE

FIVE = (
    ("axis_distance", "from the centre of the first driver's shaft to that of the screw shaft"),
    ("slots", "from the screw shaft's centre to the stud's, pushed to each end of the slot"),
    ("swing", "how far the arm turns both ways from the line between the two shafts, in degrees"),
    ("driver_hub, stud_hub, screw_hub", "the diameter of what stands proud on each shaft"),
    ("largest_tip_diameter", "the biggest gear that runs with the cover closed"),
)
"""The five measurements that turn "unchecked" into "yes": keys of [banjo], what to measure."""


def missing_measurements(lathe: Lathe) -> list[str]:
    """One line for each thing the file leaves out, with what follows from it."""
    return [*_arm(lathe.banjo), *_rest(lathe)]


def _arm(banjo: Banjo | None) -> Iterator[str]:
    if banjo is None:
        yield (
            'the arm is not measured: every answer will be "unchecked". Five measurements in '
            '[banjo] turn that into "yes":'
        )
        for number, (keys, what) in enumerate(FIVE, start=1):
            yield f"  {number}. {keys}: {what}"
        return
    hubs = [key for key in ("driver_hub", "stud_hub", "screw_hub") if getattr(banjo, key) == 0]
    if hubs:
        yield (
            f"{', '.join(hubs)} unmeasured (0): measure the nut or washer on the shaft, or a "
            "gear may strike it and still be said to fit"
        )
    if banjo.largest_tip_diameter is None:
        yield "no largest_tip_diameter: no gear is too big for the cover"
    if banjo.swing[1] - banjo.swing[0] >= 360:
        yield "no swing: the arm is taken to turn all the way round"


def _rest(lathe: Lathe) -> Iterator[str]:
    if lathe.making.face_width is None:
        yield (
            f"no face_width: teeth are taken to be of {lathe.making.material} and {USUAL_FACE} "
            "modules wide; narrower or weaker ones bear less"
        )
    if lathe.lowest_rpm is None:
        yield "no lowest_rpm: overrun at the slowest speed is not worked out"
    if lathe.spindle_nose is None:
        yield "no spindle_nose: sheets warn of a chuck that unscrews wherever the lathe is reversed"
    if lathe.bed.carriage_travel is None:
        yield "no carriage_travel: whether a thread fits the bed is not checked"
    if lathe.half_nuts and not lathe.thread_dials:
        yield (
            "no thread_dials: where not any place will do, the half-nuts may be opened with the "
            "spindle standing only"
        )
