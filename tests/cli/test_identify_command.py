"""`gearchest threads --measured`, as a person types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from gearchest.cli.commands import app
from gearchest.cli.exits import Exit
from gearchest.cli.faults import FaultsError


def run(*arguments: str) -> tuple[int, str]:
    """Exit code and output; faults are raised."""
    done = CliRunner().invoke(app, ["threads", *arguments])
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done.exit_code, done.output


def test_a_thread_is_named_and_the_lathe_asked() -> None:
    code, out = run(
        "--measured", "10 in 15.1 mm", "--diameter", "11.9 mm", "--lathe", "mini-7-metric"
    )
    assert code == Exit.DONE
    assert out.startswith("M12x1.5 (> 99 %).")
    row = next(line for line in out.splitlines() if line.startswith("M12x1.5  "))
    assert "exact" in row
    assert "×" in row


def test_the_answer_no_is_4() -> None:
    code, out = run("--measured", "10 threads in 15.2 mm", "--diameter", "12.6 mm")
    assert code == Exit.NO
    assert "1/2 BSF" in out


def test_json_holds_trains_of_the_lathe(tmp_path: Path) -> None:
    target = tmp_path / "thread.json"
    run(
        "--measured", "20 tpi", "--diameter", "1/4 in", "--lathe", "american-12",
        "--json", str(target),
    )  # fmt: skip
    document = json.loads(target.read_text(encoding="utf-8"))
    first, second, *_ = document["candidates"]
    assert [first["name"], second["name"]] == ["1/4-20 UNC", "1/4 BSW"]
    assert first["verdict"] == "exact"
    assert first["train"]["ratio"] == second["train"]["ratio"]
    assert document["tell_apart"]["angles_deg"] == [60, 55]


def test_one_series_can_be_looked_through_alone() -> None:
    _, out = run("whitworth-coarse", "--measured", "20 tpi", "--diameter", "1/4 in")
    assert out.startswith("1/4 BSW (> 99 %).")


def test_what_was_seen_goes_into_the_name() -> None:
    _, out = run(
        "--measured", "10 in 70 mm", "--diameter", "39.8 mm", "--starts", "2", "--left",
        "--angle", "30",
    )  # fmt: skip
    assert out.startswith("Tr40x14 P7 LH (> 99 %).")
    assert "--left" not in out


def test_errors_said_are_taken() -> None:
    _, out = run(
        "--measured", "10 in 15.2 mm", "--diameter", "12.6 mm", "--length-error", "0.8 mm",
        "--diameter-error", "0.1 mm",
    )  # fmt: skip
    assert out.startswith("1/2 BSF")
    assert "1.440 to 1.600 mm" in out


@pytest.mark.parametrize(
    ("arguments", "where", "told"),
    [
        (("--diameter", "10 mm"), "--diameter", "goes with --measured"),
        (("--inside",), "--inside", "goes with --measured"),
        (("--measured", "10 in 15"), "--measured", "unit is missing"),
        (("--measured", "10 in 15 mm", "--diameter", "12"), "--diameter", "unit is missing"),
        (("--measured", "10 in 15 mm", "--angle", "200"), "--angle", "below 180"),
        (("--measured", "2 starts of 3 mm", "--starts", "3"), "--starts", "says 2"),
        (("--measured", "10 in 15 mm", "--csv", "x.csv"), "--csv", "lists of sizes"),
        (("nope", "--measured", "10 in 15 mm"), "SERIES", "no thread series"),
    ],
)
def test_faults_name_their_option(arguments: tuple[str, ...], where: str, told: str) -> None:
    with pytest.raises(FaultsError) as refused:
        run(*arguments)
    assert where in str(refused.value)
    assert told in str(refused.value)
