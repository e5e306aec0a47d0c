"""Which tests run which line, and how long each takes: one run of the tests, told in JSON.

Loaded as a pytest plugin for the times; the lines come from coverage.py's contexts.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

TIMES = os.environ.get("MUTATION_TIMES")
"""Where the plugin writes seconds by test."""
_seconds: dict[str, float] = {}
_failed: set[str] = set()


def pytest_runtest_logreport(report: Any) -> None:
    """Add up set-up, call and tear-down."""
    _seconds[report.nodeid] = _seconds.get(report.nodeid, 0.0) + report.duration
    if report.failed:
        _failed.add(report.nodeid)


def pytest_sessionfinish() -> None:
    """Write the times of what passed."""
    if TIMES:
        passed = {test: time for test, time in _seconds.items() if test not in _failed}
        Path(TIMES).write_text(json.dumps(passed), encoding="utf-8")


def tests_by_line(data_file: Path, root: Path) -> dict[str, dict[int, list[str]]]:
    """File (relative to `root`) and line to the tests that ran it."""
    from coverage import CoverageData

    data = CoverageData(str(data_file))
    data.read()
    found: dict[str, dict[int, list[str]]] = {}
    for file in data.measured_files():
        lines = data.contexts_by_lineno(file)
        name = str(Path(file).resolve().relative_to(root))
        found[name] = {
            line: sorted({test.rpartition("|")[0] for test in contexts if test})
            for line, contexts in lines.items()
        }
    return found
