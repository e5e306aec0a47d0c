"""`gearchest begin`: a commented lathe file, wants file and sketch, to fill in."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.output import show

FILES = ("lathe.toml", "wants.toml", "arm.svg")


def begin(folder: Path) -> None:
    """Write the files that are not there yet; those that are stay as they are."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name in FILES:
            written = _write_new(folder / name)
            show([f"wrote {folder / name}" if written else f"kept {folder / name}: it exists"])
    except OSError as error:
        raise FaultsError(
            [Fault(str(folder), f"cannot write here: {error.strerror}",
                   fix="name a folder that can be made and written to")]
        ) from None  # fmt: skip
    show([f"Fill in {folder / 'lathe.toml'}, then: gearchest check {folder / 'lathe.toml'}"])


def _write_new(path: Path) -> bool:
    """Write a template unless the file exists; whether it was written."""
    text = (files("gearchest.cli") / "templates" / path.name).read_text(encoding="utf-8")
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        return False
    return True
