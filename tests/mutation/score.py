"""How many small wrong changes of the program the tests notice. Not part of the suite.

    python tests/mutation/score.py COUNT SEED [--part optimizer] [--tests tests]
        [--out FILE] [--lines FOLDER] [--at-most SECONDS]

Changes are drawn from all places of a part alike (`mutants_of_code`). The tests that run the
changed line run against it, quickest first, until one fails. A change no test notices is a
survivor; `equivalent.txt` names those that change nothing anybody could see, judged by reading
them. Prints each survivor, then the share noticed of the others, with its interval (Wilson,
95 %). The lines each test runs are found once and kept in `--lines`.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
sys.path.insert(0, str(HERE))

from covering import tests_by_line  # noqa: E402
from mutants_of_code import Change, drawn  # noqa: E402

PARTS = ("optimizer", "catalogs", "reports", "cli")
OFTEN_USED = ("numpy", "pandas", "scipy.stats", "ortools.sat.python.cp_model", "hypothesis")
"""Imported once, before a process a change is split off."""


@dataclass(frozen=True)
class Lines:
    """What the tests run and how long they take."""

    by_line: dict[str, dict[int, list[str]]]
    seconds: dict[str, float]

    def covering(self, change: Change, at_most: float) -> list[str]:
        """Tests of the changed line, quickest first, so many seconds of them."""
        lines = self.by_line.get(change.file, {})
        run = [line for line in lines if line <= change.line]
        tests = lines[max(run)] if run else []
        if not tests:  # run when the module is read: any test of the file may notice
            tests = sorted({test for found in lines.values() for test in found})
        chosen, total = [], 0.0
        for test in sorted(tests, key=lambda one: (self.seconds.get(one, 1e9), one)):
            total += self.seconds.get(test, 1e9)
            if chosen and total > at_most:
                break
            if test in self.seconds:
                chosen.append(test)
        return chosen


def find_lines(folder: Path, part: str, tests: list[str]) -> Lines:
    """Run the tests once under coverage; what they run is kept in `folder`."""
    data, times = folder / "lines.sqlite", folder / "seconds.json"
    if not times.exists():
        folder.mkdir(parents=True, exist_ok=True)
        subprocess.run(
            [
                *(sys.executable, "-m", "pytest", "-q", "-p", "covering", "-p", "no:cacheprovider"),
                *("-m", "not browser"),
                *(f"--cov={ROOT / part}", "--cov-context=test", "--cov-report=", *tests),
            ],
            cwd=ROOT,
            check=False,
            env={
                **os.environ,
                "COVERAGE_FILE": str(data),
                "MUTATION_TIMES": str(times),
                "PYTHONPATH": os.pathsep.join([str(HERE), os.environ.get("PYTHONPATH", "")]),
            },
        )
    return Lines(tests_by_line(data, ROOT), json.loads(times.read_text(encoding="utf-8")))


def run_tests(tests: list[str], log: Path, limit: float) -> str:
    """ "noticed", "too slow" or "survived", from a process of its own."""
    child = os.fork()
    if not child:
        os.setsid()
        with log.open("w") as said:
            os.dup2(said.fileno(), 1)
            os.dup2(said.fileno(), 2)
        import pytest

        listed = log.with_suffix(".tests")
        listed.write_text("\n".join(tests), encoding="utf-8")
        quiet = ["-x", "-q", "-p", "no:cacheprovider", "--no-header", f"--rootdir={ROOT}"]
        os._exit(0 if pytest.main([*quiet, f"@{listed}"]) == 0 else 1)
    ends = time.monotonic() + limit
    while time.monotonic() < ends:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return "survived" if status == 0 else "noticed"
        time.sleep(0.05)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return "too slow"


def wilson(noticed: int, of: int) -> tuple[float, float]:
    """The 95 % interval of a share (E. B. Wilson, 1927)."""
    z, share = 1.96, noticed / of
    middle = (share + z * z / (2 * of)) / (1 + z * z / of)
    half = z * ((share * (1 - share) + z * z / (4 * of)) / of) ** 0.5 / (1 + z * z / of)
    return middle - half, middle + half


def main() -> None:
    """Draw, try, tell."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("count", type=int)
    options.add_argument("seed", type=int)
    options.add_argument("--part", default="optimizer")
    options.add_argument("--tests", nargs="*", default=["tests"])
    options.add_argument("--out", type=Path, default=Path("mutation.csv"))
    options.add_argument("--lines", type=Path)
    options.add_argument("--at-most", type=float, default=20.0)
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        lines = find_lines(given.lines or Path(scratch) / "lines", given.part, given.tests)
        tree = Path(scratch) / "gearchest"
        for part in PARTS:
            shutil.copytree(ROOT / part, tree / part)
        os.environ["PYTHONPATH"] = scratch
        os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
        sys.path.insert(0, scratch)
        sys.dont_write_bytecode = True
        os.chdir(ROOT)
        for module in OFTEN_USED:
            import_module(module)
        files = sorted(str(path.relative_to(ROOT)) for path in (ROOT / given.part).rglob("*.py"))
        same = set((HERE / "equivalent.txt").read_text(encoding="utf-8").splitlines())
        counts = {"noticed": 0, "too slow": 0, "survived": 0, "equivalent": 0}
        with given.out.open("w", encoding="utf-8") as table:
            print("file,line,change,found", file=table)
            for change in drawn(ROOT, files, given.count, given.seed):
                changed = tree / change.file
                source = changed.read_text(encoding="utf-8")
                try:
                    changed.write_text(change.applied(source), encoding="utf-8")
                    tests = lines.covering(change, given.at_most)
                    log = Path(scratch) / "log"
                    limit = 3 * given.at_most + 20
                    found = run_tests(tests, log, limit) if tests else "survived"
                finally:
                    changed.write_text(source, encoding="utf-8")
                if found == "survived" and f"{change.file}: {change.told}" in same:
                    found = "equivalent"
                counts[found] += 1
                told = change.told.replace('"', '""')
                print(f'{change.file},{change.line},"{told}",{found}', file=table, flush=True)
                if found == "survived":
                    print(f"{change.file}:{change.line}: {change.told}", flush=True)
    noticed = counts["noticed"] + counts["too slow"]
    of = noticed + counts["survived"]
    low, high = wilson(noticed, of)
    print(f"{noticed} of {of} noticed: {noticed / of:.1%} ({low:.1%} to {high:.1%}); {counts}")


if __name__ == "__main__":
    main()
