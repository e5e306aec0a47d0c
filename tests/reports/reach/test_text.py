"""What `reach` prints: the verdict, the train, how far off, and what would help."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.search.result import Reach, Verdict
from gearchest.reports.reach.text import SHORT_LIST, reach_lines
from gearchest.reports.words.numbers import millimetres, percent
from gearchest.reports.words.wording import gears_written


@pytest.fixture(scope="module")
def lathe() -> Lathe:
    return load_lathe(Path("instrument-repair"))


def found(lathe: Lathe, pitch: str, left: bool = False) -> Reach:
    want = want_from(pitch, lathe=lathe, use=None, diameter=None, left=left)
    return reach(lathe, want, [(lathe.making.gear(teeth), None) for teeth in range(16, 128)])


def test_an_exact_pitch_is_told_with_its_set_up(lathe: Lathe) -> None:
    """16 tpi on a screw of 8 tpi: half a turn a spindle turn, and no error (by hand)."""
    answer = found(lathe, "16 tpi")
    lines = list(reach_lines(lathe, answer))
    assert lines[0].startswith("= 16 tpi")
    assert lines[0].endswith(": exact")
    text = "\n".join(lines)
    assert "0.50 screw turns a spindle turn" in text
    placement = answer.best.fit.placement
    assert placement
    for stud in placement.studs:
        assert millimetres(stud.position) in text
    assert "more would do it" not in text


@pytest.mark.parametrize("name", ["instrument-repair", "mini-7-metric"])
@pytest.mark.parametrize("pitch", ["M5", "M8", "M10", "M16", "8 tpi", "16 tpi"])
def test_the_train_to_set_up_comes_first_and_others_only_where_they_are_better_in_something(
    name: str, pitch: str
) -> None:
    """One nearer in pitch is the kindest of those, one easier on the teeth is by their share."""
    lathe = load_lathe(Path(name))
    answer = found(lathe, pitch)
    best = answer.best
    assert best
    lines = list(reach_lines(lathe, answer))
    assert lines[2].startswith(f"  set up: {gears_written(best.train)}")
    told = {
        title: train
        for line in lines
        if (title := line.strip().partition(": ")[0]) and (train := line.partition(": ")[2])
    }
    nearer = min(abs(one.error) for one in answer.trains)
    kindest = min(
        (one for one in answer.trains if abs(one.error) == nearer),
        key=lambda one: one.merit.demerits,
    )
    title = "closest" if nearer else "without error"
    assert (title in told) == (nearer < abs(best.error))
    if title in told:
        assert told[title].startswith(gears_written(kindest.train))
    least = min(one.merit.tooth_share for one in answer.trains)
    assert ("easier on the teeth" in told) == (percent(least) != percent(best.merit.tooth_share))
    if "easier on the teeth" in told:
        assert f"teeth at {percent(least)}" in told["easier on the teeth"]


def test_an_overloaded_train_is_not_told_as_nearer_or_easier_beside_a_sound_one() -> None:
    """80/50 x 20/60 cuts M5 on the bundled lathe without error, and so does 30/45 x 40/50, whose
    teeth bear it: by the ratio 8 / 15 of both, and the share of the 20."""
    lathe = load_lathe(Path("mini-7-metric"))
    lines = [line for line in reach_lines(lathe, found(lathe, "M5")) if "no error" in line]
    assert "30/45 × 40/50" in lines[0]
    assert not any("OVERLOADED" in line for line in lines)


def test_the_allowance_is_told_with_its_reason(lathe: Lathe) -> None:
    answer = found(lathe, "M6")
    (line,) = [line for line in reach_lines(lathe, answer) if line.startswith("  allowed")]
    assert answer.want.allowance.why in line


def test_what_is_out_of_reach_gets_its_cures(lathe: Lathe) -> None:
    """M6: every train within the allowance falls short of the shafts' distance."""
    answer = found(lathe, "M6")
    assert answer.misfit
    lines = list(reach_lines(lathe, answer))
    assert "exact" not in lines[0]
    assert "in tolerance" not in lines[0]
    assert not any("set up" in line for line in lines)
    assert any("more would do it:" in line for line in lines)
    text = "\n".join(lines)
    assert f"{answer.additions[0].gears[0].teeth}: " in text
    for said in (*answer.misfit.fit.misfits, *answer.cures):  # in the unit of the lathe
        assert said not in text
        assert re.sub(r"[\d.]+ mm", "#", said) in re.sub(r"[\d.]+\u202fin", "#", text)
        for mm in re.findall(r"([\d.]+) mm", said):
            told = [float(one) for one in re.findall(r"([\d.]+)\u202fin", text)]
            assert any(abs(float(mm) - 25.4 * inches) < 0.02 for inches in told)


def test_a_list_is_short_until_all_is_asked_for(lathe: Lathe) -> None:
    answer = found(lathe, "16 tpi")
    assert len(answer.trains) > SHORT_LIST + 2
    short = list(reach_lines(lathe, answer))
    full = list(reach_lines(lathe, answer, everything=True))
    assert any("more (--all lists every one)" in line for line in short)
    assert not any("--all" in line for line in full)
    for one in answer.trains:
        assert any(gears_written(one.train) in line for line in full)


def test_an_unmeasured_arm_is_said(lathe: Lathe) -> None:
    bare = replace(lathe, banjo=None)
    for pitch, verdict in (("16 tpi", Verdict.EXACT), ("0.331 mm", Verdict.OFF)):
        answer = found(bare, pitch)
        assert answer.verdict is verdict
        first, *lines = reach_lines(bare, answer)
        assert first.endswith(", fit unchecked")
        text = "\n".join(lines)
        assert text.count("unchecked: the arm is not measured") == 1
        assert "stud in slot" not in text
        assert "nearest that fits" not in text


def test_left_hand_and_starts_are_said(lathe: Lathe) -> None:
    assert "left hand" in next(iter(reach_lines(lathe, found(lathe, "16 tpi", left=True))))
    assert "lead " in next(iter(reach_lines(lathe, found(lathe, "3 starts of 2 mm"))))
