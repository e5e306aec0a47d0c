"""The program as a process."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import IO

CALL = "from gearchest.cli.main import run; run()"


def run(
    *arguments: object,
    cwd: Path | None = None,
    timeout: float = 120,
    before: str = "",
    stdout: IO[str] | int = subprocess.PIPE,
) -> subprocess.CompletedProcess[str]:
    """The program with these arguments, its output as UTF-8; `before`: Python run before it."""
    return subprocess.run(
        [sys.executable, "-c", f"{before}\n{CALL}", *map(str, arguments)],
        stdout=stdout, stderr=subprocess.PIPE, encoding="utf-8", check=False, cwd=cwd,
        timeout=timeout,
    )  # fmt: skip
