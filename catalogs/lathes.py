"""The lathe files that come along: the example with its wants and offers, and two classes."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

_FOLDER = "lathe_files"


@dataclass(frozen=True)
class Example:
    """The files of the bundled example."""

    lathe: Path
    wants: Path
    offers: Path


def example() -> Example:
    """A repair shop for musical and optical instruments; a scenario of our own."""
    folder = _folder()
    return Example(
        folder / "instrument-repair.toml",
        folder / "instrument-repair-wants.toml",
        folder / "instrument-repair-offers.csv",
    )


def lathe_names() -> tuple[str, ...]:
    """The names of the bundled lathe files."""
    names = (path.stem for path in _folder().glob("*.toml"))
    return tuple(sorted(name for name in names if not name.endswith("-wants")))


def lathe_file(name: str) -> Path | None:
    """The bundled lathe file of that name, with or without .toml; None if there is none."""
    stem = name.removesuffix(".toml")
    return _folder() / f"{stem}.toml" if stem in lathe_names() else None


def _folder() -> Path:
    return Path(str(files("gearchest.catalogs"))) / _FOLDER
