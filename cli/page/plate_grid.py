"""A gearbox's plate as the grid it is: from the file and back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gearchest.cli.files.plate import MOST_COLUMNS, MOST_ROWS, typed_rows
from gearchest.cli.page.fields import counted
from gearchest.optimizer.domain.notation import NotationError


@dataclass(frozen=True)
class PlateGrid:
    """Rows of cells under their names, with an empty row and column to go on in."""

    rows: tuple[tuple[str, tuple[str, ...]], ...]
    there: bool


def plate_grid(value: Any) -> PlateGrid:
    """The grid of a plate as its file has it; empty where it cannot be read."""
    try:
        rows = typed_rows(value)
    except NotationError:
        rows = {}
    wide = min(max((len(cells) for cells in rows.values()), default=3) + 1, MOST_COLUMNS)
    listed = [
        (name, (*map(_cell, cells), *("",) * (wide - len(cells)))) for name, cells in rows.items()
    ]
    if len(listed) < MOST_ROWS:
        listed.append(("", ("",) * wide))
    return PlateGrid(tuple(listed), bool(rows))


def _cell(value: Any) -> str:
    text = str(value)
    return "" if text == "-" else text


def plate_literal(form: Mapping[str, str]) -> str | None:
    """The plate that cells named "plate.ROW.COLUMN" spell, as TOML; None where all are empty."""
    rows: dict[int, dict[int, str]] = {}
    names: dict[int, str] = {}
    for key, typed in form.items():
        parts = key.split(".")
        if parts[0] != "plate" or len(parts) != 3 or (row := counted(parts[1])) is None:
            continue
        plain = " ".join(re.sub(r'[|"\\\x00-\x1f\x7f]', " ", typed).split())
        if parts[2] == "name":
            names[row] = plain
        elif (column := counted(parts[2])) is not None:
            rows.setdefault(row, {})[column] = plain
    lines = []
    for number in sorted(rows)[: MOST_ROWS + 1]:
        cells = [rows[number][column] or "-" for column in sorted(rows[number])]
        while cells and cells[-1] == "-":
            cells.pop()
        if cells:
            name = names.get(number) or chr(ord("A") + min(number, MOST_ROWS))
            lines.append(" | ".join([name, *cells]))
    return '"""\n' + "\n".join(lines) + '\n"""' if lines else None
