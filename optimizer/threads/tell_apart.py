"""How to tell two threads apart: by a longer count, the diameter, depth, taper or the flanks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gearchest.optimizer.threads.crests import crests
from gearchest.optimizer.threads.forms import FORMS, profile
from gearchest.optimizer.threads.identify import (
    OWN_LEAD,
    Candidate,
    Catalogued,
    Identification,
    by_pitch,
)
from gearchest.optimizer.threads.measurement import RULE, Measured

MOST_LENGTH = 150.0
"""mm: a count along more is not made with a rule on a bolt. Common practice, no source."""

NEAR = 1e-3
"""Of the likelihood of the first: what is less likely is not worth telling apart."""

SAME_ANGLE = 4.0
"""Degrees: angles nearer than this are not told apart against the light. Common practice, no
source: 55 and 60 are, 29 and 30 are not."""


SEEN_DEPTH = 0.3
"""mm: depths of thread nearer than this are not told apart with a caliper. Common practice, no
source."""


@dataclass(frozen=True)
class LongerCount:
    """So many threads, or turns, are `lengths` mm long, one for each of the two."""

    threads: int
    lengths: tuple[float, float]


@dataclass(frozen=True)
class Apart:
    """What tells one thread from another, or one pitch (`names`); what does not is None.

    `count`: over how many threads a rule tells them, where `reachable` along what a rule takes.
    `diameters`: the crests of each as made, least and most in mm, where they leave a gap that the
    caliper sees. `angles`: between the flanks, in degrees. `tapers`: where one is a taper.
    `depths`: from crest to root outside, mm, where a caliper sees them differ.
    """

    names: tuple[str, str]
    count: LongerCount | None
    reachable: bool
    diameters: tuple[tuple[float, float], tuple[float, float]] | None = None
    angles: tuple[float, float] | None = None
    tapers: tuple[float, float] | None = None
    depths: tuple[float, float] | None = None

    @property
    def measurable(self) -> bool:
        """Whether rule and caliper tell them apart."""
        return bool(self.reachable or self.diameters)


def tell_apart(found: Identification) -> Apart | None:
    """What would tell the first two candidates apart with the tools of the measurement; where no
    diameter was measured, the first two pitches. None where nothing else comes near."""
    groups = by_pitch(found)
    if found.measured.diameter is not None:
        groups = [(candidate,) for candidate in found.candidates]
    if len(groups) < 2:
        return None
    likely = [sum(candidate.likelihood for candidate in group) for group in groups[:2]]
    if likely[1] < NEAR * likely[0]:
        return None
    one, other = (_fixed(group) for group in groups[:2])
    if found.measured.diameter is None:
        return _pitches_apart(one, other, found.measured)
    return _threads_apart(one, other, found.measured)


def _fixed(alike: Sequence[Candidate]) -> Candidate:
    """The likeliest whose pitch is no range of practice, if there is one."""
    return next((each for each in alike if each.known.pitches is None), alike[0])


def _pitches_apart(one: Candidate, other: Candidate, measured: Measured) -> Apart:
    """Sizes of one pitch have flanks of many kinds: only a count tells pitches apart."""
    count = _count(one, other, measured)
    names = (str(one.thread.pitch), str(other.thread.pitch))
    return Apart(names, count, _reachable(count))


def _threads_apart(one: Candidate, other: Candidate, measured: Measured) -> Apart:
    count = _count(one, other, measured)
    forms = [FORMS[each.thread.form or "iso"] for each in (one, other)]
    first, second = (form.included_angle_deg for form in forms)
    angles = None
    if first is not None and second is not None and abs(first - second) >= SAME_ANGLE:
        angles = (first, second)
    tapers = (forms[0].taper, forms[1].taper)
    depths = (
        profile(forms[0], one.thread.pitch.mm).depth_mm,
        profile(forms[1], other.thread.pitch.mm).depth_mm,
    )
    return Apart(
        (one.thread.name, other.thread.name),
        count,
        _reachable(count),
        _diameters(one.known, other.known, measured),
        angles,
        tapers if tapers[0] != tapers[1] else None,
        depths if abs(depths[0] - depths[1]) >= SEEN_DEPTH else None,
    )


def _reachable(count: LongerCount | None) -> bool:
    return count is not None and max(count.lengths) <= MOST_LENGTH


def _count(one: Candidate, other: Candidate, measured: Measured) -> LongerCount | None:
    """The fewest threads (turns, where they were counted) whose two lengths no two readings can
    confuse.

    Each length may read off by the error either way, and each thread's own lead by its share:
    n |p1 - p2| > 2 error + n (p1 + p2) share. Practice that is a range has no pitch to count.
    """
    if one.known.pitches or other.known.pitches:
        return None
    turned, error = measured.count.turned, measured.count.error
    pitches = [
        each.thread.pitch.lead_mm if turned else each.thread.pitch.mm for each in (one, other)
    ]
    apart = abs(pitches[0] - pitches[1]) - OWN_LEAD * sum(pitches)
    if apart <= 0:
        return None
    if not measured.count.counted:
        error = float(RULE)
    threads = math.floor(2 * error / apart) + 1
    return LongerCount(threads, (threads * pitches[0], threads * pitches[1]))


def _diameters(
    one: Catalogued, other: Catalogued, measured: Measured
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """The crests where they leave a gap of two errors; wear may still close it."""
    made = [crests(each.thread, inside=measured.inside) for each in (one, other)]
    first, second = made
    if first is None or second is None or one.diameters or other.diameters:
        return None
    gap = max(first.least - second.most, second.least - first.most)
    if gap <= 2 * measured.error:
        return None
    return (first.least, first.most), (second.least, second.most)
