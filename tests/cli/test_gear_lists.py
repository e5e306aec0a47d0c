"""Lists of gears as people write them down, against the same written out one by one."""

from __future__ import annotations

from pathlib import Path

import pytest
from file_samples import LEAST, write

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.optimizer.domain.lathe import Lathe

PLAIN = "owned = [20, 30, 40, 40]"


def lathe(folder: Path, owned: str) -> Lathe:
    return load_lathe(write(folder, "lathe.toml", LEAST.replace(PLAIN, f"owned = {owned}")))


def fault(folder: Path, owned: str) -> Fault:
    with pytest.raises(FaultsError) as caught:
        lathe(folder, owned)
    (found,) = caught.value.faults
    return found


@pytest.mark.parametrize(
    ("owned", "counts"),
    [
        ('"2x20"', [20, 20]), ('["2x20", 30]', [20, 20, 30]), ('"20 20 30"', [20, 20, 30]),
        ('"20, 20, 30"', [20, 20, 30]), ('"20;20;30"', [20, 20, 30]), ('"20x2, 30"', [20, 20, 30]),
        ('"2 × 20, 30T"', [20, 20, 30]), ('"20 (2), 30"', [20, 20, 30]),
        ('"20 (x2) and 30"', [20, 20, 30]), ('"20t 20t 30t"', [20, 20, 30]),
        ('"20 teeth, 30 teeth"', [20, 30]), ('"20 to 24"', [20, 21, 22, 23, 24]),
        ('"20 to 40 by 5, 127"', [20, 25, 30, 35, 40, 127]), ('["20 to 22", 63]', [20, 21, 22, 63]),
        ('["20", "30"]', [20, 30]), ("20", [20]), ("[]", []), ('"20, 20, 30,"', [20, 20, 30]),
        ('"1x20 3*30"', [20, 30, 30, 30]), ('"20 (10)"', [20] * 10),
    ],
)  # fmt: skip
def test_lists_that_are_read(tmp_path: Path, owned: str, counts: list[int]) -> None:
    loose = lathe(tmp_path, owned).chest.loose
    assert [gear.teeth for gear, count in loose for _ in range(count)] == counts


@pytest.mark.parametrize(
    ("owned", "problem", "fix"),
    [
        ('"20-25"', "20 and 25, or all those from 20 to 25", '"20 25" for two gears, or "20 to'),
        ('"30 20-25"', "20 and 25", '"20 25"'),
        ('"25-20"', "hyphen", '"25 20"'),
        ('"20x30"', "20 gears of 30 teeth, or 30 gears of 20", 'write "30 (20)" for 20 gears'),
        ('"20, 5"', "5 teeth are too small", "check"),
        ('"20 (600)"', "nobody owns", "check"), ('"0x20"', "nobody owns", "check"),
        ('["20 dp 40"]', "another module or DP", "[[gears.special]]"),
        ('"20 m0.8"', "another module or DP", "[[gears.special]]"),
        ('"twenty"', '"twenty" is no tooth count', '"20 20 30"'),
        ('""', "no tooth count", '"20 20 30"'),
        ("[20.5]", "whole", "count"),
        ("true", "not a number", "number"),
    ],
)  # fmt: skip
def test_lists_that_are_asked_about(tmp_path: Path, owned: str, problem: str, fix: str) -> None:
    found = fault(tmp_path, owned)
    assert problem in found.problem
    assert fix in found.fix
    assert (found.line, found.where.partition("[")[0]) == (7, "gears.owned")
    assert found.value in owned


def test_gears_of_another_pitch_have_a_table(tmp_path: Path) -> None:
    text = LEAST + '[[gears.special]]\ndp = 20\nteeth = "2x40, 45"\n'
    chest = load_lathe(write(tmp_path, "lathe.toml", text)).chest
    inch = {gear.teeth: count for gear, count in chest.loose if float(gear.module) == 1.27}
    assert inch == {40: 2, 45: 1}
    assert chest.size == 7


def test_both_module_and_dp_are_answered_with_that_table(tmp_path: Path) -> None:
    with pytest.raises(FaultsError) as caught:
        load_lathe(
            write(tmp_path, "lathe.toml", LEAST.replace("module = 1", "module = 1\ndp = 20"))
        )
    (found,) = caught.value.faults
    assert "[[gears.special]], dp = 20" in found.fix


def test_one_gear_is_pinned_to_another(tmp_path: Path) -> None:
    text = LEAST + '[[gears.special]]\nteeth = "2x40"\npinned_to = 20\n'
    with pytest.raises(FaultsError) as caught:
        load_lathe(write(tmp_path, "lathe.toml", text))
    (found,) = caught.value.faults
    assert found.where == "gears.special[1].teeth"
