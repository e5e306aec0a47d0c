"""Unknown threads named: twins told apart, or said not to be; wear on its side alone."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.catalogs.known import known_threads
from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.notation import parse_length
from gearchest.optimizer.domain.pitch import MM_PER_INCH, mm
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.crests import crests, worn_by
from gearchest.optimizer.threads.identify import (
    Against,
    Candidate,
    Catalogued,
    Identification,
    by_pitch,
    identify,
)
from gearchest.optimizer.threads.measurement import Measured, parse_count
from gearchest.optimizer.threads.tell_apart import Apart, tell_apart


def named(
    count: str, diameter: str = "", *, inside: bool = False, angle: float | None = None,
    starts: int = 0, left: bool = False,
) -> Identification:  # fmt: skip
    """What a measurement can be, of all catalogs."""
    read = parse_count(count)
    across = parse_length(diameter) if diameter else None
    measured = Measured(
        replace(read, starts=starts or read.starts), across, inside=inside, angle=angle, left=left
    )
    return identify(measured, known_threads())


def names(found: Identification, least: float = 0.05) -> list[str]:
    """The names of the likely ones."""
    return [each.thread.name for each in found.candidates if each.likelihood >= least]


def apart(found: Identification) -> Apart:
    """How the first two are told apart."""
    told = tell_apart(found)
    assert told is not None
    return told


@pytest.mark.parametrize(
    ("count", "diameter", "likely"),
    [
        ("10 threads in 15.1 mm", "11.9 mm", ["M12x1.5"]),
        ("10 threads in 15.9 mm", "12.6 mm", ["1/2 BSF", "1/2-16 UN"]),
        ("10 in 10.0 mm", "5.9 mm", ["M6", "0 BA"]),
        ("10 in 8.1 mm", "4.65 mm", ["2 BA"]),
        ("13 in 1 in", "12.55 mm", ["1/2-13 UNC"]),
        ("12 in 1 in", "12.6 mm", ["1/2 BSW"]),
        ("11 in 1 in", "33.1 mm", ["G 1", "R 1"]),
        ("23 in 2 in", "33.1 mm", ["1 NPT"]),
        ("5 in 20 mm", "19.9 mm", ["Tr20x4"]),
        ("10 in 50.8 mm", "19 mm", ["3/4-5 Acme", "broom handle 3/4 in"]),
        ("20 tpi", "1/4 in", ["1/4-20 UNC", "1/4 BSW"]),
    ],
)
def test_a_measured_thread_is_named(count: str, diameter: str, likely: list[str]) -> None:
    found = named(count, diameter)
    assert names(found) == likely
    assert found.candidates[0].within
    assert sum(each.likelihood for each in found.candidates) == pytest.approx(1)


@pytest.mark.parametrize(
    ("count", "bore", "likely"),
    [
        ("10 in 15 mm", "10.5 mm", ["M12x1.5"]),
        ("20 tpi", "5.1 mm", ["1/4-20 UNC", "1/4 BSW"]),
        ("14 tpi", "18.9 mm", ["G 1/2"]),
    ],
)
def test_a_nut_is_named_by_its_bore(count: str, bore: str, likely: list[str]) -> None:
    found = named(count, bore, inside=True)
    assert names(found)[: len(likely)] == likely


def test_crests_wear_one_way() -> None:
    """M12x1.5 is 11.73 to 11.97 mm over the crests, and its nut's bore 10.38 to 10.68 mm."""
    for diameter in ("11.5 mm", "11.3 mm", "12 mm"):
        assert named("10 in 15 mm", diameter).candidates[0].thread.name == "M12x1.5"
    assert "M12x1.5" not in names(named("10 in 15 mm", "12.2 mm"), 1e-3)
    for bore in ("10.9 mm", "11.1 mm"):
        first = named("10 in 15 mm", bore, inside=True).candidates[0]
        assert (first.thread.name, first.within) == ("M12x1.5", True)
    below = named("10 in 15 mm", "10.15 mm", inside=True).candidates[0]
    assert (below.thread.name, below.within) != ("M12x1.5", True)


