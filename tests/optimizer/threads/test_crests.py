"""Where crests lie, what a thread is held against by them, and what every class says of itself."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.crests import Crests, crests, worn_by
from gearchest.optimizer.threads.identify import (
    Against,
    Candidate,
    Catalogued,
    Identification,
    identify,
)
from gearchest.optimizer.threads.limit_classes import classes, limits_of
from gearchest.optimizer.threads.measurement import Measured, parse_count
from gearchest.optimizer.threads.metric_limits import INSIDE, OUTSIDE, default_class
from gearchest.optimizer.threads.tell_apart import Apart, tell_apart


def made(size: str, *, inside: bool = False) -> Crests:
    found = crests(find_size(size), inside=inside)
    assert found is not None
    return found


@pytest.mark.parametrize("size", ["M10", "1/4-20 UNC", "1/2-10 Acme", "1/2 BSW", "2 BA", "G 1/2"])
@pytest.mark.parametrize("inside", [False, True])
def test_crests_are_within_the_limits_of_the_usual_class(size: str, inside: bool) -> None:
    limits = limits_of(find_size(size), inside=inside).limits
    assert limits is not None
    found = made(size, inside=inside)
    assert (found.least, found.most) == (limits.minor if inside else limits.major)


def test_crests_of_a_half_inch_pipe_by_its_table() -> None:
    """NPT 1/2-14 (ASME B1.20.1), inches: pitch diameter E1 0.77843 at 0.320 from the end, useful
    thread L2 0.53371, threads 0.8/14 high: the crests at the gauge plane, at the end, and where
    the useful thread ends; inside from the face inwards."""
    e1, height, length, useful = 0.77843, 0.8 / 14, 0.320, 0.53371
    outside = made("1/2 NPT")
    top = (e1 + height) * 25.4
    assert outside.nominal == pytest.approx(top, abs=2e-3)
    assert outside.least == pytest.approx(top - length * 25.4 / 16, abs=2e-3)
    assert outside.most == pytest.approx(top + (useful - length) * 25.4 / 16, abs=2e-3)
    inside = made("1/2 NPT", inside=True)
    bottom = (e1 - height) * 25.4
    assert inside.nominal == inside.most == pytest.approx(bottom, abs=2e-3)
    assert inside.least == pytest.approx(bottom - useful * 25.4 / 16, abs=2e-3)


def likely(known: Catalogued, diameter: float, *, inside: bool = False) -> Candidate:
    """The one thread there is, whose pitch was counted right."""
    pitch = known.thread.pitch.mm
    count = parse_count(f"10 in {10 * pitch:.3f} mm")
    measured = Measured(count, Fraction(diameter), 0.05, inside)
    (found,) = identify(measured, (known,)).candidates
    return found


@pytest.mark.parametrize("inside", [False, True])
def test_a_crest_worn_by_three_times_the_usual_is_still_one(inside: bool) -> None:
    """M10, 0.15 P^(2/3) = 0.197 mm: outside smaller, inside bigger by 0.59 mm at most, and by what
    the caliper errs; the other way by that alone."""
    known = Catalogued(find_size("M10"), ("M10",))
    crest, worn = made("M10", inside=inside), worn_by(1.5)
    assert worn == pytest.approx(0.15 * 1.5 ** (2 / 3))
    way = 1 if inside else -1
    first, last = (crest.least, crest.most) if inside else (crest.most, crest.least)
    for diameter, within in (
        (last + way * (3 * worn + 0.049), True), (last + way * (3 * worn + 0.051), False),
        (first - way * 0.049, True), (first - way * 0.051, False),
    ):  # fmt: skip
        found = likely(known, diameter, inside=inside)
        assert found.within == within
        assert found.against == (() if within else (Against.DIAMETER,))
        assert found.diameter_error == pytest.approx(diameter - crest.nominal)


def test_practice_that_is_a_range_of_diameters_is_within_anywhere_in_it() -> None:
    thread = find_size("M10")
    ranged = Catalogued(thread, ("M10",), diameters=(9.0, 14.0))
    fixed = Catalogued(thread, ("M10",))
    for diameter, within in ((9.8, True), (13.9, True), (14.03, False)):
        assert likely(ranged, diameter).within == within
    for diameter, within in ((9.8, True), (10.03, False)):
        assert likely(fixed, diameter).within == within


def test_a_worm_is_of_any_diameter_and_contradicted_by_none() -> None:
    worm = Catalogued(Thread("module 1", Pitch(Fraction(1), pi=True), None, "worm"), ("module 1",))
    found = likely(worm, 22.0)
    assert (found.within, found.diameter_error, found.likelihood) == (True, None, 1.0)
    measured = Measured(parse_count("10 in 31.42 mm"), Fraction(22), 0.05, inside=True)
    assert identify(measured, (worm,)).candidates == ()


@pytest.mark.parametrize(
    "size",
    ["M10", "M1", "Tr20x4", "1/4-20 UNC", "1/4-32 UNEF", "1/2-10 Acme", "1/2-10 Stub Acme",
     "1/2 BSW", "2 BA", "G 1/2"],
)  # fmt: skip
@pytest.mark.parametrize("inside", [False, True])
def test_every_class_says_which_it_is_and_of_which_side(size: str, inside: bool) -> None:
    thread = find_size(size)
    names = classes(thread, inside=inside)
    assert len(set(names)) == len(names) >= 1
    for name in names:
        try:
            found = limits_of(thread, inside=inside, class_name=name).limits
        except ValueError:  # a class that begins at coarser pitches
            assert size == "M1"
            continue
        assert found is not None
        assert (found.class_name, found.inside) == (name, inside)
        assert found.standard.split()[:2] == thread.standard.split()[:2]
        assert found.source
    assert limits_of(thread, inside=inside) == limits_of(thread, inside=inside, class_name=names[0])


@pytest.mark.parametrize(("size", "outside"), [("M10", "6g"), ("M1", "6h")])
def test_the_usual_class_comes_first_and_the_others_after_it_once(size: str, outside: str) -> None:
    thread = find_size(size)
    for inside, usual in ((False, OUTSIDE), (True, INSIDE)):
        found = classes(thread, inside=inside)
        first = default_class(float(thread.major_mm or 0), thread.pitch.mm, inside=inside)
        assert found[0] == first
        assert sorted(found[1:]) == sorted(set(usual) - {first})
    assert classes(thread, inside=False)[0] == outside


def test_nine_pitches_are_the_length_of_extra_fine_series() -> None:
    """1/4-32 UNEF-2A (ASME B1.1, from memory): 0.2255 to 0.2287 in at the pitch diameter, 0.2430 to
    0.2490 over the crests."""
    found = limits_of(find_size("1/4-32 UNEF"), inside=False, class_name="2A").limits
    assert found is not None
    assert [at / 25.4 for at in found.pitch_diameter] == pytest.approx([0.2255, 0.2287], abs=6e-5)
    assert [(at or 0) / 25.4 for at in found.major] == pytest.approx([0.2430, 0.2490], abs=6e-5)


def test_diameters_in_a_range_tell_no_thread_from_another() -> None:
    """M8 and M10x1.25 by their crests; not where either is met in any size about it."""

    def apart(one: Catalogued, other: Catalogued) -> Apart:
        candidates = tuple(Candidate(each, each.thread, 0.0, 0.0, 0.5) for each in (one, other))
        measured = Measured(parse_count("10 in 12.5 mm"), Fraction(9), 0.05)
        found = tell_apart(Identification(measured, candidates))
        assert found is not None
        return found

    eight, ten = (Catalogued(find_size(size), (size,)) for size in ("M8", "M10x1.25"))
    told = apart(eight, ten)
    assert told.diameters is not None
    assert told.names == ("M8", "M10x1.25")
    assert (told.tapers, told.depths, told.angles, told.count) == (None, None, None, None)
    for one, other in ((replace(eight, diameters=(6.0, 9.0)), ten),
                       (eight, replace(ten, diameters=(9.0, 12.0)))):  # fmt: skip
        assert apart(one, other).diameters is None
    square = Catalogued(Thread("plain", mm("1.25"), None, "iso"), ("plain",))
    assert apart(eight, square).diameters is None
    assert apart(square, eight).diameters is None
