"""A gearbox as its plate says: the ratios a plate was made from come out of it again."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest
from file_samples import LEAST, write
from program import run

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.optimizer.domain.lathe import Lathe

USUAL = 'usual_train = "40/(48)/80"\n'
GEARS = LEAST.replace("[gears]\n", f"[gears]\n{USUAL}")
HALF = Fraction(1, 2)
"""What the usual train's gears make of a turn of the spindle."""


def lathe_with(folder: Path, box: str, least: str = GEARS) -> Lathe:
    return load_lathe(write(folder, "lathe.toml", f"{least}\n[gearbox]\n{box}\n"))


def faults(folder: Path, box: str, least: str = GEARS) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        lathe_with(folder, box, least)
    return caught.value.faults


def screw(text: str) -> str:
    """The least file with another leadscrew."""
    start = GEARS.index("pitch = ")
    return GEARS[:start] + f'pitch = "{text}"' + GEARS[GEARS.index("\n", start) :]


LISTS = 'plate = { A = ["4 tpi", "4 1/2 tpi", "-"], B = ["8 tpi", "", "11.5 tpi"] }'
BARS = 'unit = "tpi"\nplate = """\nA | 4 | 4 1/2 | -\nB | 8 | | 11 1/2\n"""'
SPACED = 'unit = "tpi"\nplate = """\n  A   4  4 1/2  -\n\n  B   8  -  11.5\n"""'
SINGLE = 'unit = "tpi"\nplate = """\nA 4 4 1/2 -\nB: 8 - 11-1/2"""'
UNBARRED = 'unit = "tpi"\nplate = """\nA  4 | 4 1/2 | -\nB 8 | - | 11 1/2\n"""'
NAMELESS = 'unit = "tpi"\nplate = """\n4 4 1/2 -\n8 - 11-1/2"""'
TABBED = 'plate = "A\\t4 tpi\\t4 1/2 tpi\\nB\\t8 TPI\\t\\t11,5 tpi"'
NUMBERS = 'unit = "tpi"\nplate = { A = [4, 4.5, ""], B = [8, "-", 11.5] }'
ROWS = 'unit = "tpi"\nplate = { A = "4 | 4 1/2", B = "8 - 11 1/2" }'


@pytest.mark.parametrize(
    "box", [LISTS, BARS, SPACED, SINGLE, UNBARRED, NAMELESS, TABBED, NUMBERS, ROWS]
)
def test_a_plate_as_people_type_it(tmp_path: Path, box: str) -> None:
    """An inch screw of 8 tpi, and 40/80 hung: position B1 turns the screw as the spindle turns."""
    found = lathe_with(tmp_path, box, screw("8 tpi")).gearbox
    assert [name for name, _ in found] == ["A1", "A2", "B1", "B3"]
    for (_, ratio), threads in zip(found, ("4", "9/2", "8", "23/2"), strict=True):
        assert Fraction(1, 8) * HALF * ratio == 1 / Fraction(threads)


def test_rows_told_apart_by_numbers_keep_them(tmp_path: Path) -> None:
    box = 'unit = "tpi"\nplate = """\nLow 1 | 4 | 9\nLow 2 | 8 | 18\n"""'
    found = lathe_with(tmp_path, box, screw("8 tpi")).gearbox
    assert [name for name, _ in found] == ["Low 11", "Low 12", "Low 21", "Low 22"]


@pytest.mark.parametrize("cell", ["0.05 mm", "0,05 mm/rev", "1/20 mm per rev", "0.05 mm / turn"])
def test_feeds_and_metric_plates(tmp_path: Path, cell: str) -> None:
    found = lathe_with(tmp_path, f'plate = {{ A = ["{cell}", "2 mm"] }}', screw("4 mm")).gearbox
    assert found == (("A1", Fraction(1, 40)), ("A2", Fraction(1)))


def test_a_metric_plate_on_an_inch_screw_stays_exact(tmp_path: Path) -> None:
    (position,) = lathe_with(tmp_path, 'plate = { A = ["1 mm"] }', screw("8 tpi")).gearbox
    assert position == ("A1", Fraction(80, 254) * 2)