def test_what_measuring_cannot_tell_is_told_by_the_flanks() -> None:
    """1/4-20 is UNC and BSW, 0 BA has the pitch and the diameter of M6."""
    for count, diameter, angles, by_angle in (
        ("20 tpi", "1/4 in", (60, 55), "1/4 BSW"),
        ("10 in 10 mm", "5.9 mm", (60, 47.5), "0 BA"),
        ("16 tpi", "12.6 mm", (55, 60), "1/2-16 UN"),
    ):
        told = apart(named(count, diameter))
        assert told.count is None
        assert not told.measurable
        assert told.angles == angles
        assert told.depths is None  # some hundredths of a millimetre apart
        again = named(count, diameter, angle=told.angles[1])
        assert again.candidates[0].thread.name == by_angle
        assert again.candidates[0].likelihood > 0.9


@pytest.mark.parametrize("count", ["13 threads in 1/2 in", "26 tpi"])
def test_flanks_read_off_a_gauge_contradict_a_thread_of_others(count: str) -> None:
    """7/16 in with 26 to the inch: of brass fittings at 55 degrees, of cycles at 60."""
    for angle, first, other in ((55, "7/16-26 Brass", "7/16-26 BSC"), (60, "7/16-26 BSC", "")):
        found = named(count, "0.436 in", angle=angle)
        assert found.candidates[0].thread.name == first
        assert found.candidates[0].likelihood > 0.99
        against = {each.thread.name: each.against for each in found.candidates}
        assert against[first] == ()
        assert not other or against[other] == (Against.FLANKS,)
    assert set(names(named(count, "0.436 in"))) == {"7/16-26 BSC", "7/16-26 Brass"}


def test_a_thread_off_what_was_measured_says_in_what() -> None:
    """Two and a half degrees still agree, round flanks with any angle."""
    found = named("10 in 15 mm", "11.9 mm", angle=62.5)
    assert (found.candidates[0].thread.name, found.candidates[0].within) == ("M12x1.5", True)
    beyond = named("10 in 15 mm", "11.9 mm", angle=62.51).candidates[0]
    assert (beyond.thread.name, beyond.against) == ("M12x1.5", (Against.FLANKS,))
    both = [each.against for each in named("10 in 13.5 mm", "12.05 mm", angle=55).candidates]
    assert (Against.PITCH, Against.FLANKS) in both
    lamp = named("7 tpi", "26.3 mm", angle=90).candidates[0]
    assert (lamp.thread.name, lamp.within) == ("E27 lamp", True)


def test_pipe_threads_of_one_pitch_are_told_by_flanks_and_taper() -> None:
    """G 1/2, R 1/2 and 1/2 NPT all have 14 threads to the inch on some 21 mm."""
    found = named("10 in 18.15 mm", "20.9 mm")
    pipes = {"G 1/2", "R 1/2", "1/2 NPT"}
    assert {each.thread.name for each in found.candidates[:3]} == pipes
    assert all(each.within for each in found.candidates[:3])
    parallel, npt = (
        next(each for each in found.candidates if each.thread.name == name)
        for name in ("G 1/2", "1/2 NPT")
    )
    told = apart(replace(found, candidates=(parallel, npt)))
    assert (told.count, told.diameters) == (None, None)
    assert (told.angles, told.tapers) == ((55, 60), (0, 1 / 16))


def test_near_pitches_are_told_by_a_longer_count() -> None:
    """M8 and 5/16-20 UN: 1.25 and 1.27 mm on nearly one diameter."""
    found = named("10 in 12.6 mm", "7.9 mm")
    assert names(found) == ["M8", "5/16-20 UN"]
    told = apart(found)
    assert told.count is not None
    assert told.reachable
    threads = told.count.threads
    lengths = threads * Fraction("1.25"), threads * MM_PER_INCH / 20
    assert told.count.lengths == pytest.approx([float(length) for length in lengths])
    for true, other in ((0, 1), (1, 0)):
        for off in (-0.1, 0.1):  # whichever way the rule errs
            read = float(lengths[true]) + off
            assert abs(read - float(lengths[true])) < abs(read - float(lengths[other]))
        again = named(f"{threads} in {float(lengths[true]):.3f} mm", "7.9 mm")
        assert again.candidates[0].thread.name == names(found)[true]


