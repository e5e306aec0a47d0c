"""Keys that no table has: the one that was meant is proposed, and read as if it stood there."""

from __future__ import annotations

from pathlib import Path

import pytest
from file_samples import LEAST, write

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.keys import OTHER_WORDS, known_keys, near_key
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.lathe_tables import BanjoTable, GearsTable, HeadstockTable, LatheFile
from gearchest.cli.files.wants import WantTable, load_wants

TABLES = {"lathe": LatheFile, "banjo": BanjoTable, "gears": GearsTable,
          "head": HeadstockTable, "want": WantTable}  # fmt: skip


@pytest.mark.parametrize(
    ("table", "word", "key"),
    [
        ("want", "dia", "diameter"), ("want", "tol", "tolerance"), ("want", "Pitch", "pitch"),
        ("want", "wieght", "weight"), ("want", "engagement", "engaged"),
        ("banjo", "axis", None),  # axis_angle or axis_distance
        ("banjo", "axis-distance", "axis_distance"), ("banjo", "centre_distance", "axis_distance"),
        ("banjo", "slot", "slots"), ("banjo", "stud", None),
        ("banjo", "cover", "largest_tip_diameter"), ("gears", "module_mm", "module"),
        ("gears", "modul", "module"), ("gears", "mod", "module"), ("gears", "DP", "dp"),
        ("gears", "face", "face_width"), ("gears", "have", "owned"),
        ("head", "rpm", "lowest_rpm"), ("head", "reverse", "reversing"), ("head", "zzz", None),
        ("lathe", "lead_screw", "leadscrew"), ("lathe", "arm", "banjo"), ("lathe", "gear", None),
    ],
)  # fmt: skip
def test_the_key_that_was_meant(table: str, word: str, key: str | None) -> None:
    known = known_keys(TABLES[table])
    if key is None:
        assert near_key(word, known) in {None, *(k for k in known if word in k)}
    else:
        assert near_key(word, known) == key


def test_other_words_stand_for_keys_there_are() -> None:
    every = {key for table in (LatheFile, *TABLES.values()) for key in known_keys(table)}
    assert set(OTHER_WORDS.values()) <= every
    assert not set(OTHER_WORDS) & every


def faults_of(folder: Path, text: str) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        load_lathe(write(folder, "lathe.toml", text))
    return caught.value.faults


def test_a_misspelt_key_that_must_be_there_is_one_fault(tmp_path: Path) -> None:
    (fault,) = faults_of(tmp_path, LEAST.replace("owned", "owend"))
    assert (fault.line, fault.where, fault.fix) == (7, "gears.owend", 'did you mean "owned"?')


def test_what_stands_under_a_misspelt_key_is_looked_at(tmp_path: Path) -> None:
    first, second = faults_of(tmp_path, LEAST.replace("module = 1", 'modul = "one"'))
    assert (first.line, second.line) == (6, 6)
    assert {first.fix, second.fix} == {'did you mean "module"?', "write digits, as in 1.5"}


def test_a_key_in_another_table_is_sent_there(tmp_path: Path) -> None:
    text = 'name = "x"\n[leadscrew]\npitch = "8 tpi"\nmodule = 1\nowned = "20 30"\nunits = "in"\n'
    found = {(fault.line, fault.fix) for fault in faults_of(tmp_path, text)}
    assert found == {
        (4, "move it below [gears]"),
        (5, "move it below [gears]"),
        (6, "move it to the top of the file"),
    }


def test_a_misspelt_key_beside_the_right_one_is_taken_out(tmp_path: Path) -> None:
    (fault,) = faults_of(tmp_path, LEAST + "owend = [20]\n")
    assert fault.fix == "take it out"
    assert "owned" in fault.allowed


def test_keys_of_wants(tmp_path: Path) -> None:
    text = '[[want]]\nsize = "M6"\n[[want]]\npitch = "8 tpi"\ndia = "1 in"\nimportance = 2\n'
    with pytest.raises(FaultsError) as caught:
        load_wants(write(tmp_path, "wants.toml", text), load_lathe(Path("mini-7-metric")))
    assert [fault.fix for fault in caught.value.faults] == [
        'did you mean "pitch"?', 'did you mean "diameter"?', 'did you mean "weight"?',
    ]  # fmt: skip
