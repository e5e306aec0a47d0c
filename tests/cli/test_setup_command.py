"""`gearchest setup`: what it writes, what it refuses, how it ends."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import typer

from gearchest.cli.faults import FaultsError
from gearchest.cli.setup_command import setup

REPAIR = Path("instrument-repair")


def run(pitch: str, lathe: Path = REPAIR, **options: Any) -> int:
    try:
        setup(lathe=lathe, pitch=pitch, **options)
    except typer.Exit as end:
        return end.exit_code
    return 0


def test_short_form_goes_to_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("M10") == 0
    out, err = capsys.readouterr()
    assert out.startswith("M10 on Bench lathe, instrument repair")
    assert not err


def test_json_alone_on_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("M10", json="-") == 0
    out, err = capsys.readouterr()
    assert json.loads(out)["kind"] == "setup"
    assert err.startswith("M10 on")


def test_sheet_and_json_are_written(tmp_path: Path) -> None:
    sheet, data = tmp_path / "m10.html", tmp_path / "m10.json"
    assert run("M10", length="30 mm", out=sheet, json=str(data)) == 0
    text = sheet.read_text(encoding="utf-8")
    assert "instrument-repair.toml" in text
    assert "--length" in text
    assert json.loads(data.read_text(encoding="utf-8"))["thread"]["major_mm"] == 10


def test_off_ends_with_4_and_says_so_on_the_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "off.html"
    assert run("25 mm", out=sheet) == 4
    assert ": off" in capsys.readouterr().out
    assert "No train of the gears at hand" in sheet.read_text(encoding="utf-8")


def test_no_train_ends_with_4_and_writes_no_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "none.html"
    assert run("90 mm", out=sheet, json=str(tmp_path / "none.json")) == 4
    assert not sheet.exists()
    assert "was not written" in capsys.readouterr().err
    assert json.loads((tmp_path / "none.json").read_text())["train"] is None


def test_left_hand_and_use_are_passed_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("6 mm", use="wood", diameter="28 mm", left=True, json="-") == 0
    document = json.loads(capsys.readouterr().out)
    assert document["thread"]["left"] is True
    assert document["wood"]["stock_side_mm"] == 31
    assert any(line.startswith("Left hand") for line in document["cautions"])


def test_force_of_the_finished_screw(capsys: pytest.CaptureFixture[str]) -> None:
    options = {"use": "wood", "diameter": "50 mm", "force": "200", "radius": "150 mm"}
    assert run("9 mm", material="hickory", friction="0.2", json="-", **options) == 0
    force = json.loads(capsys.readouterr().out)["force"]
    assert force["torque_nm"] == pytest.approx(30)
    assert force["material"] == "hickory"
    assert force["friction"] == 0.2


@pytest.mark.parametrize(
    ("options", "where", "said"),
    [
        ({"length": "60"}, "--length", "60"),
        ({"run_out": "0 mm"}, "--run-out", "greater than zero"),
        ({"force": "200"}, "--radius", "goes with"),
        ({"radius": "20 mm"}, "--force", "goes with"),
        ({"force": "-1", "radius": "20 mm"}, "--force", "greater than zero"),
        ({"force": "lots", "radius": "20 mm"}, "--force", "lots"),
        ({"form": "acm"}, "--form", '"acme" may be meant'),
        ({"material": "cheese"}, "--material", "hickory"),
        ({"crank_force": "0"}, "--crank-force", "greater than zero"),
    ],
)
def test_bad_options_name_option_value_and_fix(
    options: dict[str, str], where: str, said: str
) -> None:
    with pytest.raises(FaultsError) as error:
        run("M6", **options)
    assert where in str(error.value)
    assert said in str(error.value)


def test_force_needs_a_diameter() -> None:
    with pytest.raises(FaultsError, match="give --diameter"):
        run("2 mm", force="200", radius="100 mm")


def test_unwritable_sheet_is_refused_before_the_work(tmp_path: Path) -> None:
    with pytest.raises(FaultsError, match="no folder"):
        run("M6", out=tmp_path / "nowhere" / "sheet.html")


def test_the_measurement_over_wires_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """M10: best wire 0.866 mm (P / (2 cos 30)); over it d2 + 3 W - 0.86603 P = 10.325 mm, the
    usual shop formula, which leaves the lead angle out (Machinery's Handbook, 60 degrees)."""
    run("M10", json="-")
    out, err = capsys.readouterr()
    wires = json.loads(out)["thread"]["wires"]
    assert wires["best_mm"] == pytest.approx(0.8660, abs=1e-4)
    assert wires["over_best_mm"] == pytest.approx(9.026 + 3 * 0.8660 - 0.86603 * 1.5, abs=2e-3)
    assert wires["exact"]
    assert "Over three wires" in err
