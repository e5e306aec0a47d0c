"""What a page's footer says of its own making: version, input files, options."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING

from gearchest.catalogs.lathes import lathe_file

if TYPE_CHECKING:
    from gearchest.reports.page.shell import Facts


def facts_of(command: str, inputs: Iterable[Path], options: Mapping[str, object]) -> Facts:
    """`options` as given; those that are None, False or empty are left out. Inputs may be
    names of bundled lathes."""
    from gearchest.reports.page.shell import Facts

    sources = [path if path.exists() else lathe_file(str(path)) or path for path in inputs]
    return Facts(
        version=_version(),
        inputs=tuple((path.name, _digest(path)) for path in sources),
        options=((command, ""), *((_option(k), _text(v)) for k, v in options.items() if v)),
    )


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def _text(value: object) -> str:
    if value is True:
        return ""
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    return value.name if isinstance(value, Path) else str(value)


def _version() -> str:
    try:
        return version("gearchest")
    except PackageNotFoundError:
        return ""
