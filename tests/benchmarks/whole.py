"""Whole processes before and after a change, in one run: seconds, processor seconds, memory.

    python tests/benchmarks/whole.py --before COMMIT [--rounds 3] [--slow]

Each instance is run by both in turn, so that whatever else the machine does falls on both
alike; of the rounds the least is told. Processes read files and write the report with charts
and the table that lets gears be ticked. Without COMMIT only the tree as it stands is measured.
The table is printed as it stands in DEVELOPERS.md.
"""

from __future__ import annotations

import argparse
import io
import os
import platform
import subprocess
import sys
import tarfile
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
BENCH = ROOT / "tests" / "bench"
PACKAGES = ("optimizer", "catalogs", "reports", "cli")


def instance(name: str, most: int, *more: str) -> tuple[str, ...]:
    """The command line of a plan for a benchmark lathe."""
    folder = BENCH / name
    return (
        *("plan", str(folder / "lathe.toml"), "--wants", str(folder / "wants.csv")),
        *("--offers", str(folder / "offers.csv"), "--most", str(most), *more),
    )


def levers(folder: Path) -> tuple[str, ...]:
    """39 threads on the `boxed` lathe with 48 positions of its gearbox: four rows of twelve."""
    wants = (BENCH / "boxed" / "wants.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    (folder / "wants.csv").write_text("".join(wants[:40]), encoding="utf-8")
    cells = ", ".join(
        f'{row}{k} = "16/{(15 + k) * times}"'
        for row, times in zip("ABCD", (1, 2, 4, 8), strict=True)
        for k in range(1, 13)
    )
    lathe = (BENCH / "boxed" / "lathe.toml").read_text(encoding="utf-8").splitlines()
    told = [f"ratios = {{ {cells} }}" if line.startswith("ratios") else line for line in lathe]
    (folder / "lathe.toml").write_text("\n".join(told), encoding="utf-8")
    return (
        *("plan", str(folder / "lathe.toml"), "--wants", str(folder / "wants.csv")),
        *("--offers", str(BENCH / "boxed" / "offers.csv"), "--most", "3"),
    )


USUAL = {
    "small, 3 gears": instance("small", 3),
    "medium, 4 gears": instance("medium", 4),
    "boxed, 3 gears": instance("boxed", 3),
    "reach, one pitch": ("reach", "mini-7-metric", "1.5 mm"),
    "small, 1 gear, cheapest cover": instance("small", 1, "--cover", "all"),
}
SLOW = {
    "medium, 3 gears, cheapest cover": instance("medium", 3, "--cover", "all"),
    "large, 3 gears": instance("large", 3),
}
"""More than a minute each before they were looked at."""


@dataclass(frozen=True)
class Took:
    """Of one process: seconds by the clock, of the processors, and MB at most."""

    wall: float
    processor: float
    memory: float

    def __str__(self) -> str:
        return f"{self.wall:.1f} s ({self.processor:.1f} s), {self.memory:.0f} MB"


def run(tree: Path, arguments: tuple[str, ...], folder: Path) -> Took:
    """One process from a folder that holds the package. `plan` is told where to write."""
    out = ("--out", str(folder / "plan.html")) if arguments[0] == "plan" else ()
    command = [sys.executable, "-m", "gearchest.cli.main", *arguments, *out]
    start = time.perf_counter()
    with (folder / "said.txt").open("w", encoding="utf-8") as said:
        process = subprocess.Popen(
            command, env={**os.environ, "PYTHONPATH": str(tree)}, stdout=said, stderr=said
        )
        _, status, usage = os.wait4(process.pid, 0)
    wall = time.perf_counter() - start
    if status:
        raise SystemExit((folder / "said.txt").read_text(encoding="utf-8"))
    return Took(wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


def linked(folders: Path, into: Path) -> Path:
    """A folder in which the four rooms are the package."""
    package = into / "gearchest"
    package.mkdir(parents=True)
    for name in PACKAGES:
        (package / name).symlink_to(folders / name)
    return into


def as_it_was(commit: str, into: Path) -> Path:
    """The tree of a commit."""
    packed = subprocess.run(
        ["git", "archive", commit, *PACKAGES], cwd=ROOT, check=True, capture_output=True
    )
    with tarfile.open(fileobj=io.BytesIO(packed.stdout)) as archive:
        archive.extractall(into / "tree", filter="data")
    return linked(into / "tree", into / "packages")


def least(took: list[Took]) -> Took:
    """The least of each figure."""
    return Took(
        min(t.wall for t in took), min(t.processor for t in took), min(t.memory for t in took)
    )


def main() -> None:
    """Measure and print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--before", help="commit to compare with")
    asked.add_argument("--rounds", type=int, default=3)
    asked.add_argument("--slow", action="store_true", help="instances of a minute and more too")
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "after").mkdir()
        trees = {"after": linked(ROOT, folder / "after" / "packages")}
        if given.before:
            (folder / "before").mkdir()
            trees = {"before": as_it_was(given.before, folder / "before"), **trees}
        (folder / "levers").mkdir()
        asks = {**USUAL, "48 lever positions, 3 gears": levers(folder / "levers")}
        asks |= SLOW if given.slow else {}
        load = os.getloadavg()[0]
        memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
        print(
            f"{os.cpu_count()} processors, {memory:.0f} GB, Python {platform.python_version()}, "
            f"{load:.1f} other processes at work when it began, least of {given.rounds}:\n"
        )
        print("| by the clock (of the processors), memory |", " | ".join(trees), "|")
        print("|---|" + "---|" * len(trees))
        for what, arguments in asks.items():
            took: dict[str, list[Took]] = {which: [] for which in trees}
            for _ in range(given.rounds):
                for which, tree in trees.items():
                    took[which].append(run(tree, arguments, folder))
            print(f"| {what} |", " | ".join(str(least(took[w])) for w in trees), "|", flush=True)


if __name__ == "__main__":
    main()
