"""Lengths of a lathe file in whatever unit, and arms that look measured in another."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest
import typer
from file_samples import LEAST, write

from gearchest.cli.check_command import check
from gearchest.cli.commands import app
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.optimizer.domain.lathe import Banjo, Lathe
from gearchest.reports.words.numbers import inch_first

ARM = "[banjo]\naxis_distance = {}\nslots = [ {{ start = {}, end = {} }} ]\n"


def lathe(folder: Path, text: str) -> Lathe:
    return load_lathe(write(folder, "lathe.toml", text))


def arm(folder: Path, text: str) -> Banjo:
    banjo = lathe(folder, text).banjo
    assert banjo
    return banjo


@pytest.mark.parametrize(
    ("distance", "start", "end"),
    [
        ("184.15", "38.1", "152.4"),
        ('"184.15 mm"', '"38.1mm"', '"152,4 mm"'),
        ('"18.415 cm"', '"3,81 cm"', '"15.24cm"'),
        ('"7 1/4 in"', '"1 1/2 in"', "'6\"'"),
        ('"7-1/4 inches"', '"1.5 inch"', '"6000 thou"'),
        ('"7\u00bc\u2033"', '"1\u00bd\u2033"', '"6 in"'),
    ],
)
def test_lengths_with_their_unit(tmp_path: Path, distance: str, start: str, end: str) -> None:
    """7 1/4 in are 184.15 mm, 1 1/2 in 38.1 mm, 6 in 152.4 mm."""
    found = arm(tmp_path, LEAST + ARM.format(distance, start, end))
    slot = found.slots[0]
    assert (found.axis_distance, slot.start, slot.end) == pytest.approx((184.15, 38.1, 152.4))


@pytest.mark.parametrize(
    ("units", "distance"),
    [("in", "7.25"), ("inches", '"7 1/4"'), ("IN", '"184.15 mm"'), ("cm", "18.415"),
     ("mm", "184.15"), ("metric", '"7 1/4 in"')],
)  # fmt: skip
def test_the_units_of_a_file(tmp_path: Path, units: str, distance: str) -> None:
    """A length that bears its unit keeps it; module and DP are what they are."""
    text = f'units = "{units}"\n{LEAST}' + ARM.format(distance, '"1.5 in"', '"6 in"')
    assert arm(tmp_path, text).axis_distance == pytest.approx(184.15)
    assert lathe(tmp_path, text).making.module == 1


def test_reports_speak_the_files_own_unit_first(tmp_path: Path) -> None:
    inch = LEAST.replace("1.5 mm", "8 tpi")
    assert [inch_first(lathe(tmp_path, text)) for text in (
        LEAST, inch, 'units = "in"\n' + LEAST, 'units = "mm"\n' + inch, 'units = "cm"\n' + inch,
    )] == [False, True, True, False, False]  # fmt: skip


def test_every_length_of_a_file_is_one(tmp_path: Path) -> None:
    text = LEAST.replace("module = 1", 'module = 1\nbore = "1/2 in"\nface_width = "3/8 in"')
    text += ARM.format('"4 in"', '"1 in"', '"3 in"').replace("[banjo]\n", (
        '[banjo]\ngap = "20 thou"\ndriver_hub = "3/4 in"\nlargest_tip_diameter = "5 in"\n'
    ))  # fmt: skip
    text += '[bed]\ncarriage_travel = "2,5 cm"\n[workshop]\nbacklash = "4 thou"\n'
    found = lathe(tmp_path, text)
    assert found.banjo
    assert (found.making.bore, found.making.face_width) == (12.7, pytest.approx(9.525))
    assert found.banjo.gap == pytest.approx(0.508)
    assert (found.banjo.driver_hub, found.banjo.largest_tip_diameter) == (19.05, 127)
    assert found.bed.carriage_travel == 25
    assert found.workshop.backlash == pytest.approx(0.1016)


@pytest.mark.parametrize(
    ("value", "problem", "fix"),
    [
        ('"7 1/4"', "a fraction needs its unit", 'write "7 1/4 in"'),
        ('"7.25 ft"', '"ft" is not known', "mm, in, cm"),
        ('"-3 mm"', "too small", "check it"),
        ("true", "not a number", "number"),
        ('"wide"', "cannot be read", "50 mm"),
    ],
)
def test_lengths_that_are_refused(tmp_path: Path, value: str, problem: str, fix: str) -> None:
    with pytest.raises(FaultsError) as caught:
        lathe(tmp_path, LEAST + ARM.format(value, 20, 60))
    (fault,) = caught.value.faults
    assert problem in fault.problem
    assert fix in fault.fix
    assert "4 5/16 in" in fault.allowed
    assert (fault.where, fault.value) == ("banjo.axis_distance", value)


def test_a_slot_that_ends_before_it_starts_whatever_the_unit(tmp_path: Path) -> None:
    with pytest.raises(FaultsError) as caught:
        lathe(tmp_path, LEAST + ARM.format(90, '"3 in"', 20))
    (fault,) = caught.value.faults
    assert fault.fix == 'write start = 20, end = "3 in"'


@pytest.mark.parametrize(
    "swing", ["[-75, 75]", '"-75 to 75"', '"-75° to 75°"', '"±75"', '"-75, 75"', '["-75°", 75]']
)
def test_a_swing_as_people_write_it(tmp_path: Path, swing: str) -> None:
    text = LEAST + ARM.format(90, 20, 60) + f"swing = {swing}\n"
    assert arm(tmp_path, text).swing == (-75, 75)


OWNED = LEAST.replace("[20, 30, 40, 40]", '"2x20 30 40 60 80 127"')
"""Two gears of these mesh 20 to 103.5 mm apart."""


def asked(folder: Path, text: str) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        check([write(folder, "lathe.toml", text)])
    return caught.value.faults


def checked(folder: Path, text: str, capsys: pytest.CaptureFixture[str]) -> str:
    check([write(folder, "lathe.toml", text)])
    return capsys.readouterr().out


@pytest.mark.parametrize(
    ("values", "asks", "fix"),
    [
        ((4.5, 1, 3.5), "slot 1 to 3.5, axis_distance 4.5: inches or cent", 'units = "in" at the'),
        ((11.4, 2.4, 9), "slot 2.4 to 9, axis_distance 11.4: centimetres?", 'units = "cm" at the'),
        ((114, 2.4, 9), "slot 2.4 to 9: inches or cent", 'start = "2.4 cm", end = "9 cm"'),
        ((4.5, 24, 90), "axis_distance 4.5: inches or centimetres?", 'axis_distance = "4.5 in"'),
        (('"114 mm"', 1, 3.5), "slot 1 to 3.5: inches", 'units = "in" at the'),
    ],
)
def test_an_arm_that_looks_measured_in_another_unit_is_asked_about(
    tmp_path: Path, values: tuple[object, ...], asks: str, fix: str
) -> None:
    (fault,) = asked(tmp_path, OWNED + ARM.format(*values))
    assert asks in fault.problem
    assert fix in fault.fix
    assert fault.where == ("banjo.axis_distance" if values[1] == 24 else "banjo.slots[1]")


def test_where_other_lengths_are_in_mm_each_gets_its_unit(tmp_path: Path) -> None:
    text = OWNED.replace("module = 1", "module = 1\nbore = 12") + ARM.format(11.4, 2.4, 9)
    (fault,) = asked(tmp_path, text)
    assert fault.fix == 'write axis_distance = "11.4 cm", start = "2.4 cm", end = "9 cm"'


def test_an_arm_in_mm_under_other_units(tmp_path: Path) -> None:
    (fault,) = asked(tmp_path, 'units = "in"\n' + OWNED + ARM.format(114, 24, 90))
    assert "millimetres?" in fault.problem
    assert fault.fix == 'write units = "mm" at the top of the file'


@pytest.mark.parametrize("values", [(114, 24, 90), (114, 1000, 2000), (114, '"2 in"', 90)])
def test_an_arm_that_no_unit_mends_is_not_asked_about(
    tmp_path: Path, values: tuple[object, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    text = OWNED + ARM.format(*values)
    if values[1] == 1000:
        (fault,) = asked(tmp_path, text)
        assert "measure start and end" in fault.fix
    else:
        assert "?" not in checked(tmp_path, text, capsys)


def test_gears_too_big_for_the_cover_are_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """60 teeth of module 1 are 62 mm over the tips, 65 are 67 mm, 80 are 82 mm."""
    text = LEAST.replace("[20, 30, 40, 40]", '"2x20 30 45 60 65 65 80"') + ARM.format(90, 20, 60)
    said = checked(tmp_path, text + "largest_tip_diameter = 62\n", capsys)
    assert "too big for the cover, so in no train: 65 (tip 67), 80 (tip 82)" in said
    assert "too big" not in checked(tmp_path, text + "largest_tip_diameter = 82\n", capsys)
    (fault,) = asked(tmp_path, text + "largest_tip_diameter = 8.5\n")
    assert (fault.where, fault.fix) == (
        "banjo.largest_tip_diameter", 'write largest_tip_diameter = "8.5 in", or '
        'write largest_tip_diameter = "8.5 cm"',
    )  # fmt: skip


def test_answers_that_no_unit_can_have_right_say_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without a check nothing would fit, and nobody would know why."""
    for values, said in (((4.5, 1, 3.5), True), ((114.3, 25.4, 89), False)):
        path = write(tmp_path, "lathe.toml", OWNED + ARM.format(*values))
        with contextlib.suppress(typer.Exit):
            app(["reach", str(path), "1.5 mm"], standalone_mode=False)
        assert ("gearchest check says" in capsys.readouterr().err) == said
