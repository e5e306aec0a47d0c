"""How soon the page answers an edit.

    python tests/benchmarks/page_latency.py

On the bench `medium` (one stud, 14 gears, 74 wants): edits in turn over HTTP, each timed from the
request to the news that the lathe as it is has been judged, that gears can be ticked, and that all
steps are proven. The program runs as its users run it. `page_memory` goes about it alike.
"""

from __future__ import annotations

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import httpx

BENCHES = Path(__file__).parents[1] / "bench"
CALL = "from gearchest.cli.main import run; run()"
EDITS = (
    ("weight", "threads", "want.3.weight", ("", "3")),
    ("tolerance", "threads", "want.5.tolerance", ("", "0.3 %")),
    ("name", "lathe", "name", ("bench one", "bench two")),
    ("gears", "lathe", "gears.owned", None),
    ("arm", "lathe", "banjo.slots.0.end", None),
)
"""What is edited: file's sheet, field, values in turn (None: made below)."""


def main() -> None:
    with tempfile.TemporaryDirectory() as place:
        running = begun(lay_out(Path(place), "medium"))
        try:
            _measure(running)
        finally:
            running.terminate()
            running.wait(10)


def begun(folder: Path) -> subprocess.Popen[str]:
    """The program, over the files of a folder; its first line tells the address."""
    env = {**os.environ, "XDG_STATE_HOME": str(folder.parent)}
    return subprocess.Popen(
        [sys.executable, "-c", CALL, "open", str(folder), "--no-browser"],
        stdout=subprocess.PIPE, text=True, env=env,
    )  # fmt: skip


def lay_out(place: Path, bench: str, most: int | None = None) -> Path:
    """A folder with a bench's files, its wants, or the first of them, as the page has them."""
    folder = place / "shop"
    folder.mkdir()
    shutil.copy(BENCHES / bench / "lathe.toml", folder)
    shutil.copy(BENCHES / bench / "offers.csv", folder)
    head, *rows = (BENCHES / bench / "wants.csv").read_text(encoding="utf-8").splitlines()
    names = head.split(",")
    entries = []
    for row in rows[:most]:
        pairs = [(k, v) for k, v in zip(names, row.split(","), strict=True) if v]
        lines = [f"{k} = {v if k == 'weight' else json.dumps(v)}" for k, v in pairs]
        entries.append("\n".join(["[[want]]", *lines]))
    (folder / "wants.toml").write_text("\n\n".join(entries) + "\n", encoding="utf-8")
    return folder


TURNS = 5
"""Times that each edit is made."""

PAUSE = 3.0
"""Seconds between edits: nobody who thinks types faster, and the program looks ahead meanwhile."""

PARTS = ("as it is", "gears to tick", "all steps")
"""What is told of an answer; least / median / most seconds of each."""


class Reader:
    """The page's own news, a line at a time."""

    def __init__(self, client: httpx.Client) -> None:
        self._stream = client.stream("GET", "/events", timeout=None)
        self._lines: Iterator[str] = self._stream.__enter__().iter_lines()

    def when(self, version: int) -> tuple[float, float, float]:
        """When the news came that this version is judged as it is, that gears can be ticked, and
        that all steps are proven."""
        seen: list[float] = []
        for line in self._lines:
            if line.startswith("data: "):
                news = json.loads(line[6:])
                if news["version"] < version or news["judged"] < version:
                    continue
                came = (news["steps"] > 0, news["ticks"], news["state"] == "done")
                seen += [time.monotonic()] * (sum(came) - len(seen))
                if len(seen) == len(came):
                    return seen[0], seen[1], seen[2]
        raise SystemExit("the program has ended")

    def until(self, version: int, *, whole: bool) -> None:
        """Wait until this version is judged as it is, or wholly, or nothing more will come."""
        for line in self._lines:
            if line.startswith("data: "):
                news = json.loads(line[6:])
                over = news["state"] != "working"
                if news["judged"] >= version and (over or (news["steps"] and not whole)):
                    return
        raise SystemExit("the program has ended")


def let_in(running: subprocess.Popen[str]) -> tuple[httpx.Client, Reader]:
    """A browser with the program's cookie, and its news."""
    assert running.stdout is not None
    address = running.stdout.readline().strip()
    base = address.partition("/?")[0]
    client = httpx.Client(
        base_url=base, headers={"origin": base}, follow_redirects=True, timeout=60
    )
    client.get(address)
    return client, Reader(client)


def _measure(running: subprocess.Popen[str]) -> None:
    client, news = let_in(running)
    news.when(1)
    version = 1
    text = client.get("/lathe").text
    every: list[list[float]] = [[], [], []]
    print(f"load {os.getloadavg()[0]:.1f}, {PAUSE:g} s between edits")
    print(f"{'edit':10} {' | '.join(PARTS)}")
    for what, sheet, ident, values in EDITS:
        was = _shown(text if sheet == "lathe" else client.get("/threads").text, ident)
        turns = values or (
            (was, f"{was}, 77") if ident == "gears.owned" else (was, str(float(was) + 1))
        )
        took: list[list[float]] = [[], [], []]
        for turn in range(TURNS):
            time.sleep(PAUSE)
            now = next(value for value in turns if value != was)
            if values is None and turn:  # never asked before
                now = f"{turns[0]}, {70 + turn}" if sheet == "lathe" and "," in was else (
                    str(float(turns[0]) - turn))  # fmt: skip
            form = {"sheet": sheet, f"v:{ident}": now, f"w:{ident}": was}
            start = time.monotonic()
            client.post("/edit", data=form, headers={"x-part": "1"})
            version += 1
            for column, came in zip(took, news.when(version), strict=True):
                column.append(came - start)
            was = now
        print(f"{what:10} {' | '.join(map(_middle, took))}", flush=True)
        for column, more in zip(every, took, strict=True):
            column += more
    print(f"{'all':10} {' | '.join(map(_middle, every))}")
    print(f"load {os.getloadavg()[0]:.1f}")


def _middle(times: list[float]) -> str:
    return f"{min(times):.2f} / {statistics.median(times):.2f} / {max(times):.2f}"


def _shown(page: str, ident: str) -> str:
    tail = page.partition(f'name="w:{ident}" value="')[2]
    return tail.partition('"')[0]


def resident(server: int) -> list[tuple[int, float]]:
    """Process and MB of the server, then of what it started."""
    found = []
    for path in Path("/proc").glob("[0-9]*/status"):
        try:
            text = path.read_text(encoding="utf-8")
        except OSError:
            continue
        fields = dict(line.split(":", 1) for line in text.splitlines() if ":" in line)
        if str(server) in (fields["PPid"].strip(), fields["Pid"].strip()):
            found.append((int(fields["Pid"]), int(fields["VmRSS"].split()[0]) / 1024))
    return sorted(found, key=lambda one: one[0] != server)


if __name__ == "__main__":
    main()
