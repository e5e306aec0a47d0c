"""What the page's server and the process that computes hold over many edits.

    python tests/benchmarks/page_memory.py [EDITS] [BENCH...]

On the benches `small` (one stud) and `large` (two studs, of whose threads the first twenty), or
those named: edits of gears, arm, weights, tolerances and threads over HTTP, drawn by lot from a
fixed seed. Every tenth is waited for until the lathe as it is has been judged, every fiftieth until
all steps are proven, and then what to buy and a setup are looked at. Prints MB of both processes.
"""

from __future__ import annotations

import itertools
import random
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path
from typing import Any

import httpx
from page_latency import begun, lay_out, let_in, resident

PITCHES = [f"{n / 100:g} mm" for n in range(35, 600, 5)] + [f"{n} tpi" for n in range(4, 64)]

LEAST, MOST = 15, 40
"""Threads wanted, between which they are added and taken out."""


def main() -> None:
    count, *benches = sys.argv[1:] or ["1000"]
    for bench in benches or ("small", "large"):
        with tempfile.TemporaryDirectory() as place:
            folder = lay_out(Path(place), bench, most=20 if bench == "large" else None)
            running = begun(folder)
            try:
                _measure(running, folder, int(count), bench)
            finally:
                running.terminate()
                running.wait(10)


def _measure(running: subprocess.Popen[str], folder: Path, count: int, bench: str) -> None:
    client, news = let_in(running)
    news.when(1)
    rng = random.Random(19)
    forms = (_form(folder, rng, kind) for kind in _kinds(rng))
    print(f"{bench}: edits, MB of server and of the process that computes, most of it so far")
    begin, most = time.monotonic(), 0.0
    for edit in range(1, count + 1):
        version = _edited(client, next(forms))
        if edit % 10 == 0:
            news.until(version, whole=edit % 50 == 0)
        if edit % 50 == 0:
            assert client.get("/buy").status_code == 200
            assert client.get("/setup", params={"thread": "1 mm"}).status_code in (200, 422)
        if edit % 10 == 0:
            (_, server), *rest = resident(running.pid)
            number, solver = rest[0]
            most = max(most, solver)
        if edit in (10, 50) or edit % 100 == 0:
            print(f"{edit:5} {server:6.0f} {solver:6.0f} {most:6.0f}  process {number}, "
                  f"{time.monotonic() - begin:.0f} s", flush=True)  # fmt: skip


def _kinds(rng: random.Random) -> Any:
    return (
        rng.choice(["gears", "arm", "weight", "tolerance", "threads"]) for _ in itertools.count()
    )


def _edited(client: httpx.Client, form: dict[str, str]) -> int:
    """The version of the files after a form."""
    page = client.post("/edit", data=form, headers={"x-part": "1"}).text
    return int(page.partition('data-version="')[2].partition('"')[0])


def _form(folder: Path, rng: random.Random, kind: str) -> dict[str, str]:
    """An edit of that kind to the files as they stand."""
    lathe = tomllib.loads((folder / "lathe.toml").read_text(encoding="utf-8"))
    wants = tomllib.loads((folder / "wants.toml").read_text(encoding="utf-8"))["want"]
    number = rng.randrange(len(wants))
    if kind == "gears":
        owned: list[int] = lathe["gears"]["owned"]
        now = [*owned, rng.randint(20, 80)]
        if len(owned) > 12 and rng.random() < 0.5:
            now = owned.copy()
            now.remove(rng.choice(now))
        return _field("lathe", "gears.owned", owned, now)
    if kind == "arm":
        slot, key = rng.randrange(len(lathe["banjo"]["slots"])), rng.choice(["start", "end"])
        was = lathe["banjo"]["slots"][slot][key]
        now = round(was * rng.uniform(0.97, 1.03), 1)
        return _field("lathe", f"banjo.slots.{slot}.{key}", was, now)
    if kind == "weight":
        now = rng.randint(1, 10)
        return _field("threads", f"want.{number}.weight", wants[number].get("weight", ""), now)
    if kind == "tolerance":
        now = f"{rng.randint(2, 40) / 100:g} %"
        return _field("threads", f"want.{number}.tolerance", wants[number].get(kind, ""), now)
    if len(wants) < LEAST or (len(wants) < MOST and rng.random() < 0.5):
        return {"sheet": "threads", "do": "add:pitches", "a:pitches": rng.choice(PITCHES)}
    return {"sheet": "threads", "do": f"remove:wants:want.{number}"}


def _field(sheet: str, ident: str, was: Any, now: Any) -> dict[str, str]:
    def shown(value: Any) -> str:
        return ", ".join(map(str, value)) if isinstance(value, list) else str(value)

    return {"sheet": sheet, f"v:{ident}": shown(now), f"w:{ident}": shown(was)}


if __name__ == "__main__":
    main()
