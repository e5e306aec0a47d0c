"""`gearchest setup --train`: a train of the reader's own choosing, judged as any other."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import typer
from file_samples import write

from gearchest.cli.faults import FaultsError
from gearchest.cli.reach_command import reach
from gearchest.cli.setup_command import setup

BOXED = """
name = "Gearbox lathe"
[leadscrew]
pitch = "8 tpi"
[gearbox]
unit = "tpi"
plate = "A 4 5 6 \\n B 8 10 12 \\n C 16 20 24"
[gears]
module = 1.0
face_width = 8.0
owned = "30 40 40 50 60 63 80"
usual_train = "40/(60)/40"
[banjo]
axis_distance = 100.0
slots = [ { start = 25.0, end = 95.0 } ]
"""


@pytest.fixture
def boxed(tmp_path: Path) -> Path:
    return write(tmp_path, "lathe.toml", BOXED)


def run(lathe: Path, pitch: str, **options: Any) -> tuple[int, dict[str, Any]]:
    """Exit code and the JSON document."""
    target = lathe.with_name("setup.json")
    code = 0
    try:
        setup(lathe=lathe, pitch=pitch, json=str(target), **options)
    except typer.Exit as end:
        code = end.exit_code
    return code, json.loads(target.read_text(encoding="utf-8"))


def test_the_train_asked_for_is_the_one_on_the_sheet(boxed: Path) -> None:
    """The program alone would hang 40/(60)/40 and take position B2."""
    sheet = boxed.with_name("sheet.html")
    code, document = run(boxed, "10 tpi", train="40/(50)/80", out=sheet)
    train = document["train"]
    assert (code, document["chosen"], document["verdict"]) == (0, True, "exact")
    assert (train["drivers"], train["driven"], train["idlers"]) == (
        [40], [80], [{"teeth": 50, "stage": 1}],
    )  # fmt: skip
    assert (train["gearbox"], train["error"], train["fits"]) == ("A2", 0, "yes")
    text = sheet.read_text(encoding="utf-8").replace("\u202f", " ")
    assert "40/(50)/80" in text
    assert "the one to set up is 40/(60)/40, gearbox B2" in text


def test_the_programs_own_train_asked_for_says_the_same(boxed: Path) -> None:
    _, alone = run(boxed, "10 tpi")
    _, asked = run(boxed, "10 tpi", train="40/(60)/40")
    assert (alone.pop("chosen"), asked.pop("chosen")) == (False, True)
    assert asked == alone


def test_the_position_that_comes_nearest_is_taken_unless_one_is_asked_for(boxed: Path) -> None:
    """60/40 and 9 tpi: position C1 gives 10 2/3, B3 8 tpi; 1/8 against 5/32 off."""
    code, document = run(boxed, "9 tpi", train="60/(50)/40")
    assert (code, document["train"]["gearbox"]) == (4, "B3")
    assert document["train"]["error"] == pytest.approx(Fraction(1, 8))
    code, document = run(boxed, "9 tpi", train="60/(50)/40", gearbox="c1")
    assert document["train"]["gearbox"] == "C1"
    assert document["train"]["error"] == pytest.approx(Fraction(-5, 32))
    assert document["verdict"] == "off"


@pytest.mark.parametrize(
    ("train", "pitch", "verdict", "fits", "missing", "said"),
    [
        ("40/(60)/40", "11 tpi", "off", "yes", [], "errs more"),
        ("40/(30)/40", "10 tpi", "does not fit", "no", [], "1.181 in short"),
        ("50/(40)/63", "10 tpi", "off", "no", [], "in short"),
        ("40/(70)/40", "10 tpi", "exact", "yes", [70], "for which to get 70 first"),
        ("40/80 x 40/80 x 80/40", "10 tpi", "does not fit", "no", [40, 80, 80], "2 studs"),
        ("80/40 x 80/40", "60 tpi", "off", "yes", [80], "errs more"),
    ],
)
def test_what_is_wrong_stands_on_the_sheet(
    boxed: Path,
    capsys: pytest.CaptureFixture[str],
    train: str,
    pitch: str,
    verdict: str,
    fits: str,
    missing: list[int],
    said: str,
) -> None:
    sheet = boxed.with_name("sheet.html")
    code, document = run(boxed, pitch, train=train, out=sheet)
    found = document["train"]
    assert (document["verdict"], found["fits"], found["missing"]) == (verdict, fits, missing)
    assert code == (0 if verdict == "exact" else 4)
    assert document["cautions"]
    assert said in sheet.read_text(encoding="utf-8").replace("\u202f", " ")
    assert said in capsys.readouterr().out


def fault(lathe: Path, **options: Any) -> Any:
    with pytest.raises(FaultsError) as caught:
        setup(lathe=lathe, pitch="10 tpi", **options)
    (one,) = caught.value.faults
    return one


def test_what_cannot_be_meant_is_refused(boxed: Path) -> None:
    found = fault(boxed, train="40/60/40")
    assert (found.where, found.value) == ("--train", "40/60/40")
    assert '"40/(60)/40"' in found.fix
    found = fault(boxed, train="40/(60)/40", gearbox="D1")
    assert (found.where, found.allowed.split(", ")[0]) == ("--gearbox", "A1")
    assert fault(boxed, gearbox="A1").where == "--gearbox"
    gearbox = BOXED[BOXED.index("[gearbox]") : BOXED.index("[gears]")]
    fixed = '[headstock]\nreversing = false\nright_hand_meshes = "even"\n'
    other = write(boxed.parent, "other.toml", BOXED.replace(gearbox, fixed))
    assert "no gearbox" in fault(other, train="40/(60)/40", gearbox="A1").problem
    found = fault(other, train="40/(30)/(30)/80")
    assert (found.where, "left-hand" in found.problem) == ("--train", True)
    assert "--left" in found.fix


def test_reach_and_setup_take_their_aims_in_order(
    boxed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Load first takes the lightest train within the allowance, which reach names anyway."""
    target = boxed.with_name("reach.json")

    def best(aims: str | None) -> Any:
        reach(lathe=boxed, pitches=["3 mm"], use=None, tolerance="1 %", diameter=None, left=False,
              show_all=False, aims=aims, json=str(target))  # fmt: skip
        return json.loads(target.read_text(encoding="utf-8"))["pitches"][0]

    usual, lightest, nearest = best(None), best("load"), best("error")
    assert lightest["best"]["tooth_load"] == usual["easiest"]["tooth_load"]
    assert usual["best"]["tooth_load"] > usual["easiest"]["tooth_load"]
    assert abs(nearest["best"]["error"]) == abs(usual["closest"]["error"])
    assert run(boxed, "3 mm", tolerance="1 %", aims="load")[1]["train"] == lightest["best"]
    with pytest.raises(FaultsError, match="not an aim"):
        best("cheapness")
