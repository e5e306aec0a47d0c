"""Every command on many mutants. Not part of the suite.

    PYTHONPATH=tests/support python tests/hostile/attack.py FIRST COUNT [--every]

Each mutant is checked; where check passes, one command runs (with --every: all). A command has
20 s of CPU, a process 2 GB. Prints what ended in anything but an answer or faults that say where.
"""

from __future__ import annotations

import os
import resource
import signal
import sys
import tempfile
from collections import Counter
from importlib import import_module
from pathlib import Path
from typing import IO

from mutants import mutant
from test_mutants import COMMANDS, check, outcome, told_well

from gearchest.cli.faults import FaultsError

A_PROCESS = 100
"""Mutants one process takes before the next begins."""


def attack(seed: int, folder: Path, every: bool) -> str:
    """What went wrong with this mutant; "" where nothing did, "passed" where check passed."""
    found = check(folder, mutant(seed))
    if isinstance(found, FaultsError):
        return "; ".join(told_well(found))
    for command in COMMANDS if every else [COMMANDS[seed % len(COMMANDS)]]:
        signal.setitimer(signal.ITIMER_PROF, 20)  # ends the process
        found = outcome(command)
        if found not in (0, 4):
            return f"{command}: {found}"
    return "passed"


def in_turn(seeds: range, folder: Path, every: bool, pipe: IO[str]) -> None:
    """Attack with each, telling one line a seed."""
    for seed in seeds:
        signal.setitimer(signal.ITIMER_PROF, 20)
        try:
            said = attack(seed, folder, every)
        except BaseException as error:
            said = f"{type(error).__name__}: {error}"
        used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        if used > 2_000_000:
            said = f"{used // 1000} MB"
        print(" ".join(said.split())[:2000], file=pipe, flush=True)
        if used > 2_000_000:
            os._exit(1)


def process(seeds: range, folder: Path, every: bool) -> list[str]:
    """What a process of its own tells of these mutants, and of what it died."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        with os.fdopen(writing, "w", errors="backslashreplace") as pipe:
            in_turn(seeds, folder, every, pipe)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, errors="replace") as pipe:
        told = [line.rstrip("\n") for line in pipe]
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        told.append(f"ended by {signal.Signals(os.WTERMSIG(status)).name}")
    return told


def main() -> None:
    """Run the attack."""
    for command in ("blanks", "check", "compare", "plan", "reach", "setup"):
        import_module(f"gearchest.cli.{command}_command")  # once, not in every process
    first, count = int(sys.argv[1]), int(sys.argv[2])
    ends: Counter[str] = Counter()
    seed = first
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        while seed < first + count:
            seeds = range(seed, min(seed + A_PROCESS, first + count))
            for said in process(seeds, Path(folder), "--every" in sys.argv):
                ends["passed" if said == "passed" else "wrong" if said else "refused"] += 1
                if said not in ("", "passed"):
                    print(f"mutant {seed}: {said}", flush=True)
                seed += 1
            print(seed - first, dict(ends), file=sys.stderr, flush=True)
    print(dict(ends))


if __name__ == "__main__":
    main()
