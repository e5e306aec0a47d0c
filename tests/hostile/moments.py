"""The program stopped at random moments, and its disk full or closed to it. Not part of the suite.

    python tests/hostile/moments.py [COUNT] [SEED]

A sheet and its JSON are written over older ones, COUNT times in each way of going wrong: killed,
Ctrl-C, terminated, a pipe closed, and (as root, on Linux) a disk that fills up and one that becomes
read-only. Afterwards each file is the old one or the whole new one; nothing stands beside them, but
what a killed process had in hand, which the next run clears. Prints what did not hold.
"""

from __future__ import annotations

import contextlib
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PROGRAM = (sys.executable, "-c", "from gearchest.cli.main import run; run()")
SIGNALS = {"killed": signal.SIGKILL, "ctrl-c": signal.SIGINT, "terminated": signal.SIGTERM}
OLD = b"old\n"
OURS = b"gearchest"
"""In each traceback through the program; others come from Python as it starts, before any of us."""
NAMES = ("sheet.html", "sheet.json")


@dataclass(frozen=True)
class Run:
    """How a run without trouble goes: seconds, and what it writes."""

    seconds: float
    whole: dict[str, bytes]


def started(folder: Path, **streams: object) -> subprocess.Popen[bytes]:
    """The program at work in this folder."""
    command = ("setup", "mini-7-metric", "M6", "--out", NAMES[0], "--json", NAMES[1])
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.PIPE} | streams
    return subprocess.Popen([*PROGRAM, *command], cwd=folder, **quiet)  # type: ignore[call-overload,no-any-return]


def usual() -> Run:
    """The second of two runs: the first compiles."""
    with tempfile.TemporaryDirectory() as name:
        for _ in range(2):
            begun = time.monotonic()
            started(Path(name)).communicate()
            seconds = time.monotonic() - begun
        return Run(seconds, {one: (Path(name) / one).read_bytes() for one in NAMES})


def faults(folder: Path, run: Run, said: bytes, may_leave: bool) -> list[str]:
    """What is not as it should be in the folder, and in what was said."""
    found = []
    for name, whole in run.whole.items():
        held = (folder / name).read_bytes()
        if held not in (OLD, whole):
            found.append(f"{name} holds {len(held)} bytes of {len(whole)}")
    left = {path.name for path in folder.iterdir()} - set(NAMES)
    if left and not may_leave:
        found.append(f"left beside: {', '.join(sorted(left))}")
    if b"Traceback" in said and OURS in said:
        found.append("traceback: " + said.decode(errors="replace")[-300:])
    return found


@contextlib.contextmanager
def disk(size: int) -> Iterator[Path]:
    """A small disk of its own."""
    with tempfile.TemporaryDirectory() as name:
        subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", name], check=True)
        try:
            yield Path(name)
        finally:
            subprocess.run(["umount", "-l", name], check=True)


def stopped(way: str, moment: float, run: Run) -> list[str]:
    """One run sent a signal, and the next in the same folder."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for one in NAMES:
            (folder / one).write_bytes(OLD)
        process = started(folder)
        time.sleep(moment * run.seconds)
        process.send_signal(SIGNALS[way])
        _, said = process.communicate()
        found = faults(folder, run, said, may_leave=way == "killed")
        early = process.returncode == 1 and b"Traceback" in said and OURS not in said
        if process.returncode not in (0, 130, 143, -SIGNALS[way]) and not early:
            found.append(f"ended with {process.returncode}: {said.decode()[-200:]}")
        if any(path.name not in NAMES for path in folder.iterdir()):
            started(folder).communicate()
            found += faults(folder, run, b"", may_leave=False)
        return found


def closed_pipe(moment: float, run: Run) -> list[str]:
    """One run whose readers go away."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for one in NAMES:
            (folder / one).write_bytes(OLD)
        process = started(folder, stdout=subprocess.PIPE)
        assert process.stdout
        time.sleep(moment * run.seconds)
        process.stdout.close()
        assert process.stderr
        said = process.stderr.read()
        process.wait()
        found = faults(folder, run, said, may_leave=False)
        return found + ([] if process.returncode in (0, 141) else [f"ended {process.returncode}"])


def full(moment: float, run: Run) -> list[str]:
    """One run on a disk with room for a part of what is written."""
    pages = sum(-(-len(data) // 4096) for data in run.whole.values())
    with disk(4096 * (3 + round(2 * moment * pages))) as folder:
        for one in NAMES:
            (folder / one).write_bytes(OLD)
        process = started(folder)
        _, said = process.communicate()
        found = faults(folder, run, said, may_leave=False)
        return found + ([] if process.returncode in (0, 3) else [f"ended {process.returncode}"])


def read_only(moment: float, run: Run) -> list[str]:
    """One run whose folder is closed to writing meanwhile."""
    with disk(1 << 24) as folder:
        for one in NAMES:
            (folder / one).write_bytes(OLD)
        process = started(folder)
        time.sleep(moment * run.seconds)
        os.sync()
        closed = subprocess.run(["mount", "-o", "remount,ro", str(folder)], capture_output=True)
        _, said = process.communicate()
        found = faults(folder, run, said, may_leave=closed.returncode != 0)
        return found + ([] if process.returncode in (0, 3) else [f"ended {process.returncode}"])


def main() -> None:
    """All ways, COUNT moments each."""
    count, seed = (int(text) for text in (sys.argv[1:] + ["100", "1"][len(sys.argv) - 1 :]))
    draw = random.Random(seed)
    run = usual()
    ways = {way: lambda moment, way=way: stopped(way, moment, run) for way in SIGNALS}
    ways["closed pipe"] = lambda moment: closed_pipe(moment, run)
    if sys.platform == "linux" and os.getuid() == 0:
        ways["full disk"] = lambda moment: full(moment, run)
        ways["read-only"] = lambda moment: read_only(moment, run)
    for way, attempt in ways.items():
        bad = 0
        for _ in range(count):
            moment = draw.uniform(0.0, 1.1)
            for fault in attempt(moment):
                bad += 1
                print(f"{way} at {moment:.3f}: {fault}", flush=True)
        print(f"{way}: {count} moments, {bad} faults", flush=True)


if __name__ == "__main__":
    main()
