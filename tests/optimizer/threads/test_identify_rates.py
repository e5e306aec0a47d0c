"""Every size of the catalogs, measured with errors: named as often as the errors allow.

The bound is what an ideal identifier would reach on the same samples, worked out otherwise (see
`measuring`); nothing that knows no more can be right more often.
"""

from __future__ import annotations

import math

import pytest
from measuring import Ideal, Sample, World, choices, ends, rates, samples

from gearchest.catalogs.known import known_threads
from gearchest.optimizer.threads.identify import identify

SAMPLES = 150


@pytest.mark.parametrize(
    "world",
    [World(), World(inside=True), World(as_met=False, gauged=True), World(ten=False, rough=True)],
    ids=["outside", "nut", "alike-and-gauged", "rough"],
)
def test_the_true_thread_comes_first_as_often_as_can_be(world: World) -> None:
    found = rates(world, SAMPLES, seed=20)
    spread = math.sqrt(found.ideal_first * (1 - found.ideal_first) / found.samples)
    assert found.first >= found.ideal_first - 3 * spread
    assert found.three >= found.ideal_three - 0.012  # two samples
    assert found.ideal_first > 0.85  # the samples are not hopeless


def test_likelihoods_are_those_of_the_errors() -> None:
    """Closed forms against sums over grids, size by size."""
    world = World()
    ideal, catalogue = Ideal(world), known_threads()
    place = {known: i for i, known in enumerate(ideal.known)}
    for sample in samples(world, 60, seed=3):
        after = ideal.posterior(sample)
        found = identify(sample.asked(inside=False), catalogue).candidates[:5]
        for each in (candidate for candidate in found if candidate.known in place):
            assert each.likelihood == pytest.approx(after[place[each.known]], abs=0.02)


def test_every_size_measured_without_error_is_first_or_has_a_twin_that_is() -> None:
    """A size that is not first is as near as the one that is, and met no more often."""
    catalogue = known_threads()
    known, _ = choices(World())
    for each in known[::8]:
        low, high = ends(each, inside=False)
        sample = Sample(0, 10, 10 * each.thread.pitch.mm, (low + high) / 2)
        found = identify(sample.asked(inside=False), catalogue).candidates
        own = next(candidate for candidate in found if candidate.known == each)
        assert own.within
        assert found[0].within
        if found[0].known != each and not each.pitches:
            assert abs(found[0].lead_error) < 0.01
            assert own in found[:3]
