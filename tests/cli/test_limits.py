"""What files may hold, what they may be, and how soon what they may not is told."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from file_samples import LEAST, write
from program import run
from typer.testing import CliRunner

from gearchest.catalogs.lathes import example
from gearchest.cli.commands import app
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.reading import read_file
from gearchest.cli.files.wants import load_wants

SHOP = load_lathe(example().lathe)


def read(path: Path) -> None:
    """Read a lathe, wants or offers file, by its name."""
    if path.stem == "lathe":
        load_lathe(path)
    elif path.stem == "wants":
        load_wants(path, SHOP)
    else:
        load_offers(path, SHOP)


def fault_of(folder: Path, text: str, name: str = "lathe.toml") -> Fault:
    path = write(folder, name, text)
    with pytest.raises(FaultsError) as caught:
        read(path)
    (fault,) = caught.value.faults
    return fault


def owned(*teeth: int) -> str:
    return LEAST.replace("[20, 30, 40, 40]", str(list(teeth)))


def specials(count: int, more: str = "") -> str:
    return "".join(
        f"[[gears.special]]\nteeth = 20\nface_width = {i + 1}\n{more}" for i in range(count)
    )


WANT = '[[want]]\npitch = "1 mm"\n'


@pytest.mark.parametrize(
    ("text", "name", "line", "said"),
    [
        (owned(*[20] * 501), "lathe.toml", 7, "more than 500 gears"),
        (owned(*[20] * 499) + specials(1, "count = 2\n"), "lathe.toml", 5, "more than 500 gears"),
        (owned(20) + specials(300), "lathe.toml", 5, "more than 300 kinds of gears"),
        (owned(20) + specials(301), "lathe.toml", 8 + 3 * 300, "more than 300 special gears"),
        (LEAST + "[gearbox]\nratios = {" + ", ".join(f'A{i} = "1"' for i in range(101)) + "}\n",
         "lathe.toml", 9, "more than 100 entries"),
        (LEAST + "[banjo]\naxis_distance = 60\nslots = [" + "{ start = 10, end = 50 }, " * 11
         + "]\n", "lathe.toml", 10, "more than 10 slots"),
        (LEAST + '[[dividing]]\nname = "h"\nratio = 40\ncircles = [' + "15, " * 101 + "]\n",
         "lathe.toml", 11, "more than 100 circles"),
        (WANT * 2001, "wants.toml", 4001, "more than 2,000 wants"),
        ("want = [" + '\n{ pitch = "1 mm" },' * 2001 + "]", "wants.toml", 2002, "2,000 wants"),
        ("pitch\n" + "1 mm\n" * 2001, "wants.csv", 2002, "more than 2,000 wants"),
        ('[[want]]\nseries = "iso-metric-fine"\n' * 40, "wants.toml", 23, "2,000 wants"),
        ("teeth,price\n" + "20,1\n" * 1001, "offers.csv", 1002, "more than 1,000 offers"),
        ("Zähne;Preis\n" + "20;1 €\n" * 1001, "offers.csv", 1002, "more than 1,000 offers"),
        ("teeth,price\n20,1" + "," * 300 + "\n", "offers.csv", 2, "more than 200 columns"),
        ("[[offer]]\nteeth = 20\n" * 1001, "offers.toml", 2001, "more than 1,000 offers"),
        ("".join(f"k{i} = 1\n" for i in range(60_000)), "lathe.toml", 50_002, "50,000 values"),
        (LEAST + "#" * 5_000_000, "lathe.toml", None, "larger than 5 MB"),
    ],
    ids=lambda value: value if isinstance(value, str) and len(value) < 40 else "",
)  # fmt: skip
def test_more_than_can_be_answered_for(
    tmp_path: Path, text: str, name: str, line: int | None, said: str
) -> None:
    fault = fault_of(tmp_path, text, name)
    assert fault.line == line
    assert said in fault.problem
    assert fault.fix


def test_as_much_as_can_be_answered_for(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "lathe.toml", owned(*[20] * 201) + specials(299)))
    assert (lathe.chest.size, len(lathe.chest.loose)) == (500, 300)
    assert len(load_wants(write(tmp_path, "wants.toml", WANT * 2000), SHOP)) == 2000
    rows = "".join(f"20,1,{i}\n" for i in range(1000))
    path = write(tmp_path, "offers.csv", f"teeth,price,note\n\n{rows}")
    assert len(load_offers(path, SHOP)) == 1000


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("[" * 5000 + "]" * 5000, "nested too deeply"),
        ("{ a = " * 500 + "1" + " }" * 500, "nested too deeply"),
        ("9" * 5000, "this number has 5,000 characters"),
        ("0x" + "f" * 5000, "this number has 5,002 characters"),
        ("0." + "1" * 5000, "this number has 5,002 characters"),
        ("1e99999999999999999999", "out of all proportion"),
        ('"' + "1" * 5000 + '"', "this has 5,000 characters"),
    ],
)
def test_values_out_of_all_proportion_are_told_with_their_line(
    tmp_path: Path, value: str, said: str
) -> None:
    fault = fault_of(tmp_path, LEAST + f"bore = {value}\n")
    assert said in fault.problem
    assert fault.line == 8
    assert fault.where.startswith("gears.bore")
    assert max(map(len, fault.lines())) < len(fault.source) + 140


def test_keys_of_many_parts_are_told_with_their_line(tmp_path: Path) -> None:
    fault = fault_of(tmp_path, LEAST + "a" + ".a" * 5000 + " = 1\n")
    assert (fault.line, fault.problem) == (8, "this is nested too deeply")


@pytest.mark.parametrize(
    ("text", "where", "line"),
    [
        ("[bet.on.it]\na = 1\n", "bet", 8),
        ("[[bet.on]]\na = 1\n", "bet", 8),
        ("[gears.speciality]\na = 1\n", "gears.speciality", 8),
        ("bet.on.it = 1\n", "gears.bet", 8),
    ],
)
def test_unknown_tables_are_told_with_their_line(
    tmp_path: Path, text: str, where: str, line: int
) -> None:
    fault = fault_of(tmp_path, LEAST + text)
    assert (fault.where, fault.line) == (where, line)


MANY = 20_000


@pytest.mark.parametrize(
    ("lines", "faults"),
    [
        (LEAST + "key = = 3\n" * MANY, 2 * MANY - 1),
        (LEAST + "bore = 1\n" * MANY, MANY - 1),
        ("".join(f'[[want]]\npitch = "Q{i}x{i}"\n' for i in range(2000)), 2000),
        ("".join(f'[[want]]\nseries = "ba"\nfrom = "Q{i}"\n' for i in range(2000)), 2000),
        ("pitch\n" + "".join(f"Q{i}x{i}\n" for i in range(2000)), 2000),
    ],
    ids=["broken lines", "lines twice", "unknown sizes", "unknown ends", "a table of them"],
)
def test_many_faults_are_told_soon_and_shortly(tmp_path: Path, lines: str, faults: int) -> None:
    name = "lathe.toml" if lines.startswith(LEAST) else "wants.toml"
    path = write(tmp_path, name if lines[0] != "p" else "wants.csv", lines)
    began = time.process_time()
    with pytest.raises(FaultsError) as caught:
        read(path)
    told = caught.value.lines()
    assert len(caught.value.faults) == faults
    assert len(told) <= 40
    assert sum(map(len, told)) < 10_000
    assert time.process_time() - began < 10  # minutes, where the cost is the square


def test_cures_that_take_a_search_are_sought_no_oftener_than_shown(tmp_path: Path) -> None:
    text = "".join(f'[[want]]\npitch = "Q{i}x{i}"\n' for i in range(50))
    path = write(tmp_path, "wants.toml", text)
    with pytest.raises(FaultsError) as caught:
        load_wants(path, SHOP)
    assert all(fault.fix for fault in caught.value.faults[:20])
    assert not any(fault.fix for fault in caught.value.faults[20:])


@pytest.mark.skipif(os.name == "nt", reason="no such devices")
@pytest.mark.parametrize("device", ["/dev/zero", "/dev/full", "/dev/null", "fifo"])
def test_devices_and_pipes_are_no_files(tmp_path: Path, device: str) -> None:
    path = Path(device)
    if device == "fifo":
        path = tmp_path / "fifo"
        os.mkfifo(path)
    for command in (("check", path), ("reach", path, "M6"), ("plan", "--wants", path),
                    ("plan", "--offers", path)):  # fmt: skip
        done = CliRunner().invoke(app, [str(word) for word in command])
        assert isinstance(done.exception, FaultsError)
        assert "this is a device or a pipe" in str(done.exception)


def test_files_that_cannot_be_files(tmp_path: Path) -> None:
    for path, said in (
        (tmp_path, "this is a folder"),
        (tmp_path / ("x" * 300), "name too long"),
        (tmp_path / "x" / "y", "No such file"),
        (Path("a\0b"), "null"),
    ):
        with pytest.raises(FaultsError, match=said):
            read_file(path)


def test_check_reads_the_lathes_that_come_along() -> None:
    done = run("check", "mini-7-metric", "american-12")
    assert done.returncode == 0, done.stderr
    assert "mini-7-metric: a lathe" in done.stdout
