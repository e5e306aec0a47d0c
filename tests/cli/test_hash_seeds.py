"""Same files in, same bytes out, whatever order Python's sets happen to be in, however many
threads prove it, wherever the machine stands."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

LATHE = """
name = "Twins"
[leadscrew]
pitch = "3 mm"
[banjo]
axis_distance = 100.0
studs = 1
slots = [ { start = 10.0, end = 120.0 } ]
[gears]
module = 1.0
owned = [20, 30, 40, 50, 60]
[[gears.special]]
teeth = 40
face_width = 6.0
[[gears.special]]
teeth = 40
face_width = 9.0
[[gears.special]]
teeth = 60
face_width = 5.0
[[gears.special]]
teeth = 60
face_width = 7.0
[[gears.special]]
teeth = 60
face_width = 9.0
"""
"""Gears that differ in face width alone: only that decides which of them comes first."""

WANTS = "pitch,tolerance\n1.5 mm,0.1 %\n2 mm,0.1 %\n1.25 mm,0.1 %\n14 tpi,0.1 %\n"
OFFERS = "teeth,price,how\n35,20,buy\n63,30,buy\n63,5,cut\n"

ALL_COMMANDS = """
from gearchest.cli.commands import app
for command in (
    "plan lathe.toml --wants wants.csv --offers offers.csv --most 1 --no-charts --sell "
    "--out plan.html --json plan.json --workers {workers}",
    "reach lathe.toml 1.5mm 1.25mm --all --json reach.json",
    "setup lathe.toml 1.5mm --out setup.html --json setup.json",
    "compare lathe.toml other.toml --wants wants.csv --out compare.html --json compare.json",
    "blanks lathe.toml 24 --out gears --json blanks.json",
    "chart lathe.toml --wants wants.csv --out chart.html --json chart.json",
    "threads ba --json threads.json --csv threads.csv",
    "threads --measured 18tpi --diameter 7.9mm --lathe lathe.toml --json named.json",
    "check lathe.toml wants.csv offers.csv",
    "begin begun",
):
    app(command.split(), standalone_mode=False)
"""

WRITTEN = {
    *("plan.html", "plan.json", "reach.json", "setup.html", "setup.json", "compare.html"),
    *("compare.json", "blanks.json", "chart.html", "chart.json", "threads.json", "threads.csv"),
    *("named.json", "lathe.toml", "arm.svg"),
}

SEEDS = "0", "1", "2", "3", "4"
PLACES = {"LC_ALL": ("C", "C.UTF-8"), "TZ": ("UTC", "Asia/Kathmandu", "America/St_Johns")}


def test_same_bytes_under_any_hash_seed(tmp_path: Path) -> None:
    runs = [(seed, start(tmp_path / seed, seed)) for seed in SEEDS]
    written = {}
    for seed, process in runs:
        out, err = process.communicate(timeout=120)
        made = (path for path in (tmp_path / seed).rglob("*") if path.is_file())
        files = {path.name: path.read_bytes() for path in made}
        assert files.keys() >= WRITTEN, err
        written[seed] = {**files, "out": out.replace(str(tmp_path / seed), "").encode()}
    for seed in SEEDS[1:]:
        differ = [name for name in written["0"] if written[seed][name] != written["0"][name]]
        assert not differ, f"seed {seed}"


def start(folder: Path, seed: str) -> subprocess.Popen[str]:
    folder.mkdir()
    (folder / "lathe.toml").write_text(LATHE, encoding="utf-8")
    (folder / "other.toml").write_text(LATHE.replace('"3 mm"', '"8 tpi"'), encoding="utf-8")
    (folder / "wants.csv").write_text(WANTS, encoding="utf-8")
    (folder / "offers.csv").write_text(OFFERS, encoding="utf-8")
    place = {name: values[int(seed) % len(values)] for name, values in PLACES.items()}
    return subprocess.Popen(
        [sys.executable, "-c", ALL_COMMANDS.replace("{workers}", str(1 + int(seed) % 2))],
        cwd=folder,
        env={**os.environ, **place, "PYTHONHASHSEED": seed},
        text=True,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
