"""Where the crests of a thread lie when a caliper meets them: as made, along a taper, worn.

mm; inside, the crests are those of the nut, between which its bore is measured.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.forms import FORMS, dimensions
from gearchest.optimizer.threads.limit_classes import limits_of
from gearchest.optimizer.threads.metric_limits import limits as metric_limits
from gearchest.optimizer.threads.taper_pipe import gauge_plane

_WORN = 0.15
"""Common practice, no source."""


def worn_by(pitch: float) -> float:
    """mm of diameter that two of three worn threads have lost no more than, for a pitch in mm:
    somewhat less than the tolerance of their crests, which ISO 965-1 and ASME B1.1 let grow with
    P^(2/3)."""
    return _WORN * math.cbrt(pitch) ** 2


@dataclass(frozen=True)
class Crests:
    """`nominal` diameter over (inside: between) the crests, `least` and `most` as made."""

    nominal: float
    least: float
    most: float


@cache
def crests(thread: Thread, *, inside: bool) -> Crests | None:
    """The crests of a thread; None where it has no diameter, or inside no nut.

    Parallel threads: the limits of the usual class of their standard; of a thread whose
    standard has none here, those of ISO 965-1's medium class for its pitch, outside that is
    within 0.2 mm of ASME B1.1 and BS 84. Taper threads: from one end of the useful thread to
    the other.
    """
    sizes = dimensions(thread)
    nominal = sizes.nut_minor_mm if inside else sizes.major_mm
    if nominal is None:
        return None
    if plane := gauge_plane(thread):
        return _along_taper(thread, plane.from_end, plane.useful, plane.major, plane.minor, inside)
    found = limits_of(thread, inside=inside).limits
    least, most = (found.minor if inside else found.major) if found else (None, None)
    if least is None or most is None:
        below, above = _medium(thread.pitch.mm, inside=inside)
        least, most = nominal + below, nominal + above
    return Crests(nominal, least, most)


def _along_taper(
    thread: Thread, from_end: float, useful: float, major: float, minor: float, inside: bool
) -> Crests:
    """Outside from the small end to the last good thread; inside from the face inwards."""
    taper = FORMS[thread.form].taper
    if inside:
        return Crests(minor, minor - useful * taper, minor)
    return Crests(major, major - from_end * taper, major + (useful - from_end) * taper)


def _medium(pitch: float, *, inside: bool) -> tuple[float, float]:
    """How far the limits of 6g and 6H lie from the nominal crest, at the nearest pitch they have:
    mm. The diameter plays no part in them."""
    held = min(max(pitch, 0.5), 8.0)
    found = metric_limits(20.0, held, "6H" if inside else "6g", inside=inside)
    assert found is not None
    least, most = found.minor if inside else found.major
    assert least is not None
    assert most is not None
    if inside:
        return 0.0, (most - least) * pitch / held
    return (least - 20.0) * pitch / held, (most - 20.0) * pitch / held
