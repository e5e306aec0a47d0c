"""Outputs never overwrite what is read, or each other: refused before anything is computed."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from file_samples import LEAST
from program import run
from typer.testing import CliRunner

from gearchest.cli import (
    blanks_command,
    compare_command,
    plan_command,
    reach_command,
    setup_command,
)
from gearchest.cli.commands import app
from gearchest.cli.faults import FaultsError
from gearchest.cli.targets import check_targets

SMALL = Path(__file__).parents[1] / "bench" / "small"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with a lathe, wants and offers, to be found unchanged afterwards."""
    for name in ("lathe.toml", "wants.csv", "offers.csv"):
        shutil.copy(SMALL / name, tmp_path / name)
    (tmp_path / "other.toml").write_text(LEAST, encoding="utf-8")
    return tmp_path


COMPUTING = (
    (plan_command, "make_plan"), (reach_command, "reach_one"), (setup_command, "reach"),
    (compare_command, "compare_lathes"), (blanks_command, "blank_sheet"),
    (blanks_command, "load_wants"),
)  # fmt: skip

PLAN = ("plan", "lathe.toml", "--wants", "wants.csv", "--offers", "offers.csv", "--most", "1")
COMPARE = ("compare", "lathe.toml", "other.toml", "--wants", "wants.csv")


@pytest.mark.parametrize(
    ("command", "options", "said"),
    [
        (PLAN, ("--out", "lathe.toml"), "--out and LATHE"),
        (PLAN, ("--json", "wants.csv"), "--json and --wants"),
        (PLAN, ("--out", "x.html", "--json", "x.html"), "--json and --out"),
        (PLAN, ("--out", "x.html", "--json", "./no/../x.html"), "--json and --out"),
        (PLAN, ("--json", "./offers.csv"), "--json and --offers"),
        (PLAN, ("--json", "lathe-plan.html"), "--json and --out"),  # the usual name of a report
        (PLAN, ("--also", "other.toml", "--out", "other.toml"), "--out and --also"),
        (COMPARE, ("--out", "other.toml"), "--out and second LATHE"),
        (COMPARE, ("--json", "lathe-and-other.html"), "--json and --out"),
        (("reach", "lathe.toml", "M6"), ("--json", "lathe.toml"), "--json and LATHE"),
        (("setup", "lathe.toml", "M6"), ("--out", "lathe.toml"), "--out and LATHE"),
        (("setup", "lathe.toml", "M6"), ("--out", "x", "--json", "x"), "--json and --out"),
        (("blanks", "lathe.toml", "63", "--wants", "wants.csv"), ("--json", "wants.csv"),
         "--json and --wants"),
        (("blanks", "lathe.toml", "63"), ("--out", "g", "--json", "g/blanks.html"),
         "--json and --out"),
        (("blanks", "lathe.toml", "63"), ("--out", "g", "--json", "g/gear-63-m1.svg"),
         "gear-63-m1.svg and --json"),
        (("threads", "ba"), ("--json", "x", "--csv", "x"), "--csv and --json"),
    ],
)  # fmt: skip
def test_every_command_refuses(
    shop: Path,
    monkeypatch: pytest.MonkeyPatch,
    command: tuple[str, ...],
    options: tuple[str, ...],
    said: str,
) -> None:
    before = {path: path.read_bytes() for path in shop.iterdir()}
    monkeypatch.chdir(shop)
    for module, name in COMPUTING:
        monkeypatch.setattr(module, name, None)
    done = CliRunner().invoke(app, [*command, *options])
    assert isinstance(done.exception, FaultsError)
    assert said in str(done.exception)
    assert "  fix: choose another" in str(done.exception)
    assert {path: path.read_bytes() for path in shop.iterdir()} == before


def refusal(outputs: dict[str, Path | str | None], inputs: dict[str, Path | None]) -> str:
    with pytest.raises(FaultsError) as caught:
        check_targets(outputs, inputs)
    return str(caught.value)


