"""Tables as rows of text, wherever they were saved: separated text, .xlsx, .ods.

What reads spreadsheets' own files is imported when there is one.
"""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import chain
from pathlib import Path
from typing import Any

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.extent import TooLargeError, extent
from gearchest.cli.files.limits import LARGEST_FILE, too_many
from gearchest.cli.files.reading import decoded, read_file
from gearchest.reports.words.cells import as_meant

SEPARATORS = ",;\t"
SHEETS = (".xlsx", ".xlsm", ".ods")
"""Endings of spreadsheets' own files."""

MOST_COLUMNS = 200
MOST_ROWS = 10_000

csv.field_size_limit(LARGEST_FILE)  # or one long cell would be refused as a fault of our own


@dataclass(frozen=True)
class Row:
    """A row that is not blank: its line, from 1, its cells trimmed, blank ones at the end cut
    off."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Grid:
    """A table as rows. `source` is the file's name for messages."""

    source: str
    rows: tuple[Row, ...]


def read_grids(path: Path) -> list[Grid]:
    """The tables of a file: one of a text, one of each sheet that is not blank. Raises
    `FaultsError`."""
    return grids_of(read_file(path), path)


def grids_of(raw: bytes, path: Path) -> list[Grid]:
    """As `read_grids`, from the bytes of a file of this name."""
    if path.suffix.casefold() not in SHEETS:
        return [text_grid(decoded(raw, path), str(path))]
    return _sheets(raw, str(path))


def text_grid(text: str, source: str) -> Grid:
    """A table from text: a `sep=` line is minded, otherwise the separator is found."""
    lines = io.StringIO(text, newline=None).readlines()
    told = re.fullmatch(r"\s*sep=(.)\s*", lines[0], re.IGNORECASE) if lines else None
    separator = told[1] if told else _separator(lines)
    widths = [line.count(separator) + 1 for line in lines]
    width = max(widths, default=1)
    if width > MOST_COLUMNS:
        raise FaultsError([_too_much(source, MOST_COLUMNS, "columns", widths.index(width) + 1)])
    first = 1 if told else 0
    rows: list[tuple[int, list[str]]] = []
    reader = csv.reader(chain(lines[first:], [_END]), delimiter=separator)
    line = first + 1
    for cells in reader:
        rows.append((line, cells))
        line = first + reader.line_num + 1
    at, _ = rows.pop()
    if at <= len(lines):
        fix = "take it out, or write it twice within a cell"
        raise FaultsError([Fault(source, "a quotation mark here has no end", line=at, fix=fix)])
    return Grid(source, _rows(source, rows, str))


_END = "end"
"""A line after all others: a row of its own, unless quotation marks hold it."""


def _separator(lines: list[str]) -> str:
    """The one that parts the first rows into the most columns, as often on each of them."""
    first = [line for line in lines if line.strip(f'{SEPARATORS} \r\n"')][:50]

    def parts(separator: str) -> tuple[int, int]:
        counts = [re.sub(r'"[^"]*"', "", line).count(separator) for line in first]
        usual = max(counts, key=counts.count, default=0)
        return (counts.count(usual) * usual, counts[0] if counts else 0)

    return max(";\t,", key=parts)


def _sheets(raw: bytes, source: str) -> list[Grid]:
    from python_calamine import CalamineWorkbook

    try:
        rows, columns = extent(zipfile.ZipFile(io.BytesIO(raw)))
        if columns > MOST_COLUMNS:
            raise FaultsError([_too_much(source, MOST_COLUMNS, "columns")])
        if rows > MOST_ROWS:
            raise FaultsError([_too_much(source, MOST_ROWS, "rows")])
        book = CalamineWorkbook.from_filelike(io.BytesIO(raw))
        sheets = {
            name: book.get_sheet_by_name(name).to_python(skip_empty_area=False)
            for name in book.sheet_names
        }
    except TooLargeError:
        problem = "this is far larger than it looks"
        raise FaultsError([Fault(source, problem, fix=_AS_CSV)]) from None
    except FaultsError:
        raise
    except Exception as error:  # whatever a damaged file makes those who read it stumble over
        raise FaultsError(
            [Fault(source, f"this is no such spreadsheet: {type(error).__name__}", fix=_AS_CSV)]
        ) from None
    if not sheets:
        raise FaultsError([Fault(source, "there is no sheet in this spreadsheet", fix=_AS_CSV)])
    grids = []
    for name, held in sheets.items():
        numbered = enumerate(held, start=1)
        shown = source if len(sheets) == 1 else f"{source}, sheet {name}"
        grids.append(Grid(shown, _rows(source, numbered, _text)))
    return [grid for grid in grids if grid.rows] or grids[:1]


_AS_CSV = "save it as CSV and name that"


def _rows(
    source: str, rows: Iterable[tuple[int, Iterable[Any]]], text: Callable[[Any], str]
) -> tuple[Row, ...]:
    found: list[Row] = []
    for line, cells in rows:
        trimmed = [" ".join(as_meant(text(cell)).split()) for cell in cells]
        while trimmed and not trimmed[-1]:
            trimmed.pop()
        if trimmed:
            found.append(Row(line, tuple(trimmed)))
        if len(found) > MOST_ROWS:
            raise FaultsError([_too_much(source, MOST_ROWS, "rows", line)])
    return tuple(found)


def _too_much(source: str, most: int, what: str, line: int | None = None) -> Fault:
    problem, fix = too_many(most, what)
    return Fault(source, problem, line=line, fix=fix)


def _text(cell: Any) -> str:
    """A cell of a spreadsheet as text: 63.0 is 63, and three decimals get a fourth, so that none
    can be taken for thousands."""
    if cell is None or cell != cell:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, (int, float)):
        number = Decimal(f"{cell:.9g}" if isinstance(cell, float) else cell).normalize()
        shown = f"{number:f}"
        return f"{shown}0" if re.search(r"\.\d{3}$", shown) else shown
    if isinstance(cell, date):
        return cell.isoformat()
    return str(cell)
