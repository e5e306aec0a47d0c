"""Every command on many mutants. Not part of the suite.

    PYTHONPATH=tests/support python tests/hostile/attack.py FIRST COUNT [--every]

Each mutant is checked; where check passes, one command runs (with --every: all). Each has 20 s
of CPU and 2 GB. Prints what ended in anything but an answer or faults that say where.
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

from mutants import mutant
from test_mutants import COMMANDS, check, outcome, told_well

from gearchest.cli.faults import FaultsError


def attack(seed: int, folder: Path, every: bool) -> str:
    """What went wrong with this mutant; "" where nothing did, "passed" where check passed."""
    found = check(folder, mutant(seed))
    if isinstance(found, FaultsError):
        return "; ".join(told_well(found))
    for command in COMMANDS if every else [COMMANDS[seed % len(COMMANDS)]]:
        found = outcome(command)
        if found not in (0, 4):
            return f"{command}: {found}"
    return "passed"


def alone(seed: int, folder: Path, every: bool) -> str:
    """`attack` in a process of its own, within its limits."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        resource.setrlimit(resource.RLIMIT_CPU, (20, 25))
        resource.setrlimit(resource.RLIMIT_AS, (6 << 30, 6 << 30))  # much of it is never touched
        try:
            said = attack(seed, folder, every)
        except BaseException as error:
            said = f"{type(error).__name__}: {error}"
        os.write(writing, said.encode("utf-8", "backslashreplace")[:4000])
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        said = pipe.read().decode()
    _, status, used = os.wait4(child, 0)
    if os.WIFSIGNALED(status):
        return f"ended by {signal.Signals(os.WTERMSIG(status)).name}"
    return said if used.ru_maxrss < 2_000_000 else f"{used.ru_maxrss // 1000} MB"


def main() -> None:
    """Run the attack."""
    for command in ("blanks", "check", "compare", "plan", "reach", "setup"):
        import_module(f"gearchest.cli.{command}_command")  # once, not in every child
    first, count = int(sys.argv[1]), int(sys.argv[2])
    ends: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        for seed in range(first, first + count):
            said = alone(seed, Path(folder), "--every" in sys.argv)
            ends["passed" if said == "passed" else "wrong" if said else "refused"] += 1
            if said not in ("", "passed"):
                print(f"mutant {seed}: {said}", flush=True)
    print(dict(ends))


if __name__ == "__main__":
    main()
