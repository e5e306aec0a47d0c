"""Keyways as people write them: read, or refused when the file is read, with the cure."""

from __future__ import annotations

from pathlib import Path

import pytest
from file_samples import LEAST, write

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe


def keyway(folder: Path, text: str, bore: float = 12) -> str:
    path = write(folder, "lathe.toml", LEAST + f"bore = {bore}\nkeyway = {text}\n")
    return load_lathe(path).making.keyway


def fault(folder: Path, text: str, bore: float = 12) -> Fault:
    with pytest.raises(FaultsError) as caught:
        keyway(folder, text, bore)
    (found,) = caught.value.faults
    return found


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ('""', ""),
        ('"none"', ""),
        ('"No"', ""),
        ('"3x1.4"', "3x1.4"),
        ('"3 mm x 1,4 mm"', "3x1.4"),
        ('"3×1.4mm"', "3x1.4"),
        ('"3 by 1.4"', "3x1.4"),
        ('"1/8 in x 1/16 in"', "3.175x1.5875"),
        ('"1/8 x 1/16 in"', "3.175x1.5875"),
    ],
)
def test_keyways_that_are_read(tmp_path: Path, text: str, read: str) -> None:
    assert keyway(tmp_path, text) == read


@pytest.mark.parametrize(
    "text",
    [
        '"999999999x1.4"',
        '"3x0.00001"',
        '"4 mm"',
        '"DIN 6885"',
        '"three wide"',
        '"0x1"',
        '"3x1.4x2"',
        "4",
        "true",
        "[3, 1.4]",
    ],
)
def test_keyways_that_are_refused(tmp_path: Path, text: str) -> None:
    found = fault(tmp_path, text)
    assert (found.line, found.where) == (9, "gears.keyway")
    assert '"3x1.4"' in found.allowed + found.fix or "quotes" in found.allowed


def test_a_keyway_is_narrower_than_the_bore(tmp_path: Path) -> None:
    found = fault(tmp_path, '"6x2.8"', bore=6)
    assert "wider than the bore" in found.problem
    assert found.also == ((8, "gears.bore = 6"),)
    assert keyway(tmp_path, '"6x2.8"', bore=6.1) == "6x2.8"


@pytest.mark.parametrize(
    ("table", "where"),
    [
        ("[workshop]\nbacklash = 0.51\n", "workshop.backlash"),
        ("[workshop]\noutline_offset = -0.26\n", "workshop.outline_offset"),
        ("face_width = 1e-9\n", "gears.face_width"),
        ("bore = 1e-9\n", "gears.bore"),
    ],
)
def test_sizes_that_no_gear_has(tmp_path: Path, table: str, where: str) -> None:
    with pytest.raises(FaultsError) as caught:
        load_lathe(write(tmp_path, "lathe.toml", LEAST + table))
    (found,) = caught.value.faults
    assert found.where == where
    assert found.line is not None
    assert found.allowed
