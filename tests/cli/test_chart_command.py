"""`gearchest chart` from files to JSON and text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import typer
from program import run

from gearchest.cli import chart_command
from gearchest.cli.chart_options import listed_threads
from gearchest.cli.faults import FaultsError
from gearchest.optimizer.chart.build import make_chart

BENCH = Path(__file__).parents[1] / "bench"
BOXED = BENCH / "quick-change"


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Charts go into the folder one stands in."""
    monkeypatch.chdir(tmp_path)


def chart(*arguments: object, code: int = 0) -> dict[str, Any]:
    """The document of a chart."""
    done = run("chart", *arguments, "--json", "-")
    assert done.returncode == code, done.stderr
    document: dict[str, Any] = json.loads(done.stdout)
    return document


def held(document: dict[str, Any]) -> None:
    """What every chart's document says of itself must agree."""
    setups = {setup["name"]: setup for setup in document["setups"]}
    assert list(setups) == [str(number + 1) for number in range(len(setups))]
    put_on = [
        change["on"] is not None
        for changed in (*(setup["changed"] for setup in document["setups"]), document["back"])
        for change in changed
    ]
    assert document["changes"] == sum(put_on) <= document["changes_alone"]
    assert document["bound"] <= document["changes"]
    assert document["proven"] == (document["bound"] == document["changes"])
    for row in document["rows"]:
        assert (row["setup"] is None) == (row["verdict"] not in ("exact", "in tolerance"))
        if row["setup"] is not None:
            assert row["name"] in setups[row["setup"]]["pitches"]
            assert (row["verdict"] == "exact") == (row["error"] == 0)
            assert row["demerits_alone"] <= row["demerits"] <= row["demerits_alone"] + 4
    usual: dict[tuple[str, int], int | None] = {}
    on: dict[tuple[str, int], int | None] = {}
    for changed in (*(setup["changed"] for setup in document["setups"]), document["back"]):
        for change in changed:
            place = change["shaft"], change["plane"]
            usual.setdefault(place, change["off"])
            assert on.get(place, usual[place]) == change["off"]
            on[place] = change["on"]
    if document["back"]:
        assert on == usual


def test_39_threads_behind_a_box_of_48_positions_take_six_trains() -> None:
    document = chart(BOXED / "lathe.toml", "--wants", BOXED / "wants.toml")
    held(document)
    assert len(document["rows"]) == 39
    assert all(row["setup"] for row in document["rows"])
    assert len(document["setups"]) <= 6
    assert document["changes"] <= 11
    assert document["back"][-1]["on"] == 40
    assert {row["gearbox"] for row in document["rows"]} > {"C1", "A1"}


def test_the_bundled_example_with_gears_to_come() -> None:
    document = chart("instrument-repair", "--with", "100 63")
    held(document)
    assert document["with"] == [63, 100]
    assert {gear for one in document["setups"] for gear in one["train"]["missing"]} == {63, 100}
    assert document["back"] == []
    assert document["changes"] <= 45 < document["changes_alone"]


def test_this_evenings_threads_in_the_fewest_changes() -> None:
    """Names of the wants file, and sizes as typed; each once, and proven."""
    document = chart(
        BOXED / "lathe.toml", "--wants", BOXED / "wants.toml", "--only", 'm6,M8,"8 mm"',
        "--only", "M6; 1/2-13 UNC",
    )  # fmt: skip
    held(document)
    assert [row["name"] for row in document["rows"]] == ["M6", "M8", "8 mm", "1/2-13 UNC"]
    assert document["proven"]
    assert document["least_demerits"]


@pytest.mark.parametrize(
    ("text", "threads"),
    [
        ('M6,M8,"8 mm"', ["M6", "M8", "8 mm"]),
        ("1,25 mm,M10x1,25", ["1,25 mm", "M10x1,25"]),
        ("M6;1,25 mm", ["M6", "1,25 mm"]),
        ("M10x1,25, 1,25 mm", ["M10x1,25", "1,25 mm"]),
        ("M10x1,25,1,25 mm,M8", ["M10x1,25", "1,25 mm", "M8"]),
        ("M6,8 mm, 11 tpi", ["M6", "8 mm", "11 tpi"]),
    ],
)
def test_commas_part_threads_and_decimals(text: str, threads: list[str]) -> None:
    assert listed_threads(text) == threads


