"""How many small wrong changes of the program the tests notice. Not part of the suite.

    python tests/mutation/score.py COUNT SEED [--part optimizer] [--tests tests]
        [--out FILE] [--lines FOLDER] [--at-most SECONDS] [--again FILE]

Changes are drawn from all places of a part alike (`mutants_of_code`). The tests that run the
changed line run against it, quickest first, until one fails, for so many seconds at most: in the
program as it stands in memory first (`trying`), and what passes there once more with the program
read anew. A change no test notices is a survivor; `equivalent.csv` names those that change nothing
anybody could see, judged by reading them, and why. Prints each survivor, then the share noticed of
the others, with its interval (Wilson, 95 %). The lines each test runs are found once and kept in
`--lines`. With `--again` only what survived in a table made before, of the same draw, is tried,
as after more tests or with more time for each.
"""

from __future__ import annotations

import argparse
import contextlib
import csv
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
sys.path.insert(0, str(HERE))

from covering import tests_by_line  # noqa: E402
from mutants_of_code import Change, drawn  # noqa: E402
from standing import Place, equivalent, named_there, place, replaceable  # noqa: E402
from trying import NOTICED, SURVIVED, TOO_SLOW, UNABLE, Quick, limited, outcome  # noqa: E402

PARTS = ("optimizer", "catalogs", "reports", "cli")
EQUIVALENT = "equivalent"
UNASKED = [f"--ignore=tests/{name}" for name in ("page", "pictures", "benchmarks")]
"""Left out by default: slow, and of nothing in `optimizer/`."""
OFTEN_USED = (
    "numpy", "pandas", "scipy.stats", "ortools.sat.python.cp_model", "hypothesis.strategies",
    "pydantic", "typer.testing", "jinja2", "tree_sitter_toml", "tomlkit", "ezdxf", "shapely",
    "plotly.graph_objects", "pytest_benchmark.plugin",
)  # fmt: skip
"""Imported once, before a process a change is split off."""


@dataclass(frozen=True)
class Lines:
    """What the tests run and how long they take."""

    by_line: dict[str, dict[int, list[str]]]
    seconds: dict[str, float]

    def covering(self, change: Change, at_most: float) -> list[str]:
        """Tests of the changed line, those of its folder first (of a constant those of its users
        next) and the quickest of them, so many seconds of them."""
        source = (ROOT / change.file).read_text(encoding="utf-8")
        lines = self.by_line.get(change.file, {})
        run = [line for line in lines if line <= change.line]
        tests = set(lines[max(run)] if run and replaceable(change, source) else [])
        near = f"tests/{change.file.rpartition('/')[0]}/"
        first: set[str] = set()
        if not tests:  # run when the module is read: first who uses what it defines, and its folder
            tests = {test for found in lines.values() for test in found}
            tests |= {test for test in self.seconds if test.startswith(near)}
            name = named_there(change, source)
            first = self.using(name) if name else set()
        chosen: list[str] = []
        total = 0.0
        known = [test for test in tests | first if test in self.seconds]

        def order(test: str) -> tuple[object, ...]:
            here = test.startswith(near)
            return not (test in first or here), self.seconds[test] + (not here), test

        for test in sorted(known, key=order):
            total += self.seconds[test]
            if chosen and total > at_most:
                break
            chosen.append(test)
        return chosen

    def using(self, name: str) -> set[str]:
        """Tests that run a line with this name."""
        word = re.compile(rf"\b{name}\b")
        return {
            test
            for file, lines in self.by_line.items()
            for number, line in enumerate((ROOT / file).read_text("utf-8").splitlines(), 1)
            if word.search(line)
            for test in lines.get(number, [])
        }


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


def run_anew(tests: list[str], log: Path, seconds: float) -> str:
    """What tests say that read the whole program again, in a process of its own."""
    child = os.fork()
    if not child:
        os.setsid()
        limited(seconds)
        with log.open("w") as said:
            os.dup2(said.fileno(), 1)
            os.dup2(said.fileno(), 2)
        import pytest
        import trying

        listed = log.with_suffix(".tests")
        listed.write_text("\n".join(tests), encoding="utf-8")
        quiet = ["-x", "-q", "-p", "no:cacheprovider", "--no-header", f"--rootdir={ROOT}"]
        os._exit(0 if pytest.main([*quiet, f"@{listed}"], plugins=[trying]) == 0 else 1)
    return outcome(child, seconds)


