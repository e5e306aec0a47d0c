"""Lines that are no TOML: mended ones read as TOML, and say what was meant."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from file_samples import LEAST, write
from hypothesis import given
from hypothesis import strategies as st

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.mending import mend

ONE = [
    ("half_nuts = yes", "half_nuts = true"),
    ("half_nuts = Off  # worn", "half_nuts = false  # worn"),
    ("half_nuts = True", "half_nuts = true"),
    ("bore = 12,5", "bore = 12.5"),
    ("gap = .5", "gap = 0.5"),
    ("gap = 5.", "gap = 5"),
    ("bore = 012", "bore = 12"),
    ("bore = 12;", "bore = 12"),
    ("bore = 12 mm", 'bore = "12 mm"'),
    ("keyway = 3x1.4", 'keyway = "3x1.4"'),
    ('axis_distance = 7.25"', 'axis_distance = "7.25 in"'),
    ('axis_distance = "7 1/4"" # brass', 'axis_distance = "7 1/4 in" # brass'),
    ('name = "my 7" lathe"', "name = 'my 7\" lathe'"),
    ("pitch = \u201c8 tpi\u201d", 'pitch = "8 tpi"'),
    ("bore\u00a0= 12", "bore = 12"),
    ("swing = [\u221275, 75]", "swing = [-75, 75]"),
    ("swing = [-75°, 75°]", "swing = [-75, 75]"),
    ("bore: 12", "bore = 12"),
    ("axis distance = 110", "axis_distance = 110"),
    ('pitch "8 tpi"', 'pitch = "8 tpi"'),
    ("[bed", "[bed]"),
    ("gears:", "[gears]"),
    ("[[gears.special]", "[[gears.special]]"),
    ("; mine", "# mine"),
    ("// mine", "# mine"),
    ("owned = 2x20, 30", 'owned = "2x20, 30"'),
    ("owned = 20, 20, 30", 'owned = "20, 20, 30"'),
    ("swing = -75, 75", "swing = [-75, 75]"),
    ("owned = [20 20 30]", "owned = [20, 20, 30]"),
    ("owned = [2x20, 30]", 'owned = ["2x20", 30]'),
    ("first_driver_turns = [1, 1/2]", 'first_driver_turns = [1, "1/2"]'),
    ("slots = [{start: 25, end: 95}]", "slots = [{start = 25, end = 95}]"),
    ("slots = [{start = 25 end = 95}]", "slots = [{start = 25, end = 95}]"),
    ("slots = [{start = 1 in, end = 95}]", 'slots = [{start = "1 in", end = 95}]'),
    ("  20 20 30,", "20, 20, 30,"),
    ("bore =", "# bore ="),
]


@pytest.mark.parametrize(("typed", "mended"), ONE)
def test_a_line_is_mended(typed: str, mended: str) -> None:
    slip = mend(4, typed)
    assert slip
    assert (slip.line, slip.mended) == (4, mended)


@pytest.mark.parametrize(
    "line", ["bore = 12", "", "# yes", "owned = [20, 30,", "  20, 30 ]", "[x]"]
)
def test_a_line_that_reads_is_left_alone(line: str) -> None:
    assert mend(1, line) is None


@pytest.mark.parametrize("line", ["my lathe is big", "bore = [", "=", "]", "x" * 2000 + " = yes"])
def test_a_line_without_sense_is_not(line: str) -> None:
    assert mend(1, line) is None


def test_a_list_that_does_not_go_on_is_closed() -> None:
    slip = mend(1, "owned = [20, 30", "[bed]")
    assert slip
    assert slip.mended == "owned = [20, 30]"
    assert mend(1, "owned = [20, 30", "40]") is None


@given(st.text(st.sampled_from("ab01 .,;:=[]{}\"'#/°½\u201c-\n\r"), max_size=25))
def test_a_mended_line_reads(line: str) -> None:
    """As a line, or as a part of a list."""
    if slip := mend(1, line):
        text = slip.mended
        readings = [text, f"x = [\n{text}\n]", f"x = [\n{text}", f"{text}\n]"]
        assert any(reads(reading) for reading in readings)


def reads(text: str) -> bool:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False
    return True


def faults_of(folder: Path, text: str) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        load_lathe(write(folder, "lathe.toml", text))
    return caught.value.faults


def test_one_fault_at_its_own_place(tmp_path: Path) -> None:
    dials = "thread_dials = [ { teeth = 16, lines = 8 } ]"
    text = LEAST.replace('"1.5 mm"', f'"1.5 mm"\nhalf_nuts = yes\n{dials}')
    (fault,) = faults_of(tmp_path, text)
    assert (fault.line, fault.value, fault.fix) == (5, "half_nuts = yes", "write half_nuts = true")


def test_slips_and_all_other_faults_come_at_once(tmp_path: Path) -> None:
    """Also what a slip hides: a list left open swallows the lines that follow."""
    text = (
        "name = Small\n[leadscrew]\npitch = 8\n[gears]\nowned = [20, 30\nmodul = 1\nbore = wide\n"
    )
    found = {(fault.line, fault.fix) for fault in faults_of(tmp_path, text)}
    assert found == {
        (1, 'write name = "Small"'),
        (3, 'write "8 mm" or "8 tpi", whichever is meant'),
        (5, "write owned = [20, 30]"),
        (6, 'did you mean "module"?'),
        (7, 'write it like "50 mm"'),
    }


def test_texts_of_several_lines_are_left_alone(tmp_path: Path) -> None:
    plate = '[gearbox]\nunit = tpi\nplate = """\nA | 4 | 5\nhalf = yes\n"""\n'
    text = LEAST.replace("1.5 mm", "8 tpi").replace("[gears]\n", plate + "[gears]\n")
    text = text.replace("40, 40]", "40, 40]\nusual_train = 20/40")
    found = {(fault.line, fault.fix) for fault in faults_of(tmp_path, text)}
    assert (6, 'write unit = "tpi"') in found
    assert (14, 'write usual_train = "20/40"') in found
    assert {line for line, _ in found} <= {6, 7, 14}


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_lines_keep_their_numbers_and_ends(tmp_path: Path, end: str) -> None:
    path = tmp_path / "lathe.toml"
    path.write_bytes(
        (LEAST + "bore = 12,5\nbed:\nbetween_centres = far\n").replace("\n", end).encode()
    )
    with pytest.raises(FaultsError) as caught:
        load_lathe(path)
    assert [fault.line for fault in caught.value.faults] == [8, 9, 10]


def test_many_slips_end(tmp_path: Path) -> None:
    found = faults_of(tmp_path, LEAST + "half_nuts = yes\n" * 200)
    assert 20 <= len(found) <= 200
    assert found[0].fix == "write half_nuts = true"
