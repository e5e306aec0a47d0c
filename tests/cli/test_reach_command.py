"""`gearchest reach`: answers for people and for programs, and how it ends."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import typer

from gearchest.cli.faults import FaultsError
from gearchest.cli.reach_command import reach

MINI = Path("mini-7-metric")
SMALL = Path(__file__).parents[1] / "bench" / "small" / "lathe.toml"


def run(*pitches: str, lathe: Path = MINI, **options: Any) -> int:
    usual: dict[str, Any] = {
        "use": None, "tolerance": None, "diameter": None, "left": False, "show_all": False,
        "json": None,
    }  # fmt: skip
    try:
        reach(lathe=lathe, pitches=list(pitches), **{**usual, **options})
    except typer.Exit as end:
        return end.exit_code
    return 0


def answers(capsys: pytest.CaptureFixture[str], *pitches: str, **options: Any) -> list[Any]:
    run(*pitches, json="-", **options)
    document = json.loads(capsys.readouterr().out)
    assert document["kind"] == "reach"
    assert document["version"] == 1
    found: list[Any] = document["pitches"]
    return found


def test_covered_pitches_end_with_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("M10", "1 mm") == 0
    out, err = capsys.readouterr()
    assert "= M10 (1.5 mm" in out
    assert "ISO 965-1" in out
    assert not err


def test_one_pitch_out_of_reach_ends_with_4(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("1 mm", "11.5 tpi") == 4
    out = capsys.readouterr().out
    assert "≠ 11.5 tpi" in out
    assert "1 gear more would do it" in out


def test_json_says_what_was_cut_exactly(capsys: pytest.CaptureFixture[str]) -> None:
    (one,) = answers(capsys, "1.25 mm")
    train = one["closest"]
    ratio = Fraction(1)
    for driver, driven in zip(train["drivers"], train["driven"], strict=True):
        ratio *= Fraction(driver, driven)
    assert Fraction(train["ratio"]) == ratio
    assert ratio * Fraction(3, 2) == Fraction(5, 4)
    assert one["verdict"] == train["verdict"] == "exact"
    assert train["error"] == 0
    assert train["fits"] == "yes"
    assert len(one["trains"]) <= 20


def test_a_misfit_names_millimetres_and_gears_that_would_do(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """35/50 x 40/60 spans (85 + 100) / 2 = 92.5 mm on shafts 96 mm apart."""
    assert run("0.7 mm", lathe=SMALL) == 4
    out = capsys.readouterr().out
    assert "the gears span 92.5 mm, but the shafts are 96 mm apart: 3.5 mm short" in out
    assert out.index("1 gear more would do it") < out.index("an axis distance of at most 92.5 mm")


def test_every_train_where_all_are_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    (one,) = answers(capsys, "M10", show_all=True)
    (short,) = answers(capsys, "M10")
    assert len(one["trains"]) > 20
    assert one["trains"][:20] == short["trains"]


def test_unmeasured_arms_are_said_to_be_unchecked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lathe = tmp_path / "plain.toml"
    lathe.write_text(
        'name = "Plain"\n[leadscrew]\npitch = "2 mm"\n[gears]\nmodule = 1\nowned = [40, 80]\n'
    )
    assert run("1 mm", lathe=lathe) == 0
    assert "unchecked: the arm is not measured" in capsys.readouterr().out
    (one,) = answers(capsys, "1 mm", lathe=lathe)
    assert one["closest"]["fits"] == "unchecked"
    assert one["closest"]["studs"] == []


def test_faults_say_what_to_write() -> None:
    with pytest.raises(FaultsError) as raised:
        run("11-1/2")
    assert "11-1/2 tpi" in str(raised.value.faults[0])
