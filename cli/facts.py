"""What a page's footer says of its own making: version, input files, options."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING

from gearchest.cli.files.lathe import lathe_source
from gearchest.cli.files.reading import read_file
from gearchest.cli.marks import spelt_out

if TYPE_CHECKING:
    from gearchest.reports.page.shell import Facts


def facts_of(
    command: str,
    inputs: Iterable[Path],
    options: Mapping[str, object],
    usual: Mapping[str, object] | None = None,
) -> Facts:
    """`command` with its arguments; `options` but for those that are as `usual`, or None where
    nothing is. Inputs may be names of bundled lathes."""
    from gearchest.reports.page.shell import Facts

    sources = [lathe_source(path) for path in inputs]
    return Facts(
        version=program_version(),
        inputs=tuple((spelt_out(path.name), _digest(path)) for path in sources),
        options=(
            (spelt_out(command), ""),
            *(_written(k, v) for k, v in options.items() if v != (usual or {}).get(k)),
        ),
    )


def _digest(path: Path) -> str:
    return hashlib.sha256(read_file(path)).hexdigest()


def _written(name: str, value: object) -> tuple[str, str]:
    """An option as it is typed, and its value: ("--most", "4"), ("--no-charts", "")."""
    option = name.replace("_", "-")
    if isinstance(value, bool):
        return (f"--{option}" if value else f"--no-{option}", "")
    return f"--{option}", spelt_out(_text(value))


def _text(value: object) -> str:
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    return value.name if isinstance(value, Path) else str(value)


def program_version() -> str:
    """The program's own version; "" where it is not installed."""
    try:
        return version("gearchest")
    except PackageNotFoundError:
        return ""