def test_the_levers_first_position_counts(tmp_path: Path) -> None:
    head = '[headstock]\nfirst_driver_turns = ["1/2", "2"]\n'
    least = screw("4 mm") + head
    assert lathe_with(tmp_path, 'plate = { A = ["1 mm"] }', least).gearbox[0][1] == 1


@pytest.mark.parametrize(
    ("box", "where", "problem", "fix"),
    [
        ('plate = { A = ["4"] }', "gearbox.plate.A[1]", "unit", 'unit = "tpi"'),
        ('plate = { A = [4] }', "gearbox.plate.A[1]", "unit", '"4 tpi" or "4 mm"'),
        ('plate = { A = ["4 tpi", "x tpi"] }', "gearbox.plate.A[2]", "read", "8 tpi"),
        ('plate = { A = ["", "-"] }', "gearbox.plate", "blank", "[gearbox]"),
        ('plate = """\nA | 4 tpi\nA | 8 tpi"""', "gearbox.plate", "twice", "lever"),
        ('plate = """\nA | 4 tpi\n8 tpi | 9 tpi"""', "gearbox.plate", "no name", "A | 4"),
        ('plate = """\nA | 4 tpi | 5 zz"""', "gearbox.plate.A[2]", '"5 zz"', "use one of"),
        ('plate = { A = ["0.5 module"] }', "gearbox.plate.A[1]", "pi", "blank"),
        ('unit = "furlong"\nplate = { A = ["4 tpi"] }', "gearbox.unit", "words", "one of"),
        (LISTS + '\nratios = { A = "1" }', "gearbox.plate", "cannot both", "keep"),
        ('unit = "tpi"', "gearbox", "missing", "plate = "),
    ],
)  # fmt: skip
def test_what_cannot_be_read(tmp_path: Path, box: str, where: str, problem: str, fix: str) -> None:
    (fault,) = faults(tmp_path, box)
    assert (fault.where, fault.line is not None) == (where, True)
    assert problem in fault.problem
    assert fix in fault.fix


def test_two_positions_of_one_name(tmp_path: Path) -> None:
    cells = ", ".join(['"4 tpi"'] * 11)
    (fault,) = faults(tmp_path, f'plate = {{ A = [{cells}], A1 = ["5 tpi"] }}')
    assert "called A11" in fault.problem


def test_a_plate_holds_with_a_train(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, LISTS, LEAST)
    assert (fault.where, fault.allowed) == (
        "gearbox.plate", 'usual_train = "40/(48)/40" in [gears]',
    )  # fmt: skip


@pytest.mark.parametrize("train", ["40/48/80", "40", "many"])
def test_a_usual_train_that_is_none(tmp_path: Path, train: str) -> None:
    (fault,) = faults(tmp_path, LISTS, GEARS.replace("40/(48)/80", train))
    assert (fault.where, fault.value) == ("gears.usual_train", f'"{train}"')
    assert "40/80" in fault.allowed


def test_check_says_what_it_understood(tmp_path: Path) -> None:
    path = write(tmp_path, "lathe.toml", f"{screw('8 tpi')}\n[gearbox]\n{LISTS}\n")
    done = run("check", path)
    assert done.returncode == 0
    line = "gearbox of 4 positions, with 40/(48)/80 on the lathe: 11.5 tpi at B3 to 4 tpi at A1"
    assert line in done.stdout
    assert "not among those owned: 48" in done.stdout


def test_a_position_of_the_plate_cuts_what_it_says(tmp_path: Path) -> None:
    """Seen through the whole program: with the usual train hung, on an unmeasured arm."""
    box = 'plate = { A = ["4 tpi", "4 1/2 tpi"] }'
    gears = screw("8 tpi").replace("40/(48)/80", "40/20")
    path = write(tmp_path, "lathe.toml", f"{gears}\n[gearbox]\n{box}\n")
    done = run("reach", path, "4 1/2 tpi", "--json", "-")
    best = json.loads(done.stdout)["pitches"][0]["best"]
    assert (best["drivers"], best["driven"], best["gearbox"]) == ([40], [20], "A2")
    assert best["error"] == 0