def test_the_longer_count_is_the_shortest_that_settles_it() -> None:
    """Between lengths n p1 and n p2 lie two errors of a rule, and of the threads themselves."""
    told = apart(named("10 in 12.6 mm", "7.9 mm"))
    assert told.count is not None

    def settles(threads: int) -> bool:
        gap = threads * (1.27 - 1.25) - threads * (1.27 + 1.25) * 0.001
        return gap > 0.2

    assert settles(told.count.threads)
    assert not settles(told.count.threads - 1)


def test_tapers_and_depths_tell_what_pitch_and_diameter_do_not() -> None:
    told = apart(named("11 in 1 in", "33.1 mm"))
    assert told.names == ("G 1", "R 1")
    assert told.tapers == (0, 1 / 16)
    acme = apart(named("10 in 63.5 mm", "38 mm"))
    assert acme.names == ("1 1/2-4 Acme", "1 1/2-4 Stub Acme")
    assert acme.angles is None
    assert acme.depths == pytest.approx((6.35 / 2 + 0.254, 0.3 * 6.35 + 0.254))


def test_turns_see_the_lead_and_think_of_starts() -> None:
    found = named("5 turns in 70 mm", "39.8 mm")
    first = found.candidates[0]
    assert first.thread.name == "Tr40x14 P7"
    assert (first.thread.pitch.starts, first.thread.pitch.lead_mm) == (2, 14)
    assert named("10 in 70 mm", "39.8 mm").candidates[0].thread.name == "Tr40x7"
    one = named("5 turns in 70 mm", "119.8 mm").candidates[0]
    assert one.thread.name == "Tr120x14"


def test_the_hand_and_the_starts_seen_go_into_the_name() -> None:
    first = named("10 in 70 mm", "39.8 mm", starts=2, left=True).candidates[0]
    assert first.thread.name == "Tr40x14 P7 LH"
    assert first.thread.left
    assert first.lead_error == pytest.approx(0)


def test_a_thread_lost_in_the_count_is_thought_of() -> None:
    """Ten crests of M12x1.5 span nine threads, 13.5 mm."""
    found = named("10 in 13.5 mm", "11.85 mm")
    assert not found.candidates[0].within
    assert [(each.threads, each.candidate.thread.name) for each in found.recounts] == [
        (9, "M12x1.5")
    ]
    assert named("9 in 13.5 mm", "11.85 mm").recounts == ()


def test_a_pitch_read_off_a_gauge_has_lost_no_thread() -> None:
    assert not named("1.35 mm", "11.85 mm").candidates[0].within
    assert named("1.35 mm", "11.85 mm").recounts == ()
    assert named("10 turns in 13.5 mm", "11.85 mm").recounts == ()


def test_a_thread_is_lost_in_a_count_rather_than_two_or_three() -> None:
    """Of 12 mm threads, 13.5 mm is nine of 1.5 mm, but hardly 7.7 of 1.75 mm or 13.5 of 1 mm."""
    likely = names(named("10 in 13.5 mm", "11.85 mm"), 1e-2)
    assert "M12x1.5" in likely
    assert not {"M12", "M12x1"} & set(likely)


def test_what_is_found_is_not_counted_again() -> None:
    """5/16-20 UN, though nine threads in this length would be 5/16-18 UNC. And where threads were
    counted, none is taken to have several starts."""
    assert named("9 in 12.7 mm", "7.9 mm").candidates[0].within
    found = named("10 in 12.7 mm", "7.9 mm")
    assert found.candidates[0].within
    assert not found.recounts
    assert {each.thread.pitch.starts for each in found.candidates} == {1}


def test_without_a_diameter_pitches_are_told_apart() -> None:
    found = named("1.25 mm")
    groups = by_pitch(found)
    assert [str(group[0].thread.pitch) for group in groups[:1]] == ["1.25 mm"]
    assert {"M8", "M10x1.25", "M12x1.25"} <= {each.thread.name for each in groups[0]}
    told = apart(named("20 tpi"))
    assert told.names[0] == "20 tpi"
    assert told.angles is None
    assert told.count is not None


def test_a_worm_is_known_by_its_pitch_alone() -> None:
    found = named("10 in 31.4 mm", "22 mm").candidates[0]
    assert found.thread.name == "module 1"
    assert found.diameter_error is None
    assert found.lead_error == pytest.approx(3.14 / math.pi - 1)
    assert all(each.thread.series != "worm-module" for each in
               named("10 in 31.4 mm", "22 mm", inside=True).candidates)  # fmt: skip


