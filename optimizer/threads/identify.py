"""Which catalogued threads a measured one can be: likelihoods from what rule and caliper err.

Each thread is given the density that these measurements have if it is the one; the densities,
weighted by how often the series is met, are brought to a sum of 1 (Bayes). Assumed:

- A length is off as a normal error whose two standard deviations are the error said (JCGM 100,
  coverage factor 2); the thread's own lead errs likewise by `OWN_LEAD`.
- One count in twenty is a slip: half a thread or a whole one lost, a rule that slid. It is off by
  a normal error of half a pitch; a pitch read from a gauge, where a wrong leaf was taken, by a
  tenth of it (the contaminated normal of Tukey, 1960; the shares are common practice, no source).
- Crests are as made anywhere between the limits of the standard (`crests`), all alike; one thread
  in five is worn and has lost more, outside smaller, inside bigger, never the other way: a
  half-normal tail (`worn_by`). The share is common practice, no source.
- Practice that is a range (wooden screws) is alike anywhere in it.
- Several starts are met a tenth as often as one each, and thought of only where turns were
  counted: a count of ridges does not see them.

Where nothing was measured of a thing it says nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.thread import Thread, variant
from gearchest.optimizer.threads.crests import Crests, crests, worn_by
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.measurement import Measured

OWN_LEAD = 0.001
"""Share of its lead that a made thread is seldom off by more. Common practice, no source."""

LEAST = 1e-9
"""Share of all below which a thread is no candidate."""

SLIPS = 0.05
LOST_THREAD = 0.5
WRONG_LEAF = 0.1
"""Pitches that a slip of the count, or of the gauge, is off by: one standard deviation."""

WORN = 0.2
SEVERAL_STARTS = 0.1
MOST_STARTS = 4

ANGLE = 2.5
"""Degrees that an angle between flanks, read from a gauge, is off by at most. Common practice, no
source."""

_WORN_OUT = 3.0
"""Times the usual wear: a crest lower than the least limit by more is not a worn one."""

_ANY_DIAMETER = 1 / 100
"""A mm: density of the diameter of a thread that can have any (worms)."""


@dataclass(frozen=True)
class Catalogued:
    """A thread to choose from, with every name of it that is the same in steel.

    `met` > 0 is how often its series is met, beside others. `pitches` and `diameters` are the
    ranges of practice in mm where no standard fixes them.
    """

    thread: Thread
    names: tuple[str, ...]
    met: float = 1.0
    pitches: tuple[float, float] | None = None
    diameters: tuple[float, float] | None = None


class Against(StrEnum):
    """A measurement that a thread contradicts."""

    PITCH = "pitch"
    DIAMETER = "diameter"
    FLANKS = "flanks"


@dataclass(frozen=True)
class Candidate:
    """One answer. `lead_error` is (measured - catalogued) / catalogued, `diameter_error` the same
    difference in mm, None where either has no diameter. `likelihood`: the share of all. `against`:
    what was measured farther off this thread than it was said to be."""

    known: Catalogued
    thread: Thread
    lead_error: float
    diameter_error: float | None
    likelihood: float
    against: tuple[Against, ...] = ()

    @property
    def within(self) -> bool:
        """Whether no measurement is off by more than it was said to be."""
        return not self.against


@dataclass(frozen=True)
class Recount:
    """What another count would mean: so many threads, the likeliest then."""

    threads: float
    candidate: Candidate


@dataclass(frozen=True)
class Identification:
    """Candidates, likeliest first. `recounts`: where the first is not within the errors said,
    those that would be had one thread been lost or counted twice."""

    measured: Measured
    candidates: tuple[Candidate, ...]
    recounts: tuple[Recount, ...] = ()


def by_pitch(found: Identification) -> list[tuple[Candidate, ...]]:
    """The candidates of each pitch together, the likeliest pitch first: without a diameter the
    sizes of a pitch are alike."""
    alike: dict[Pitch, list[Candidate]] = {}
    for candidate in found.candidates:
        alike.setdefault(candidate.thread.pitch, []).append(candidate)
    groups = [tuple(group) for group in alike.values()]
    return sorted(groups, key=lambda group: -sum(each.likelihood for each in group))


def identify(measured: Measured, catalogue: Iterable[Catalogued]) -> Identification:
    """Which threads of the catalogue were measured, likeliest first; ties in its order."""
    known = tuple(catalogue)
    found = _candidates(measured, known)
    if not found or found[0].within:
        return Identification(measured, found)
    return Identification(measured, found, tuple(_recounts(measured, known)))


def _recounts(measured: Measured, known: tuple[Catalogued, ...]) -> Iterator[Recount]:
    count = measured.count
    if not count.counted or count.turned:
        return
    for threads in (count.threads - 1, count.threads + 1):
        if threads > 0:
            other = replace(measured, count=replace(count, threads=threads))
            found = _candidates(other, known)
            if found and found[0].within:
                yield Recount(float(threads), found[0])


def _candidates(measured: Measured, known: tuple[Catalogued, ...]) -> tuple[Candidate, ...]:
    """Likeliest first; what is next to impossible is left out."""
    weighed = [
        (_weight(measured, each, starts), each, starts)
        for each in known
        for starts in _starts(measured)
    ]
    total = sum(weight for weight, _, _ in weighed)
    weighed = [row for row in weighed if row[0] > LEAST * total]
    weighed.sort(key=lambda row: -row[0])
    return tuple(
        _candidate(measured, each, starts, weight / total) for weight, each, starts in weighed
    )


def _candidate(measured: Measured, known: Catalogued, starts: int, likelihood: float) -> Candidate:
    count = measured.count
    thread = variant(known.thread, starts=starts, left=measured.left)
    each = float(count.length / count.threads)
    wanted = thread.pitch.lead_mm if count.turned else thread.pitch.mm
    off, fits, _ = _across(measured, known)
    agrees = {
        Against.PITCH: _along(measured, known, starts)[1],
        Against.DIAMETER: fits,
        Against.FLANKS: _angle_near(measured, known),
    }
    against = tuple(what for what, near in agrees.items() if not near)
    return Candidate(known, thread, each / wanted - 1, off, likelihood, against)


def _weight(measured: Measured, known: Catalogued, starts: int) -> float:
    """Density of all that was measured, by how often such a thread is met."""
    share = SEVERAL_STARTS if starts > 1 and not measured.count.starts else 1.0
    across = _across(measured, known)[2]
    if not across:
        return 0.0
    return (
        known.met * share * across * _along(measured, known, starts)[0]
        * _angle_density(measured, known)
    )  # fmt: skip


def _starts(measured: Measured) -> Sequence[int]:
    count = measured.count
    if count.starts:
        return (count.starts,)
    return range(1, MOST_STARTS + 1) if count.turned else (1,)


def _along(measured: Measured, known: Catalogued, starts: int) -> tuple[float, bool]:
    """Density of the length measured, and whether it is within its error."""
    count, pitch = measured.count, known.thread.pitch.mm
    times = float(count.threads) * (starts if count.turned else 1)
    least, most = known.pitches or (pitch, pitch)
    length = float(count.length)
    spread = math.hypot(count.error, OWN_LEAD * length) / 2
    slipped = math.hypot(spread, pitch * (LOST_THREAD if count.counted else WRONG_LEAF))
    density = (1 - SLIPS) * _between(length, times * least, times * most, spread)
    density += SLIPS * _between(length, times * least, times * most, slipped)
    close = times * least - 2 * spread <= length <= times * most + 2 * spread
    return density, close


def _across(measured: Measured, known: Catalogued) -> tuple[float | None, bool, float]:
    """How far the diameter is off (None where nothing tells), whether that is within its error,
    and its density: 0 for a thread that has no crests to measure so."""
    made = crests(known.thread, inside=measured.inside)
    if made is None and measured.inside:
        return None, False, 0.0
    if measured.diameter is None:
        return None, True, 1.0
    if made is None:
        return None, True, _ANY_DIAMETER
    diameter, pitch = float(measured.diameter), known.thread.pitch.mm
    least, most = _in_practice(made, known)
    off = diameter - made.nominal
    if measured.inside:  # as in a mirror: wear makes the bore bigger
        diameter, least, most = -diameter, -most, -least
    spread, worn = measured.error / 2, worn_by(pitch)
    density = (1 - WORN) * _between(diameter, least, most, spread)
    density += WORN * _tail(least - diameter, worn, spread)
    within = least - _WORN_OUT * worn - measured.error <= diameter <= most + measured.error
    return off, within, density


def _in_practice(made: Crests, known: Catalogued) -> tuple[float, float]:
    """Least and most of the crests, of any diameter in use."""
    if known.diameters is None or known.thread.major_mm is None:
        return made.least, made.most
    usual = float(known.thread.major_mm)
    least, most = known.diameters
    return made.least + least - usual, made.most + most - usual


def _angle_density(measured: Measured, known: Catalogued) -> float:
    if measured.angle is None:
        return 1.0
    angle = FORMS[known.thread.form].included_angle_deg
    return 1 / 90 if angle is None else _normal(measured.angle - angle, ANGLE / 2)


def _angle_near(measured: Measured, known: Catalogued) -> bool:
    """Whether the flanks stand as read; round ones have no angle to contradict."""
    angle = FORMS[known.thread.form].included_angle_deg
    return measured.angle is None or angle is None or abs(measured.angle - angle) <= ANGLE


def _normal(off: float, spread: float) -> float:
    return math.exp(-((off / spread) ** 2) / 2) / (spread * math.sqrt(2 * math.pi))


def _below(off: float) -> float:
    """Share of a normal distribution below so many standard deviations."""
    return math.erfc(-off / math.sqrt(2)) / 2


def _between(value: float, least: float, most: float, spread: float) -> float:
    """Density of a normal error upon anything between two ends; upon one value where they meet."""
    if most - least < spread * 1e-6:
        return _normal(value - least, spread)
    return (_below((value - least) / spread) - _below((value - most) / spread)) / (most - least)


def _tail(short: float, lost: float, spread: float) -> float:
    """Density of being `short` of an end by a half-normal loss and a normal error: their sum is
    skew-normal (Azzalini, 1985)."""
    both = math.hypot(lost, spread)
    return 2 * _normal(short, both) * _below(short * lost / (spread * both))
