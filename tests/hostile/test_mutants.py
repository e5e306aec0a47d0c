"""Bad files end in faults that say where, and nothing else: what check passes, every command
takes."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path

import pytest
from mutants import Mutant, mutant
from typer.testing import CliRunner

from gearchest.cli.commands import app
from gearchest.cli.faults import MOST_LINES, FaultsError

SEEDS = range(1000, 1300)

COMMANDS = (
    "reach lathe.toml M6 --json r.json",
    "setup lathe.toml M6 --out s.html --json s.json",
    "blanks lathe.toml 40 --wants wants.toml --json b.json",
    "reach lathe.toml 1module --json r.json",
    "compare lathe.toml lathe.toml --wants wants.toml --out c.html",
    "setup lathe.toml 9mm --use wood --diameter 50mm --force 200 --radius 150mm --left",
    "plan lathe.toml --wants wants.toml --offers offers.csv --most 1 --no-charts --no-what-if",
    "chart lathe.toml --wants wants.toml --time-limit 2 --out w.html --json w.json",
    "threads --measured 20tpi --diameter 6.3mm --lathe lathe.toml --json t.json",
    "plan lathe.toml --wants wants.toml --offers offers.csv --most 1 --sell --cover all "
    "--time-limit 4 --out p.html --json p.json",
)


def steers(char: str) -> bool:
    """Whether a terminal obeys this character, or turns reading round at it."""
    turns = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
    kind = unicodedata.category(char)
    return kind in ("Cc", "Cs", "Zl", "Zp") or unicodedata.bidirectional(char) in turns


def outcome(command: str) -> int | FaultsError:
    """How a command ended: an exit code, or the faults it told. Anything else is raised."""
    done = CliRunner().invoke(app, command.split())
    assert not any(steers(char) for char in done.output if char != "\n"), done.output[:500]
    if isinstance(done.exception, FaultsError):
        return done.exception
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done.exit_code


def check(folder: Path, bad: Mutant) -> int | FaultsError:
    """What `gearchest check` says of a mutant's files, left in the folder."""
    for name, content in bad.files.items():
        (folder / name).write_bytes(content)
    return outcome("check lathe.toml wants.toml offers.csv")


def told_well(error: FaultsError) -> Iterator[str]:
    """What is wrong with how the faults are told."""
    lines = error.lines()
    if len(lines) > MOST_LINES:
        yield f"{len(lines)} lines"
    if any(steers(char) for char in "".join(lines)):
        yield "marks"
    for fault in error.faults:
        nowhere = "missing" in fault.problem or "empty" in fault.problem
        if fault.line is None and not fault.where and not nowhere:
            yield f"nowhere: {fault}"
        if not fault.source or not fault.problem:
            yield f"nothing: {fault}"


def test_mutants(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    commands = cycle(COMMANDS)
    passed = 0
    for seed in SEEDS:
        bad = mutant(seed)
        found = check(tmp_path, bad)
        if isinstance(found, FaultsError):
            assert not list(told_well(found)), f"mutant {seed}"
            continue
        passed += 1
        if passed % 3:
            continue  # attack.py tries them all
        command = next(commands)
        found = outcome(command)
        assert found in (0, 4), f"mutant {seed}: {command}"
    assert len(SEEDS) / 10 < passed < len(SEEDS) / 2  # both kinds were seen