def test_nothing_like_it_is_within() -> None:
    found = named("10 in 400 mm", "300 mm")
    assert not any(each.within for each in found.candidates)


@pytest.mark.parametrize("error", ["0.001 mm", "0.05 mm", "1 mm", "20 mm"])
def test_any_error_said_leaves_shares_of_one(error: str) -> None:
    spread = parse_length(error)
    measured = Measured(parse_count("10 in 15.1 mm", spread), Fraction(119, 10), float(spread))
    found = identify(measured, known_threads())
    assert sum(each.likelihood for each in found.candidates) == pytest.approx(1, abs=1e-5)


def test_crests_of_a_taper_run_along_it() -> None:
    """NPT 1/2 by ASME B1.20.1: from 20.72 mm over the crests at the end of the pipe to the last
    good thread, below the pipe's own 21.34 mm but for the height that E5 leaves."""
    (half,) = (each for each in known_threads() if "1/2 NPT" in each.names)
    along = crests(half.thread, inside=False)
    assert along is not None
    assert along.least == pytest.approx(20.72, abs=0.01)
    assert along.least < 21.336 < along.most < 21.336 + 0.3


@pytest.mark.parametrize(
    ("thread", "inside", "nominal", "least", "most"),
    [
        # P = 0.635 mm: es = 15 + 11 P = 22 um, Td = 180 P^(2/3) - 3.15 P^(-1/2) = 129, in R40 132
        (find_size("1/8-40 BSC"), False, 3.175, 3.175 - 0.022 - 0.132, 3.175 - 0.022),
        # its nut, 3.175 - 2 x 0.5327 P, TD1 = 433 P - 190 P^1.22 = 166, in R40 170
        (find_size("1/8-40 BSC"), True, 2.4985, 2.4985, 2.4985 + 0.17),
        # beyond the tables five times what they have for P = 8 mm: 100, 710 and 1000 um
        (find_size("Tr250x40"), False, 250.0, 250 - 0.5 - 3.55, 250 - 0.5),
        (find_size("Tr250x40"), True, 210.0, 210.0, 215.0),
        # half of what they have for P = 0.5 mm: 20 and 106 um
        (Thread("fine", mm("0.25"), Fraction(3), "cycle"), False, 3.0, 3 - 0.063, 3 - 0.01),
    ],
)
def test_crests_without_limits_of_their_own_are_those_of_iso_965_for_the_pitch(
    thread: Thread, inside: bool, nominal: float, least: float, most: float
) -> None:
    found = crests(thread, inside=inside)
    assert found is not None
    assert (found.nominal, found.least, found.most) == pytest.approx(
        (nominal, least, most), abs=6e-5
    )


def test_crests_wear_as_their_tolerance_grows() -> None:
    """With P^(2/3), as ISO 965-1 and ASME B1.1 let it: four times at eight times the pitch."""
    assert worn_by(8) / worn_by(1) == pytest.approx(4)
    assert worn_by(1 / 8) / worn_by(1) == pytest.approx(1 / 4)


def two(one: str, other: str, **measured: object) -> Identification:
    """Two sizes alike likely, whatever was measured."""
    both = []
    for size in (one, other):
        thread = find_size(size)
        both.append(Candidate(Catalogued(thread, (size,)), thread, 0.0, 0.0, 0.5))
    count = parse_count("10 in 12.5 mm")
    return Identification(
        Measured(count, Fraction(9), **measured),  # type: ignore[arg-type]
        tuple(both),
    )


def test_crests_tell_where_they_leave_a_gap_of_two_errors() -> None:
    """M8 is at most 7.972 mm over its crests, M10x1.25 at least 9.760 mm (ISO 965-1, 6g); a bore
    of M8 at most 6.912 mm, of M10x1.25 at least 8.647 mm."""
    for inside, gap in ((False, 9.760 - 7.972), (True, 8.647 - 6.912)):
        for one, other in (("M8", "M10x1.25"), ("M10x1.25", "M8")):
            near, far = (
                apart(two(one, other, error=gap / 2 + more, inside=inside)).diameters
                for more in (0.001, -0.001)
            )
            assert near is None
            assert far is not None
            assert (far[0][0] < far[1][0]) == (one == "M8")


