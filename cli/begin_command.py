"""`gearchest begin`: a commented lathe file, wants file and sketch, to fill in."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from gearchest.cli.output import show
from gearchest.cli.writing import WRITTEN, make_folder, remove_folders, write_new

FILES = ("lathe.toml", "wants.toml", "arm.svg")


def begin(folder: Path) -> None:
    """Write the files that are not there yet; those that are stay as they are.

    All that are to be written are, or none.
    """
    folders: list[Path] = []
    files: list[Path] = []
    try:
        folders = make_folder(folder)
        for name in FILES:
            template = resources.files("gearchest.cli") / "templates" / name
            if write_new(folder / name, template.read_bytes()):
                files.append(folder / name)
    except BaseException:
        _take_back(files, folders)
        raise
    for name in FILES:
        there = folder / name
        show([f"wrote {there}" if there in files else f"kept {there}: it exists"])
    show([f"Fill in {folder / 'lathe.toml'}, then: gearchest check {folder / 'lathe.toml'}"])


def _take_back(files: list[Path], folders: list[Path]) -> None:
    for path in files:
        path.unlink(missing_ok=True)
        WRITTEN.remove(path)
    remove_folders(folders)
