"""Threads measured by simulation, and what an ideal identifier makes of such measurements.

The densities here are worked out by adding up over grids, not by the closed forms of the
program: what the likelihood of every size is if these errors are all there is (Bayes).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist

import numpy as np

from gearchest.catalogs.known import known_threads
from gearchest.optimizer.threads.crests import crests, worn_by
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.identify import (
    ANGLE,
    LOST_THREAD,
    OWN_LEAD,
    SLIPS,
    WORN,
    Catalogued,
    identify,
)
from gearchest.optimizer.threads.measurement import Count, Measured

LENGTH, DIAMETER = 0.1, 0.05
"""mm: errors said, two standard deviations."""

SHOP_LENGTH = 25.0
"""mm of thread to count along, where not ten threads are counted."""


@dataclass(frozen=True)
class World:
    """How threads come and are measured. `as_met`: sizes come as often as their series, else each
    alike. `ten`: ten threads are counted, else those in some 25 mm. `gauged`: the angle of the
    flanks too. `rough`: errors are anywhere up to what is said, readings in 0.1 and 0.05 mm, none
    slips, nothing is worn."""

    inside: bool = False
    as_met: bool = True
    ten: bool = True
    gauged: bool = False
    rough: bool = False


@dataclass(frozen=True)
class Rates:
    """Shares of the samples in which the true size came first, or among the first three; and the
    same of an ideal identifier, expected."""

    first: float
    three: float
    ideal_first: float
    ideal_three: float
    samples: int


def choices(world: World) -> tuple[list[Catalogued], np.ndarray]:
    """The sizes that can come, and the share of each."""
    known = [k for k in known_threads() if crests(k.thread, inside=world.inside)]
    met = np.array([each.met if world.as_met else 1.0 for each in known])
    return known, met / met.sum()


def threads_counted(known: Catalogued, world: World) -> int:
    """How many threads a person counts."""
    return 10 if world.ten else max(3, round(SHOP_LENGTH / known.thread.pitch.mm))


def ends(known: Catalogued, *, inside: bool) -> tuple[float, float]:
    """Least and most of the crests as made, of all diameters in use."""
    made = crests(known.thread, inside=inside)
    assert made is not None
    low, high = known.diameters or (0.0, 0.0)
    usual = float(known.thread.major_mm or 0) if known.diameters else 0.0
    return made.least + low - usual, made.most + high - usual


@dataclass(frozen=True)
class Sample:
    """One thread measured: `size` is the index of the true one; mm and degrees."""

    size: int
    threads: int
    length: float
    diameter: float
    angle: float | None = None

    def asked(self, *, inside: bool) -> Measured:
        """As the program takes it."""
        length = Fraction(self.length).limit_denominator(10**6)
        count = Count(Fraction(self.threads), length, LENGTH)
        across = Fraction(self.diameter).limit_denominator(10**6)
        return Measured(count, across, DIAMETER, inside, self.angle)


def samples(world: World, count: int, seed: int) -> Iterator[Sample]:
    """Threads as they come, measured."""
    rng = np.random.default_rng(seed)
    known, share = choices(world)
    for index in rng.choice(len(known), size=count, p=share):
        thread = known[index]
        threads = threads_counted(thread, world)
        length, diameter = measure(thread, threads, world, rng)
        flanks = FORMS[thread.thread.form].included_angle_deg if world.gauged else None
        angle = None if flanks is None else rng.normal(flanks, ANGLE / 2)
        if length > 0.05 and diameter > 0.05:
            yield Sample(int(index), threads, length, diameter, angle)


def measure(
    known: Catalogued, threads: int, world: World, rng: np.random.Generator
) -> tuple[float, float]:
    """One thread made, perhaps worn, and measured."""
    pitch = known.thread.pitch.mm
    own = rng.uniform(*known.pitches) if known.pitches else pitch
    low, high = ends(known, inside=world.inside)
    crest = rng.uniform(low, high)
    if world.rough:
        length = threads * own + rng.uniform(-LENGTH, LENGTH)
        return round(length, 1), round((crest + rng.uniform(-DIAMETER, DIAMETER)) * 20) / 20
    length = threads * own * (1 + rng.normal(0, OWN_LEAD / 2)) + rng.normal(0, LENGTH / 2)
    if rng.random() < SLIPS:
        length += rng.normal(0, LOST_THREAD * pitch)
    if rng.random() < WORN:
        lost = abs(rng.normal(0, worn_by(pitch)))
        crest = high + lost if world.inside else low - lost
    return length, crest + rng.normal(0, DIAMETER / 2)


class Ideal:
    """What is known of every size before anything is measured, and after."""

    def __init__(self, world: World) -> None:
        self.known, self.share = choices(world)
        self._pitch = np.array([each.thread.pitch.mm for each in self.known])
        angles = [FORMS[each.thread.form].included_angle_deg for each in self.known]
        self._angle = np.array([np.nan if a is None else a for a in angles])
        fine = np.linspace(0, 1, 65)
        ranges = [each.pitches or (each.thread.pitch.mm,) * 2 for each in self.known]
        self._pitches = np.array([low + (high - low) * fine for low, high in ranges])
        made = np.array([ends(each, inside=world.inside) for each in self.known])
        self._low, self._high = made[:, 0], made[:, 1]
        steps = (np.arange(200) + 0.5) / 200
        quantiles = np.array([NormalDist().inv_cdf((1 + step) / 2) for step in steps])
        lost = quantiles[None, :] * np.array([worn_by(p) for p in self._pitch])[:, None]
        self._sound = self._low[:, None] + (self._high - self._low)[:, None] * steps
        edge = self._high if world.inside else self._low
        self._worn = edge[:, None] + lost * (1 if world.inside else -1)

    def posterior(self, sample: Sample) -> np.ndarray:
        """Share of every size, once measured."""
        weight = self.share * self._along(sample.threads, sample.length)
        weight = weight * self._across(sample.diameter)
        if sample.angle is not None:
            weight = weight * np.where(
                np.isnan(self._angle), 1 / 90, _normal(sample.angle - self._angle, ANGLE / 2)
            )
        return weight / weight.sum()

    def _along(self, threads: int, length: float) -> np.ndarray:
        spread = np.hypot(LENGTH, OWN_LEAD * length) / 2
        off = length - threads * self._pitches
        slipped = np.hypot(spread, LOST_THREAD * self._pitch)[:, None]
        density = (1 - SLIPS) * _normal(off, spread) + SLIPS * _normal(off, slipped)
        return density.mean(axis=1)

    def _across(self, diameter: float) -> np.ndarray:
        spread = DIAMETER / 2
        sound = _normal(diameter - self._sound, spread).mean(axis=1)
        wide = self._high - self._low > 100 * spread  # the grid is too coarse, its ends nothing
        held = (self._low < diameter) & (diameter < self._high)
        sound = np.where(wide, held / np.maximum(self._high - self._low, 1e-9), sound)
        worn = _normal(diameter - self._worn, spread).mean(axis=1)
        return (1 - WORN) * sound + WORN * worn


def _normal(off: np.ndarray, spread: np.ndarray | float) -> np.ndarray:
    return np.exp(-((off / spread) ** 2) / 2) / (spread * np.sqrt(2 * np.pi))


def rates(world: World, count: int, seed: int) -> Rates:
    """How often the program and an ideal identifier are right about the same samples."""
    ideal = Ideal(world)
    catalogue = known_threads()
    first = three = total = 0
    best, best_three = 0.0, 0.0
    for sample in samples(world, count, seed):
        found = identify(sample.asked(inside=world.inside), catalogue)
        named = [each.known for each in found.candidates[:3]]
        true = ideal.known[sample.size]
        total += 1
        first += named[:1] == [true]
        three += true in named
        after = np.sort(ideal.posterior(sample))
        best += after[-1]
        best_three += after[-3:].sum()
    return Rates(first / total, three / total, best / total, best_three / total, total)