def wilson(noticed: int, of: int) -> tuple[float, float]:
    """The 95 % interval of a share (E. B. Wilson, 1927)."""
    z, share = 1.96, noticed / of
    middle = (share + z * z / (2 * of)) / (1 + z * z / of)
    half = z * ((share * (1 - share) + z * z / (4 * of)) / of) ** 0.5 / (1 + z * z / of)
    return middle - half, middle + half


def earlier(table: Path) -> dict[tuple[Place, str], tuple[str, str]]:
    """What became of each change, of a table written here; and by which test."""
    with table.open(encoding="utf-8", newline="") as rows:
        return {
            (Place(row["file"], row["within"], row["line"], row["change"]), row["number"]): (
                row["found"],
                row["by"],
            )
            for row in csv.DictReader(rows)
        }


class Trial:
    """Changes made in a copy of the program, and tests run against it."""

    def __init__(self, scratch: Path, lines: Lines, at_most: float, tests: list[str]) -> None:
        self.tree, self.log = scratch / "gearchest", scratch / "log"
        self.lines, self.at_most = lines, at_most
        for part in PARTS:
            shutil.copytree(ROOT / part, self.tree / part)
        os.environ["PYTHONPATH"] = str(scratch)
        os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
        sys.path.insert(0, str(scratch))
        sys.dont_write_bytecode = True
        os.chdir(ROOT)
        for module in OFTEN_USED:
            with contextlib.suppress(ImportError):
                import_module(module)
        self.quick = Quick(ROOT, scratch / "quick.log", tests)

    def found(self, change: Change) -> tuple[str, str]:
        """What became of this change, and the test that noticed it where that is known."""
        tests = self.lines.covering(change, self.at_most)
        if not tests:
            return SURVIVED, "no test runs it"
        seconds = 3 * sum(self.lines.seconds[test] for test in tests) + 10
        file = self.tree / change.file
        source = file.read_text(encoding="utf-8")
        changed = change.applied(source)
        where = replaceable(change, source)
        try:
            file.write_text(changed, encoding="utf-8")
            if where:
                name, first = where
                answer = self.quick.tried(
                    tests, seconds, file=str(file), source=changed, name=name, first=first
                )
                if answer[0] not in (SURVIVED, UNABLE):
                    return answer
            tests = [test for test in tests if test not in self.quick.unsound]
            return run_anew(tests, self.log, seconds + 20), ""
        finally:
            file.write_text(source, encoding="utf-8")


def main() -> None:
    """Draw, try, tell."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("count", type=int)
    options.add_argument("seed", type=int)
    options.add_argument("--part", default="optimizer")
    options.add_argument("--tests", nargs="*", default=["tests", *UNASKED])
    options.add_argument("--out", type=Path, default=Path("mutation.csv"))
    options.add_argument("--lines", type=Path)
    options.add_argument("--at-most", type=float, default=20.0)
    options.add_argument("--again", type=Path)
    given = options.parse_args()
    counts = {NOTICED: 0, TOO_SLOW: 0, SURVIVED: 0, EQUIVALENT: 0}
    files = sorted(str(path.relative_to(ROOT)) for path in (ROOT / given.part).rglob("*.py"))
    same = equivalent(HERE / "equivalent.csv")
    before = earlier(given.again) if given.again else {}
    with (
        tempfile.TemporaryDirectory() as scratch,
        given.out.open("w", encoding="utf-8", newline="") as out,
    ):
        lines = find_lines(given.lines or Path(scratch) / "lines", given.part, given.tests)
        trial = Trial(Path(scratch), lines, given.at_most, given.tests)
        table = csv.writer(out)
        table.writerow(["file", "within", "line", "change", "number", "found", "by"])
        for change in drawn(ROOT, files, given.count, given.seed):
            at = place(change, (ROOT / change.file).read_text(encoding="utf-8"))
            known = before.get((at, str(change.line)), (SURVIVED, ""))
            if at in same:
                found, by = EQUIVALENT, ""
            else:
                found, by = trial.found(change) if known[0] == SURVIVED else known
            counts[found] += 1
            row = [at.file, at.within, at.line, at.change, change.line, found, by]
            table.writerow(row)
            out.flush()
            if found == SURVIVED:
                print(f"{change.file}:{change.line}: {change.told}  in  {at.line}", flush=True)
        trial.quick.close()
    noticed = counts[NOTICED] + counts[TOO_SLOW]
    of = noticed + counts[SURVIVED]
    low, high = wilson(noticed, of)
    print(f"{noticed} of {of} noticed: {noticed / of:.1%} ({low:.1%} to {high:.1%}); {counts}")


if __name__ == "__main__":
    main()
