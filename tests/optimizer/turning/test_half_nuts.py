"""Half-nuts and thread dials, against published charts and against turning the screw by hand."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from half_nut_bench import after_a_pass, prove
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Bed, GearMaking, Lathe, ThreadDial
from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.optimizer.domain.train import half_nut_step, step_in_pitches
from gearchest.optimizer.turning.half_nuts import STOPS_AT, How, half_nuts, usable_lines

CHECKS = Path(__file__).parents[2] / "checks"

ratios = st.fractions(min_value=Fraction(1, 40), max_value=12, max_denominator=60)


def lathe(
    screw: Pitch, *dials: ThreadDial, travel: float | None = None, half_nuts: bool = True
) -> Lathe:
    return Lathe(
        "a lathe",
        screw,
        GearMaking(Fraction(1)),
        Chest(()),
        half_nuts=half_nuts,
        thread_dials=dials,
        bed=Bed(travel),
    )


def simulated_step(ratio: Fraction, screw_starts: int) -> tuple[Fraction, int, int]:
    """Move the tool on, one closing place after another, until it meets its own groove."""
    closing = Fraction(1, screw_starts)  # leadscrew leads between two closing places
    tool, pitches = Fraction(0), 0
    while True:
        tool, pitches = tool + closing, pitches + 1
        groove, leads = Fraction(0), 0
        while groove < tool:
            groove, leads = groove + ratio, leads + 1
        if groove == tool:
            return tool, pitches, leads


@settings(max_examples=60, deadline=None)
@given(
    ratio=st.fractions(min_value=Fraction(1, 12), max_value=8, max_denominator=12),
    screw_starts=st.integers(1, 3),
)
def test_step_is_where_simulated_screw_and_tool_first_agree(
    ratio: Fraction, screw_starts: int
) -> None:
    tool, pitches, leads = simulated_step(ratio, screw_starts)
    assert step_in_pitches(ratio, screw_starts) == (pitches, leads)
    assert tool * screw_starts == pitches


@given(ratios)
def test_single_start_step_is_the_trains_own(ratio: Fraction) -> None:
    screw = mm(4)
    assert half_nuts(lathe(screw), ratio, mm(1)).step_mm == pytest.approx(
        half_nut_step(ratio, screw)
    )


@settings(max_examples=80, deadline=None)
@given(
    ratio=st.fractions(min_value=Fraction(1, 12), max_value=4, max_denominator=12),
    teeth=st.integers(4, 36),
    lines=st.integers(1, 12),
)
def test_dial_lines_are_those_a_running_lathe_allows(
    ratio: Fraction, teeth: int, lines: int
) -> None:
    """The carriage stands, the screw runs: whenever a line comes up, is the tool in its groove?

    A line is safe when it comes up only at closing places and always with the spindle at a
    whole turn. Simulated over enough turns of the dial for every phase to have come up.
    """
    turns_of_dial = range(ratio.numerator + 1)
    safe = []
    for line in range(lines):
        places = [Fraction(teeth * line, lines) + teeth * turn for turn in turns_of_dial]
        spindle = [place / ratio for place in places]
        if all(place.denominator == 1 for place in places + spindle):
            safe.append(line)
    expected: tuple[int, ...] | str = tuple(safe)
    if (1 / ratio).denominator == 1:
        expected = "any"
    assert usable_lines(ThreadDial(teeth, lines), ratio) == expected


@settings(max_examples=150, deadline=None)
@given(
    ratio=st.fractions(min_value=Fraction(1, 12), max_value=4, max_denominator=12),
    screw_starts=st.integers(1, 2),
    dial=st.none() | st.builds(ThreadDial, st.integers(4, 36), st.integers(1, 8)),
    travel=st.integers(10, 60),
    share=st.none() | st.floats(0.1, 1),
    passed=st.fractions(0, 30, max_denominator=40),
    back=st.fractions(0, 30, max_denominator=12),
)
def test_what_is_told_holds_with_the_spindle_turning_and_standing(
    ratio: Fraction, screw_starts: int, dial: ThreadDial | None, travel: int, share: float | None,
    passed: Fraction, back: Fraction,
) -> None:  # fmt: skip
    """Every claim, in exact fractions, from wherever the spindle stopped and the carriage went."""
    screw = Pitch(Fraction(2), starts=screw_starts)
    machine = lathe(screw, *([dial] if dial else []), travel=2.0 * travel)
    run = None if share is None else share * 2 * travel
    found = half_nuts(machine, ratio, mm(1), run=run)
    prove(found, ratio * screw_starts, passed, back, travel)
    assert found.may_open is (found.how is not How.CLOSED)
    if found.may_open and found.how is How.STANDING:
        assert found.step_mm <= 2 * travel
    if found.back_mm is not None and run is not None:
        assert run - 1e-6 <= found.back_mm <= 2 * travel


@pytest.mark.parametrize(
    ("screw", "ratio", "wanted", "one_in"),
    [
        (mm("1.5"), Fraction(5, 6), mm("1.25"), 5),  # M8 on a 1.5 mm screw
        (tpi(8), Fraction(88, 345), mm("0.81"), 88),  # 2 BA on 8 tpi, within 0.02 %
    ],
)
def test_closed_with_the_spindle_turning_few_are_right(
    screw: Pitch, ratio: Fraction, wanted: Pitch, one_in: int
) -> None:
    found = half_nuts(lathe(screw, travel=400), ratio, wanted, run=40)
    assert found.how is How.STANDING
    right = after_a_pass(ratio, Fraction(27, 10), Fraction(9)).closings(2 * one_in)
    assert right.count(True) == 2
    assert found.pitches == one_in


def chart() -> list[dict[str, str]]:
    with (CHECKS / "thread_dial.csv").open(newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", chart(), ids=lambda row: row["thread_tpi"])
def test_dial_chart(row: dict[str, str]) -> None:
    """F. D. Jones, Turning and Boring, Principle of the Thread Indicator (seen)."""
    dial = ThreadDial(int(row["wheel_teeth"]), int(row["equally_spaced_lines"]))
    ratio = Fraction(row["lead_tpi"]) / Fraction(row["thread_tpi"])
    lines = usable_lines(dial, ratio)
    published = row["published_(n lines or any)"]
    assert ("any" if lines == "any" else str(len(lines))) == published
    step, _ = step_in_pitches(ratio, 1)
    assert Fraction(step, int(row["lead_tpi"])) == Fraction(
        row["re_engage_spacing_in=lcm(1/L,1/T)"]
    )


def test_four_tpi_on_an_eight_tpi_screw_is_not_anywhere() -> None:
    """A printed lathe manual says "anywhere"; every second place is wrong."""
    nuts = half_nuts(lathe(tpi(8), ThreadDial(16, 8)), Fraction(2), tpi(4))
    assert nuts.how is How.DIAL
    assert nuts.step_mm == pytest.approx(6.35)
    assert nuts.dials[0].lines == (0, 1, 2, 3, 4, 5, 6, 7)


@pytest.mark.parametrize(("lead", "lines"), [(4, (0, 1, 2, 3, 4, 5, 6, 7)), (8, (0, 2, 4, 6))])
def test_dial_lines_on_a_screw_of_two_starts(lead: int, lines: tuple[int, ...]) -> None:
    """Two starts of 2 mm: the nuts close every 2 mm, a line of sixteen teeth comes by every 4 mm,
    and all of those, or every other, are whole leads. A turn of the screw is not a closing."""
    screw = Pitch(Fraction(2), starts=2)
    nuts = half_nuts(lathe(screw, ThreadDial(16, 8)), Fraction(lead, 4), mm(lead))
    assert nuts.how is How.DIAL
    assert nuts.dials[0].lines == lines
    assert (nuts.pitches, nuts.leads, nuts.step_mm) == (lead // 2, 1, lead)


def test_wooden_screw_of_four_turns_stays_closed() -> None:
    """Common practice, no source: 441/110 on a 2 mm screw steps 882 mm, past any small bed."""
    nuts = half_nuts(lathe(mm(2), travel=350), Fraction(441, 110), mm(8))
    assert nuts.step_mm == pytest.approx(882)
    assert (nuts.pitches, nuts.leads) == (441, 110)
    assert (nuts.how, nuts.may_open) == (How.CLOSED, False)
    assert "350 mm" in nuts.why


def test_nearly_a_multiple_is_a_trap() -> None:
    """A true 2 mm on a 4 mm screw may be picked up anywhere; 2.002 mm misses a little more
    every time."""
    nuts = half_nuts(lathe(mm(4), travel=400), Fraction(1001, 2000), mm(2))
    assert nuts.nominal_mm == pytest.approx(4)
    assert nuts.drift_mm == pytest.approx(0.004)  # two leads of 2.002 mm, not of 2 mm
    assert nuts.how is How.CLOSED
    exact = half_nuts(lathe(mm(4)), Fraction(1, 2), mm(2))
    assert exact.nominal_mm is None
    assert exact.how is How.ANYWHERE


@pytest.mark.parametrize(
    ("screw", "travel", "nominal"),
    [
        (Pitch(Fraction(4)), 12.0, 12.0),
        (Pitch(Fraction(4)), 11.9, None),  # the carriage does not go as far
        (Pitch(Fraction(4)), None, 12.0),
        (Pitch(Fraction(1, 4)), 3.0, 3.0),
        (Pitch(Fraction(1, 4)), 2.9, None),
    ],
)
def test_the_trap_lies_within_the_travel(
    screw: Pitch, travel: float | None, nominal: float | None
) -> None:
    """3 mm on a screw of 4 mm drop in every 12 mm, on one of 1/4 mm every 3 mm; cut 1/1000 too
    long they miss there by 12/1000 or 3/1000 mm."""
    ratio = Fraction(3) / screw.rational * Fraction(1001, 1000)
    found = half_nuts(lathe(screw, travel=travel), ratio, mm(3))
    assert found.nominal_mm == nominal
    assert found.drift_mm == (nominal and pytest.approx(nominal / 1000))


def test_a_longer_step_than_the_trains_own_is_no_trap() -> None:
    """5/4 of a turn repeats every 5 pitches; a wanted 1.24 would every 31."""
    found = half_nuts(lathe(mm(1), travel=400), Fraction(5, 4), mm("1.24"))
    assert (found.pitches, found.nominal_mm, found.drift_mm) == (5, None, None)
    same = half_nuts(lathe(mm(1), travel=400), Fraction(5, 4), mm("1.25"))
    assert (same.pitches, same.nominal_mm) == (5, None)


def test_steps_back_that_just_use_the_travel_are_taken() -> None:
    """12 mm a step: 96 mm back for a pass of 96 or less, on 96 mm of travel."""
    for travel, how in ((96.0, How.STANDING), (95.9, How.CLOSED)):
        found = half_nuts(lathe(mm(4), travel=travel), Fraction(3, 4), mm(3), run=90)
        assert found.how is how
        assert found.back == (8 if how is How.STANDING else None)
    for travel, how in ((12.0, How.STANDING), (11.9, How.CLOSED)):
        assert half_nuts(lathe(mm(4), travel=travel), Fraction(3, 4), mm(3)).how is how


def test_one_way_is_told_and_unknown_travel_keeps_them_closed() -> None:
    def how(machine: Lathe, **more: float) -> tuple[How, bool | None]:
        found = half_nuts(machine, Fraction(3, 4), mm(3), **more)  # type: ignore[arg-type]
        return found.how, found.may_open

    assert how(lathe(mm(4))) == (How.CLOSED, None)
    assert how(lathe(mm(4), travel=100)) == (How.STANDING, True)
    assert how(lathe(mm(4), ThreadDial(12, 4))) == (How.DIAL, True)
    assert how(lathe(mm(4), ThreadDial(12, 4), travel=100), screw_drives=True) == (
        How.CLOSED,
        False,
    )
    # 12 mm a step: 90 mm of pass take 96 back, 97 mm take 108, more than the carriage has.
    assert how(lathe(mm(4), travel=100), run=90) == (How.STANDING, True)
    assert half_nuts(lathe(mm(4), travel=100), Fraction(3, 4), mm(3), run=90).back_mm == 96
    assert how(lathe(mm(4), travel=100), run=97) == (How.CLOSED, False)


def test_no_half_nuts_no_dial() -> None:
    nuts = half_nuts(lathe(mm(4), ThreadDial(12, 4), half_nuts=False), Fraction(1, 2), mm(2))
    assert nuts.may_open is False
    assert not nuts.dials


def test_multi_start_meets_another_start_sooner() -> None:
    three = Pitch(Fraction(2), starts=3)
    nuts = half_nuts(lathe(mm(4)), Fraction(3, 2), three)
    assert nuts.step_mm == pytest.approx(12)
    assert nuts.groove_mm == pytest.approx(4)
    assert nuts.leads == 2


def test_pi_pitch_has_no_nominal_step() -> None:
    worm = Pitch(Fraction(1), pi=True)
    assert half_nuts(lathe(mm(3)), Fraction(22, 21), worm).nominal_mm is None


def test_a_left_hand_carriage_is_not_sent_past_its_start() -> None:
    """4 mm on a screw of 6 mm: steps of 12 mm. Right-hand there is room beyond a start, and how
    much of it is told; left-hand the headstock is there, so only steps that end at the start do."""
    ratio, wanted = Fraction(2, 3), mm(4)
    machine = lathe(mm(6), travel=300.0)
    for run, past in ((40.0, 8.0), (47.49, 0.51), (47.5, 0.5), (47.8, 0.2), (48.0, 0.0)):
        right = half_nuts(machine, ratio, wanted, run=run)
        assert right.how is How.STANDING
        assert right.past_mm == pytest.approx(past)
        left = half_nuts(machine, ratio, wanted, run=run, left=True)
        assert left.how is (How.CLOSED if past > STOPS_AT else How.STANDING)
    assert half_nuts(machine, ratio, wanted, left=True).past_mm == 0
