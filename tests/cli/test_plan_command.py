"""`gearchest plan` as a whole process: files in, report and JSON out, Ctrl-C, faults."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from gearchest.cli import plan_command
from gearchest.cli.commands import app
from gearchest.optimizer.search import copies
from gearchest.reports.plan import sheet

SMALL = Path(__file__).parents[1] / "bench" / "small"


COVERED = ("exact", "in tolerance")

QUICK = "--no-what-if"
"""For what does not look at the report."""


def start(folder: Path, *options: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "gearchest.cli.main", "plan", *options]
    return subprocess.Popen(
        command, cwd=folder, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )


def run(folder: Path, *options: str) -> tuple[int, str, str]:
    process = start(folder, *options)
    out, err = process.communicate(timeout=120)
    return process.returncode, out, err


def small(*options: str) -> tuple[str, ...]:
    files = ("--wants", str(SMALL / "wants.csv"), "--offers", str(SMALL / "offers.csv"))
    return (str(SMALL / "lathe.toml"), *files, "--no-charts", *options)


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, str]:
    """A plan with everything: its folder, and what was said."""
    folder = tmp_path_factory.mktemp("planned")
    code, out, err = run(folder, *small("--most", "2", "--json", "plan.json"))
    assert code == 0, err
    return folder, out, err


def test_report_and_json(planned: tuple[Path, str, str]) -> None:
    folder, out, err = planned
    report = Path(out.splitlines()[-1])
    assert report == folder / "lathe-plan.html"
    text = report.read_text(encoding="utf-8")
    assert "Benchmark, small" in text
    assert 'id="what-if"' in text
    document = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert [step["added"] for step in document["steps"]] == [0, 1, 2]
    assert all(step["proven"] for step in document["steps"])
    assert [step["covered"] for step in document["steps"]] == [12, 25, 30]
    assert "step 2, covered weight: best so far 30, bound 30" in err


def test_an_alternative_is_told_as_it_is_cut(
    planned: tuple[Path, str, str], tmp_path: Path
) -> None:
    """Its largest error and demerits are those of a plan that may take nothing else."""
    document = json.loads((planned[0] / "plan.json").read_text(encoding="utf-8"))
    other = document["steps"][1]["alternatives"][0]
    (gear,) = other["gears"]
    terms = ("--include", str(gear), "--most", "1", QUICK, "--json", "-")
    code, out, err = run(tmp_path, *small(*terms))
    assert code == 0, err
    alone = json.loads(out)
    assert alone["steps"][1]["demerits"] == other["demerits"]
    cut = [pitch["steps"][1] for pitch in alone["pitches"]]
    errors = [abs(one["train"]["error"]) for one in cut if one["verdict"] in COVERED]
    assert other["largest_error"] == pytest.approx(max(errors), abs=1e-9)


def test_json_alone_on_standard_output(tmp_path: Path) -> None:
    code, out, _ = run(tmp_path, *small("--most", "1", QUICK, "--json", "-"))
    assert code == 0
    assert json.loads(out)["kind"] == "plan"


def test_conditions(tmp_path: Path) -> None:
    terms = ("--include", "90", "--keep-out", "85", "--budget", "2", "--most", "3")
    code, out, err = run(tmp_path, *small(*terms, QUICK, "--json", "-"))
    assert code == 0, err
    steps = json.loads(out)["steps"]
    for step in steps[1:]:
        teeth = [gear["teeth"] for gear in step["gears"]]
        assert 90 in teeth
        assert 85 not in teeth
        assert step["price"] <= 2


def test_cover_and_sell(tmp_path: Path) -> None:
    code, out, err = run(tmp_path, *small("--most", "1", QUICK, "--cover", "all", "--sell"))
    assert code == 0, err
    assert "cheapest to cover all" in out
    assert "30 of 30 threads" in out
    assert "could be sold together" in out


def test_two_lathes_share_a_chest(tmp_path: Path) -> None:
    other = (SMALL / "lathe.toml").read_text(encoding="utf-8").replace("1.5 mm", "12 tpi", 1)
    (tmp_path / "other.toml").write_text(other.replace("Benchmark", "Other"), encoding="utf-8")
    code, out, err = run(tmp_path, *small("--most", "1", "--also", "other.toml", "--json", "-"))
    assert code == 0, err
    # an inch screw beside the metric one cuts the inch threads the metric one cannot
    assert json.loads(out)["steps"][0]["covered"] > 12


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--include", "19"), "no gear of this tooth count is on offer"),
        (("--include", "85", "--keep-out", "85"), "included and kept out"),
        (("--include", "85", "--budget", "0"), "more than the budget"),
        (("--cover", "M99"), "no want's name"),
        (("--cover", "101 %"), "at most 100 %"),
        (("--aims", "load,cost"), "not an aim"),
        (("--budget", "-1"), "cannot be negative"),
    ],
)
def test_faults_of_the_command_line(tmp_path: Path, options: tuple[str, ...], said: str) -> None:
    code, _, err = run(tmp_path, *small("--most", "1", *options))
    assert code == 3
    assert said in err
    assert "Traceback" not in err
    assert not list(tmp_path.iterdir())


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C is sent otherwise there")
def test_the_first_interrupt_keeps_the_best_so_far(tmp_path: Path) -> None:
    process = start(tmp_path, *small("--most", "12", "--json", "plan.json"))
    assert process.stderr is not None
    for line in process.stderr:
        if line.startswith("step 3"):
            break
    process.send_signal(signal.SIGINT)
    out, _ = process.communicate(timeout=60)
    assert process.returncode == 130
    steps = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))["steps"]
    assert steps[3]["proven"]
    assert not steps[12]["proven"]
    assert steps[12]["stopped_by"] == "interrupted"
    page = Path(out.splitlines()[-1]).read_text(encoding="utf-8")
    assert "not proven" in page
    assert 'id="what-if"' not in page  # nobody who wants to stop waits for more


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C is sent otherwise there")
def test_an_interrupt_while_the_report_is_drawn_does_not_lose_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    drawn = sheet.plan_sheet

    def interrupted(*args: Any, **options: Any) -> str:
        os.kill(os.getpid(), signal.SIGINT)
        return drawn(*args, **options)

    monkeypatch.setattr(sheet, "plan_sheet", interrupted)
    out = tmp_path / "plan.html"
    code = app(["plan", *small("--most", "1", QUICK, "--out", str(out))], standalone_mode=False)
    assert code == 130
    assert "press again to give up" in capsys.readouterr().err
    assert "</html>" in out.read_text(encoding="utf-8")
    assert list(tmp_path.iterdir()) == [out]


def test_the_time_limit_is_kept(tmp_path: Path) -> None:
    began = time.monotonic()
    code, out, err = run(
        tmp_path, *small("--most", "12", "--time-limit", "0.5", QUICK, "--json", "-")
    )
    assert code == 0, err
    assert time.monotonic() - began < 60  # it would be minutes without
    last = json.loads(out)["steps"][-1]
    assert last["proven"] or last["stopped_by"]


def test_left_hand_threads_take_the_other_parity(tmp_path: Path) -> None:
    """The boxed lathe has no lever: an even number of meshes cuts right, an odd one left."""
    boxed = SMALL.parent / "boxed"
    few = (boxed / "wants.csv").read_text(encoding="utf-8").splitlines()[::6]
    (tmp_path / "wants.csv").write_text("\n".join(few), encoding="utf-8")
    files = ("--wants", "wants.csv", "--offers", str(boxed / "offers.csv"))
    options = (str(boxed / "lathe.toml"), *files, "--no-charts", QUICK, "--most", "1")
    for hand, parity in ((), 0), (("--left",), 1):
        code, out, err = run(tmp_path, *options, *hand, "--json", "-")
        assert code == 0, err
        trains = [s["train"] for p in json.loads(out)["pitches"] for s in p["steps"] if s["train"]]
        assert trains
        assert {train["meshes"] % 2 for train in trains} == {parity}


def test_workers_reach_every_search(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The plan's, that of the gears to spare, that of the table for ticking gears."""
    asked = []

    class Pool(ThreadPoolExecutor):
        def __init__(self, workers: int) -> None:
            asked.append(workers)
            super().__init__(workers)

    monkeypatch.setattr(copies, "ThreadPoolExecutor", Pool)
    monkeypatch.setattr(plan_command, "in_copies", copies.in_threads)
    out = ("--out", str(tmp_path / "plan.html"))
    app(["plan", *small("--most", "1", "--sell", "--workers", "3", *out)], standalone_mode=False)
    assert asked == [3, 3, 3]


def test_the_ticking_table_can_be_left_out(tmp_path: Path) -> None:
    code, _, err = run(tmp_path, *small("--most", "0", "--no-what-if", "--out", "x.html"))
    assert code == 0, err
    assert 'id="what-if"' not in (tmp_path / "x.html").read_text(encoding="utf-8")
