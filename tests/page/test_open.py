"""`gearchest open` as a process: what it prints, what it leaves, what it needs."""

from __future__ import annotations

import os
import random
import re
import signal
import subprocess
import sys
import threading
import time
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import httpx
import pytest
from program import CALL, run

from gearchest.cli.page.listening import listen

PAGE_ONLY = ("starlette", "uvicorn", "tomlkit", "jinja2", "anyio", "h11", "gearchest.cli.page",
             "gearchest.cli.open_command")  # fmt: skip


def environment(folder: Path) -> dict[str, str]:
    """Where the last folder is noted in a place of the test, and no browser is found."""
    return {**os.environ, "XDG_STATE_HOME": str(folder / "state"), "BROWSER": "false"}


@contextmanager
def opened(tmp_path: Path, *arguments: object) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The program, and the address it printed."""
    running = subprocess.Popen(
        [sys.executable, "-c", CALL, "open", *map(str, arguments)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment(tmp_path),
        cwd=tmp_path,
    )  # fmt: skip
    try:
        assert running.stdout is not None
        yield running, running.stdout.readline().strip()
    finally:
        running.kill()
        running.communicate()


def children(number: int) -> list[int]:
    """Processes whose parent this is."""
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = path.read_text(encoding="utf-8").rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[1]) == number:
            found.append(int(path.parent.name))
    return found


def gone(number: int, within: float = 10) -> bool:
    end = time.monotonic() + within
    while time.monotonic() < end:
        state = Path(f"/proc/{number}/stat")
        try:
            if state.read_text(encoding="utf-8").rpartition(")")[2].split()[0] == "Z":
                return True
        except OSError:
            return True
        time.sleep(0.05)
    return False


def enter(address: str) -> httpx.Client:
    base = address.partition("/?")[0]
    client = httpx.Client(
        base_url=base, headers={"origin": base}, follow_redirects=True, timeout=60
    )
    assert client.get(address).status_code == 200
    return client


needs_proc = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="no /proc here")


@needs_proc
@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGKILL])
def test_it_ends_with_all_it_started(tmp_path: Path, sign: signal.Signals) -> None:
    """By Ctrl-C, and where it is killed; a page is open and listens."""
    (tmp_path / "shop").mkdir()
    with opened(tmp_path, "shop", "--no-browser") as (running, address):
        client = enter(address)
        with client.stream("GET", "/events"):
            started = children(running.pid)
            assert started
            running.send_signal(sign)
            code = running.wait(10)
        assert code == (130 if sign is signal.SIGINT else -sign)
        assert all(gone(number) for number in started)
        _, said = running.communicate()
        assert "Traceback" not in said


def test_the_address_is_this_machine_and_has_a_key_of_its_own(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    keys = set()
    for _ in range(2):
        with opened(tmp_path, "shop", "--no-browser") as (_, address):
            found = re.fullmatch(r"http://127\.0\.0\.1:\d+/\?key=([\w-]{40,})", address)
            assert found
            keys.add(found[1])
    assert len(keys) == 2


def test_where_no_browser_is_found_the_address_will_do(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    with opened(tmp_path, "shop") as (running, address):
        assert enter(address).get("/lathe").status_code == 200
        time.sleep(0.5)
        running.send_signal(signal.SIGINT)
        _, said = running.communicate(timeout=10)
    assert "Traceback" not in said


def test_the_last_folder_is_opened_again_and_only_its_name_is_kept(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    with opened(tmp_path, "shop", "--no-browser"):
        pass
    with opened(tmp_path, "--no-browser") as (_, address):
        assert str(shop) in enter(address).get("/files").text
    kept = [path for path in (tmp_path / "state").rglob("*") if path.is_file()]
    assert [path.read_text(encoding="utf-8").strip() for path in kept] == [str(shop)]
    assert list(shop.iterdir()) == []


def at_a_terminal(tmp_path: Path, answer: str, name: str) -> tuple[str, int | None]:
    """What `open` says to somebody who types an answer: its address, or how it ended."""
    ours, theirs = os.openpty()
    running = subprocess.Popen(
        [sys.executable, "-c", CALL, "open", name, "--no-browser"],
        stdin=theirs, stdout=subprocess.PIPE, stderr=theirs, text=True, cwd=tmp_path,
        env=environment(tmp_path),
    )  # fmt: skip
    os.close(theirs)
    try:
        os.write(ours, answer.encode())
        assert running.stdout is not None
        said = running.stdout.readline().strip()
        return said, None if said else running.wait(60)
    finally:
        running.kill()
        running.communicate()
        os.close(ours)


@pytest.mark.skipif(os.name == "nt", reason="terminals are made otherwise there")
def test_at_a_terminal_a_folder_that_is_not_there_is_made_if_asked_for(tmp_path: Path) -> None:
    said, _ = at_a_terminal(tmp_path, "y\n", "new/shop")
    assert said.startswith("http://")
    assert (tmp_path / "new" / "shop").is_dir()
    for answer in ("n\n", "\n"):
        assert at_a_terminal(tmp_path, answer, "other") == ("", 3)
        assert not (tmp_path / "other").exists()


def test_what_cannot_be_is_told_plainly(tmp_path: Path) -> None:
    missing = run("open", tmp_path / "nowhere", "--no-browser", cwd=tmp_path)
    assert missing.returncode == 3
    assert "there is no such folder" in missing.stderr
    assert f"gearchest begin {tmp_path / 'nowhere'}" in missing.stderr
    assert not (tmp_path / "nowhere").exists()
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert "this is a file" in run("open", tmp_path / "file", cwd=tmp_path).stderr
    (tmp_path / "shop").mkdir()
    with listen(0) as taken:
        port = taken.getsockname()[1]
        found = run("open", tmp_path / "shop", "--port", port, "--no-browser", cwd=tmp_path)
    assert found.returncode == 3
    assert "cannot be had" in found.stderr
    assert "leave --port out" in found.stderr


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="nothing is read-only to root")
def test_a_folder_that_is_read_only_is_told(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir(mode=0o500)
    with opened(tmp_path, "shop", "--no-browser") as (_, address):
        assert "cannot be written" in enter(address).get("/lathe").text


def test_killed_between_two_edits_nothing_of_the_first_is_lost(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    with opened(tmp_path, "shop", "--no-browser") as (running, address):
        client = enter(address)
        client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-inch"})
        form = {"sheet": "lathe", "v:leadscrew.pitch": "10 tpi", "w:leadscrew.pitch": "16 tpi"}
        client.post("/edit", data=form)
        running.kill()
        running.wait(10)
    assert 'pitch = "10 tpi"' in (shop / "lathe.toml").read_text(encoding="utf-8")
    assert [path.name for path in shop.iterdir()] == ["lathe.toml"]


def test_reach_imports_nothing_of_it(tmp_path: Path) -> None:
    """And is as quick as before, so far as imports go."""
    listing = (
        "import atexit, sys\n"
        f"names = {PAGE_ONLY!r}\n"
        "atexit.register(lambda: print('LOADED', [n for n in names if n in sys.modules]))"
    )
    found = run("reach", "mini-7-metric", "M10", cwd=tmp_path, before=listing)
    assert found.returncode == 0
    assert "LOADED []" in found.stdout


def test_killed_outright_at_any_moment_it_leaves_a_whole_file(tmp_path: Path) -> None:
    """As the power does: with SIGKILL, amid edits that follow one another. The file is that of the
    last edit answered or of the one under way, and the next start reads it; what the dead process
    left half written is gone after the next edit."""
    folder, rng = tmp_path / "shop", random.Random(6)
    folder.mkdir()
    file, names = folder / "lathe.toml", ["before"]
    with opened(tmp_path, folder, "--no-browser") as (_, address):
        enter(address).post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
    stands = tomllib.loads(file.read_text(encoding="utf-8"))
    for _ in range(4):
        with opened(tmp_path, folder, "--no-browser") as (program, address):
            client = enter(address)
            was = tomllib.loads(file.read_text(encoding="utf-8"))["name"]
            assert was in (stands["name"], *names[-2:])
            killing = threading.Timer(rng.uniform(0.05, 0.6), program.kill)
            killing.start()
            with suppress(httpx.HTTPError):
                while True:
                    names.append(f"{len(names)} {'x' * 40_000}")
                    form = {"v:name": names[-1], "w:name": was, "sheet": "lathe"}
                    client.post("/edit", data=form, headers={"x-part": "1"})
                    was = names[-1]
            killing.join()
    assert len(names) > 8
    left = tomllib.loads(file.read_text(encoding="utf-8"))
    assert left.pop("name") in names[-2:]
    stands.pop("name")
    assert left == stands
    with opened(tmp_path, folder, "--no-browser") as (_, address):
        enter(address).post("/edit", data={"sheet": "lathe", "do": "set:lathe:name:after"})
    assert [path.name for path in folder.iterdir()] == ["lathe.toml"]