def test_the_same_file_by_another_name(tmp_path: Path) -> None:
    lathe = tmp_path / "lathe.toml"
    lathe.write_text(LEAST)
    os.link(lathe, tmp_path / "hard.html")
    os.symlink(lathe, tmp_path / "soft.html")
    os.symlink(tmp_path, tmp_path / "here")
    around = tmp_path / "here" / ".." / tmp_path.name / "lathe.toml"
    for name in (tmp_path / "hard.html", tmp_path / "soft.html", around):
        said = refusal({"--out": name}, {"LATHE": lathe})
        assert "--out and LATHE are one file" in said
        assert str(name) in said or "…" in said
        assert "compare LATHE = " in said


def test_outputs_that_are_not_there_yet(tmp_path: Path) -> None:
    os.symlink(tmp_path, tmp_path / "here")
    os.symlink(tmp_path / "x.html", tmp_path / "dangling")
    for other in ("here/x.html", "dangling", "X.HTML"):
        outputs = {"--out": tmp_path / "x.html", "--json": tmp_path / other}
        assert "--json and --out are one file" in refusal(outputs, {})
    check_targets({"--out": tmp_path / "x.html", "--json": tmp_path / "y.html"})


def test_capitals_tell_files_apart_where_the_disk_does(tmp_path: Path) -> None:
    (tmp_path / "lathe.toml").write_text(LEAST)
    check = {"--out": tmp_path / "LATHE.toml"}, {"LATHE": tmp_path / "lathe.toml"}
    if (tmp_path / "LATHE.toml").exists():
        assert "one file" in refusal(*check)
    else:
        check_targets(*check)


def test_standard_output_sent_to_a_file_is_an_output_too(shop: Path) -> None:
    for options in (("--out", "x.html"), ("--json", "x.html")):
        with (shop / "x.html").open("a") as stream:
            done = run("setup", "lathe.toml", "M6", *options, cwd=shop, stdout=stream)
        assert done.returncode == 3
        assert "standard output are one file" in done.stderr
    with (shop / "lathe.toml").open("a") as stream:
        assert run("setup", "lathe.toml", "M6", cwd=shop, stdout=stream).returncode == 3
    assert (shop / "lathe.toml").read_bytes() == (SMALL / "lathe.toml").read_bytes()


def test_devices_may_stand_for_several_outputs(shop: Path) -> None:
    ask = ("setup", "lathe.toml", "1 mm", "--out", os.devnull, "--json", os.devnull)
    assert run(*ask, cwd=shop).returncode == 0


def test_targets_are_tried_before_the_work(tmp_path: Path) -> None:
    check_targets({"--out": None, "--json": "-", "--csv": tmp_path / "x.json"})
    said = refusal(
        {
            "a": tmp_path, "b": tmp_path / "nowhere" / "x", "c": tmp_path / ("x" * 300),
            "d": "a\0b",
        },
        {},
    )  # fmt: skip
    for reason in ("this is a folder", "there is no folder", "name too long", "null"):
        assert reason in said


def test_a_folder_to_be_made_need_not_be_there(tmp_path: Path) -> None:
    new = tmp_path / "a" / "b"
    check_targets({"--out": new / "x.html"}, folder_to_be_made=new)
    (tmp_path / "a").write_text("")
    with pytest.raises(FaultsError, match=r"Not a directory|is no folder"):
        check_targets({"--out": new / "x.html"}, folder_to_be_made=new)


@pytest.mark.skipif(os.name == "nt", reason="folders in use stay there")
def test_working_in_a_folder_that_is_gone(tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    leave = f"import os, shutil; os.chdir({str(gone)!r}); shutil.rmtree({str(gone)!r})"
    done = run("setup", "mini-7-metric", "M6", "--out", "x.html", before=leave)
    assert done.returncode == 3
    assert "the folder we are in is gone" in done.stderr
    late = (
        "import shutil, gearchest.cli.setup_command as s\nfound = s.reach\n"
        f"s.reach = lambda *a, **k: (shutil.rmtree({str(gone)!r}), found(*a, **k))[1]"
    )
    gone.mkdir()
    done = run("setup", "mini-7-metric", "M6", "--out", gone / "x.html", before=late)
    assert done.returncode == 3
    assert "No such file or directory" in done.stderr
    assert "M6" in done.stdout
