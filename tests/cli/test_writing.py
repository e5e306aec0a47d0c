"""Files are written whole or not at all, and stay what they were: mode, owner, other names."""

from __future__ import annotations

import errno
import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest
from program import run

from gearchest.cli import writing
from gearchest.cli.faults import FaultsError
from gearchest.cli.writing import make_folder, write_bytes, write_new

pytestmark = pytest.mark.skipif(os.name == "nt", reason="modes and signals differ there")

FULL_AFTER = (
    "import resource as r, sys; sys.dont_write_bytecode = True; "
    "r.setrlimit(r.RLIMIT_FSIZE, ({0}, {0}))"
)
"""A disk with room for so many bytes in a file: writing more fails as on a full one. Compiled
modules are not written meanwhile, or half of one would stay behind for other tests to read."""


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_the_new_file_takes_the_place_of_the_old(tmp_path: Path) -> None:
    path = tmp_path / "report.html"
    write_bytes(path, b"old")
    write_bytes(path, b"new\r\n")
    assert path.read_bytes() == b"new\r\n"
    with pytest.raises(FaultsError, match="cannot write this file: No such file"):
        write_bytes(tmp_path / "nowhere" / "x", b"")
    assert names(tmp_path) == {"report.html"}


def test_a_new_file_has_the_mode_other_new_files_have(tmp_path: Path) -> None:
    (tmp_path / "usual").write_bytes(b"")
    write_bytes(tmp_path / "ours", b"x")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "usual").stat().st_mode


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
def test_the_mode_stays(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "report.html"
    path.write_bytes(b"old")
    path.chmod(mode)
    write_bytes(path, b"new")
    assert stat.S_IMODE(path.stat().st_mode) == mode
    assert path.read_bytes() == b"new"


@pytest.mark.skipif(os.name == "nt" or os.getuid() != 0, reason="only root gives files away")
def test_the_owner_stays(tmp_path: Path) -> None:
    path = tmp_path / "report.html"
    path.write_bytes(b"old")
    os.chown(path, 12345, 23456)
    write_bytes(path, b"new")
    assert (path.stat().st_uid, path.stat().st_gid) == (12345, 23456)


def test_a_file_whose_owner_cannot_be_given_is_written_in_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "report.html"
    path.write_bytes(b"an older and longer text")
    number = path.stat().st_ino
    monkeypatch.setattr(writing, "_dressed", lambda *_: False)
    write_bytes(path, b"new")
    assert (path.read_bytes(), path.stat().st_ino) == (b"new", number)
    assert names(tmp_path) == {"report.html"}


@pytest.mark.parametrize("link", [os.link, os.symlink])
def test_other_names_of_a_file_stay_its_names(tmp_path: Path, link: object) -> None:
    path, other = tmp_path / "report.html", tmp_path / "other.html"
    path.write_bytes(b"old")
    link(path, other)  # type: ignore[operator]
    write_bytes(other, b"new")
    assert path.read_bytes() == other.read_bytes() == b"new"
    assert path.samefile(other)


def test_writing_in_place_puts_the_old_text_back_where_it_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "report.html"
    path.write_bytes(b"old")
    os.link(path, tmp_path / "other.html")
    full = os.write

    def half(handle: int, data: bytes) -> int:
        if bytes(data) == b"old":
            return full(handle, data)
        if len(data) < 9:
            raise OSError(errno.ENOSPC, "No space left on device")
        return full(handle, data[:4])

    monkeypatch.setattr(writing.os, "write", half)
    with pytest.raises(FaultsError, match="No space left"):
        write_bytes(path, b"newer text")
    assert path.read_bytes() == b"old"


def test_what_is_written_reaches_the_disk_before_it_takes_the_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    monkeypatch.setattr(writing.os, "fsync", lambda handle: done.append("fsync"))
    replace = Path.replace
    monkeypatch.setattr(Path, "replace", lambda a, b: (done.append("replace"), replace(a, b)))
    write_bytes(tmp_path / "x", b"1")
    assert done[:2] == ["fsync", "replace"]
    assert done[2:] == ["fsync"]  # the folder


def test_leftovers_of_the_dead_are_cleared_and_no_others(tmp_path: Path) -> None:
    dead = subprocess.Popen([sys.executable, "-c", ""])
    dead.wait()
    (tmp_path / f".report.html.{dead.pid}.part").write_bytes(b"half")
    mine = f".report.html.{os.getppid()}.part"
    for name in (mine, f".other.html.{dead.pid}.part", ".report.html.part"):
        (tmp_path / name).write_bytes(b"")
    write_bytes(tmp_path / "report.html", b"x")
    assert names(tmp_path) == {
        "report.html", mine, f".other.html.{dead.pid}.part", ".report.html.part",
    }  # fmt: skip


@pytest.mark.parametrize("length", [240, 255])
def test_a_name_may_be_as_long_as_the_disk_allows(tmp_path: Path, length: int) -> None:
    path = tmp_path / ("é" * (length // 2))
    write_bytes(path, b"x")
    assert names(tmp_path) == {path.name}


def test_a_file_that_is_there_is_not_written_as_a_new_one(tmp_path: Path) -> None:
    assert write_new(tmp_path / "a", b"mine")
    assert not write_new(tmp_path / "a", b"yours")
    os.symlink(tmp_path / "nothing", tmp_path / "b")
    assert not write_new(tmp_path / "b", b"yours")
    assert (tmp_path / "a").read_bytes() == b"mine"
    assert names(tmp_path) == {"a", "b"}


def test_folders_that_could_not_all_be_made_are_taken_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    make = Path.mkdir

    def full(path: Path) -> None:
        if path.name == "deep":
            raise OSError(errno.ENOSPC, "No space left on device")
        make(path)

    monkeypatch.setattr(Path, "mkdir", full)
    with pytest.raises(FaultsError, match="cannot make this folder: No space left"):
        make_folder(tmp_path / "a" / "b" / "deep")
    assert names(tmp_path) == set()


@pytest.mark.parametrize("room", [10, 4000])
def test_begin_on_a_full_disk_leaves_nothing(tmp_path: Path, room: int) -> None:
    done = run("begin", tmp_path / "new" / "shop", before=FULL_AFTER.format(room))
    assert done.returncode == 3
    assert "File too large" in done.stderr
    assert names(tmp_path) == set()


def test_begin_keeps_what_was_there_where_the_disk_is_full(tmp_path: Path) -> None:
    (tmp_path / "wants.toml").write_text("mine")
    assert run("begin", tmp_path, before=FULL_AFTER.format(10)).returncode == 3
    assert names(tmp_path) == {"wants.toml"}


def test_a_full_disk_leaves_the_old_file_and_says_what_was_written(tmp_path: Path) -> None:
    sheet, json = tmp_path / "sheet.html", tmp_path / "sheet.json"
    sheet.write_text("old")
    small = ("setup", "mini-7-metric", "M6", "--out", sheet, "--json", json)
    done = run(*small, before=FULL_AFTER.format(20_000))  # enough for the JSON, not for the page
    assert done.returncode == 3
    assert sheet.read_text() == "old"
    assert names(tmp_path) == {"sheet.html", "sheet.json"}
    assert "sheet.html\n  cannot write this file: File too large" in done.stderr
    assert done.stderr.rstrip().endswith(f"Written before that: {json}")
    assert "M6" in done.stdout


def test_a_fault_of_the_programs_own_says_what_was_written(tmp_path: Path) -> None:
    late = "import gearchest.cli.output as o; o.write_json = lambda *_: 1 / 0"
    ask = ("setup", "mini-7-metric", "M6", "--out", tmp_path / "sheet.html")
    done = run(*ask, before=late)
    assert done.returncode == 1
    assert f"Written before that: {tmp_path / 'sheet.html'}" in done.stderr
    early = "import gearchest.cli.setup_command as s; s.reach = lambda *_, **__: 1 / 0"
    assert "Nothing was written." in run(*ask, before=early).stderr


def test_killed_while_writing_the_old_file_stands_and_the_next_run_clears_up(
    tmp_path: Path,
) -> None:
    path = tmp_path / "x.html"
    path.write_text("old")
    code = (
        "import sys, time; from pathlib import Path; from gearchest.cli import writing\n"
        "writing.os.fsync = lambda handle: (print('half', flush=True), time.sleep(60))\n"
        "writing.write_bytes(Path(sys.argv[1]), b'new')"
    )
    process = subprocess.Popen([sys.executable, "-c", code, path], stdout=subprocess.PIPE)
    assert process.stdout is not None
    assert process.stdout.readline() == b"half\n"
    assert names(tmp_path) == {"x.html", f".x.html.{process.pid}.part"}
    process.send_signal(signal.SIGKILL)
    process.communicate()
    assert path.read_text() == "old"
    write_bytes(path, b"new")
    assert names(tmp_path) == {"x.html"}


def test_ctrl_c_while_writing_leaves_the_old_file_and_nothing_beside(tmp_path: Path) -> None:
    path = tmp_path / "sheet.html"
    path.write_text("old")
    slow = (
        "import time, gearchest.cli.writing as w\n"
        "w.os.fsync = lambda handle: (print('half', flush=True), time.sleep(60))"
    )
    call = f"{slow}\nfrom gearchest.cli.main import run; run()"
    process = subprocess.Popen(
        [sys.executable, "-c", call, "setup", "mini-7-metric", "M6", "--out", path],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    assert process.stdout.readline() == "half\n"
    time.sleep(0.05)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert "Traceback" not in err
    assert path.read_text() == "old"
    assert names(tmp_path) == {"sheet.html"}