def test_a_step_of_a_plan(tmp_path: Path) -> None:
    plan = tmp_path / "plan.json"
    plan.write_text(json.dumps({
        "kind": "plan", "lathe": "Bench lathe, instrument repair", "advice": {"step": 1},
        "steps": [{"gears": []}, {"gears": [{"teeth": 63}]}, {"gears": [{"teeth": 63},
                                                                        {"teeth": 100}]}],
    }))  # fmt: skip
    only = ("instrument-repair", "--only", "M6,M8", "--plan", plan)
    assert chart(*only)["with"] == [63]
    assert chart(*only, "--step", 2)["with"] == [63, 100]
    assert "0 to 2" in refused(only=("M6",), plan=plan, step=3)


def refused(**options: Any) -> str:
    """What is told of options that cannot be served."""
    with pytest.raises(FaultsError) as caught:
        chart_command.chart(
            lathe=Path("instrument-repair"), wants=None, out=None, json=None,
            options=chart_command.ChartOptions(**options),
        )  # fmt: skip
    (fault,) = caught.value.faults
    return " ".join((fault.source, fault.where, fault.problem, fault.allowed, fault.fix))


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ({"with_gears": ("forty",)}, "--with"),
        ({"with_gears": ("4",)}, "too small"),
        ({"with_gears": (",",)}, "--with"),
        ({"step": 2}, "--plan plan.json"),
        ({"order": "colour"}, "series, free"),
        ({"only": (",",)}, "--only"),
        ({"only": ("M6,colour",)}, "--only"),
        ({"plan": BOXED / "lathe.toml"}, "no JSON"),
    ],
)
def test_what_cannot_be_charted_is_told(options: dict[str, Any], told: str) -> None:
    assert told in refused(**options)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('{"kind": "reach"}', "this is no plan"),
        ('{"kind": "plan", "lathe": "x", "advice": {"step": 0}, "steps": []}', "another lathe"),
        ("[" * 5000, "no"),
    ],
)
def test_other_documents_and_other_lathes_are_no_plan(tmp_path: Path, text: str, told: str) -> None:
    file = tmp_path / "plan.json"
    file.write_text(text)
    assert told in refused(plan=file)


def test_nothing_that_can_be_cut_is_told_as_no() -> None:
    done = run("chart", "instrument-repair", "--only", "0.2 mm")
    assert done.returncode == 4
    assert "0.2 mm (no train)" in done.stdout


def test_rows_by_series_and_pitch_or_as_their_setups_follow() -> None:
    only = ("--only", "1/4-20 UNC,M8,M6,M4,5/16-18 UNC")
    first = {"M4", "M6", "M8", "1/4-20", "5/16-18"}
    by_series = run("chart", BOXED / "lathe.toml", *only).stdout.splitlines()
    names = [line.split()[0] for line in by_series if line.split()[:1] and line.split()[0] in first]
    assert names == ["M4", "M6", "M8", "1/4-20", "5/16-18"]
    free = run("chart", BOXED / "lathe.toml", *only, "--order", "free").stdout.splitlines()
    at = next(line.index("Setup") + len("Setup") for line in free if line.startswith("Thread"))
    setups = [
        int(line[:at].split()[-1]) for line in free if line.split()[:1] and line.split()[0] in first
    ]
    assert len(setups) == 5
    assert setups == sorted(setups)


def test_time_that_is_up_before_anything_is_found_is_told(tmp_path: Path) -> None:
    out = tmp_path / "chart.html"
    done = run("chart", "instrument-repair", "--time-limit", "0", "--out", out)
    assert done.returncode == 4
    assert "stopped before there was a chart" in done.stderr
    assert not out.exists()


def test_an_interrupted_chart_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C once there is a chart: written, and the exit code says so."""

    def stopped(*arguments: Any, **options: Any) -> Any:
        found = make_chart(*arguments, **options)
        arguments[3].stop()
        return found

    monkeypatch.setattr(chart_command, "make_chart", stopped)
    out = tmp_path / "chart.html"
    with pytest.raises(typer.Exit) as ended:
        chart_command.chart(
            lathe=BOXED / "lathe.toml", wants=None, out=out, json=None,
            options=chart_command.ChartOptions(only=("M6,M8",)),
        )  # fmt: skip
    assert ended.value.exit_code == 130
    assert "Gear chart" in out.read_text(encoding="utf-8")