def test_angles_four_degrees_apart_are_seen_and_what_is_hardly_likely_is_not_told() -> None:
    """60 and 55 degrees, 30 and 29."""
    assert apart(two("M10", "1/2 BSW")).angles == (60, 55)
    assert apart(two("Tr20x4", "3/4-6 Acme")).angles is None
    found = two("M8", "M10")
    one, other = found.candidates
    for share, told in ((0.9e-3, False), (1.1e-3, True)):
        less = replace(other, likelihood=share * one.likelihood)
        assert (tell_apart(replace(found, candidates=(one, less))) is not None) == told
    assert tell_apart(replace(found, candidates=(one,))) is None


def test_pitches_too_near_for_their_own_errors_are_not_counted_apart() -> None:
    """Each is off by a thousandth itself: M8 and 5/16-20 UN are 16 thousandths apart, two threads
    of one pitch nothing."""
    assert apart(two("M8", "5/16-20 UN")).count is not None
    assert apart(two("M8", "M10x1.25")).count is None


def test_a_thread_without_straight_flanks_is_told_by_no_angle() -> None:
    """A lamp cap's are round, whichever of the two it is; its depth, 0.3 of 3.6 mm, is beside
    0.61343 of 3 mm."""
    for one, other in (("E27 lamp", "M27"), ("M27", "E27 lamp"), ("E27 lamp", "E40 lamp")):
        found = apart(two(one, other))
        assert found.angles is None
        depths = {"E27 lamp": 0.3 * 25.4 / 7, "M27": 0.61343 * 3, "E40 lamp": 0.3 * 6.35}
        assert found.depths == pytest.approx((depths[one], depths[other]), abs=1e-4)


def of_pitch(one: str, other: str, count: str = "10 in 300 mm") -> Identification:
    """Two threads of these pitches, alike in all else."""
    both = []
    for pitch in (one, other):
        thread = Thread(pitch, mm(pitch), Fraction(200), "trapezoidal")
        both.append(Candidate(Catalogued(thread, (pitch,)), thread, 0.0, 0.0, 0.5))
    return Identification(Measured(parse_count(count), Fraction(200)), tuple(both))


@pytest.mark.parametrize(
    ("one", "other", "threads", "reachable"),
    [("29.9", "30", 5, True), ("29.92", "30.02", 5, False), ("29", "29.1", 5, True),
     ("10", "10.05", 7, True)],
)  # fmt: skip
def test_a_rule_takes_a_count_along_150_mm(
    one: str, other: str, threads: int, reachable: bool
) -> None:
    """n |p1 - p2| > 0.2 + n (p1 + p2) / 1000, by hand."""
    told = apart(of_pitch(one, other))
    assert told.count is not None
    assert told.count.threads == threads
    assert told.count.lengths == pytest.approx((threads * float(one), threads * float(other)))
    assert (told.reachable, told.measurable) == (reachable, reachable)


def test_what_a_gauge_read_is_counted_with_a_rule() -> None:
    """A gauge is off by 1 % of 10 mm; the rule that counts after it by 0.1 mm, as ever."""
    told = apart(of_pitch("10", "10.05", "10 mm"))
    assert told.count is not None
    assert told.count.threads == 7


def test_what_comes_in_a_range_of_pitches_is_not_counted_apart() -> None:
    found = of_pitch("10", "10.05")
    one, other = found.candidates
    ranged = replace(one, known=replace(one.known, pitches=(9.5, 10.5)))
    for both in ((ranged, other), (other, ranged)):
        assert apart(replace(found, candidates=both)).count is None


def test_turns_are_counted_by_the_lead() -> None:
    """Two starts of 5 mm are 10 mm a turn: told from 10.05 mm as one of 10 mm is, and from one
    start of 5 mm by the first turn."""
    found = of_pitch("5", "10.05", "5 turns in 50 mm")
    one, other = found.candidates
    two_starts = replace(one, thread=replace(one.thread, pitch=replace(one.thread.pitch, starts=2)))
    told = apart(replace(found, candidates=(two_starts, other)))
    assert told.count is not None
    assert (told.count.threads, told.count.lengths[0]) == (7, 70)
    told = apart(replace(found, candidates=(two_starts, one)))
    assert told.count is not None
    assert told.count.threads == 1
