"""How far a spreadsheet reaches, from its own markup: a file of a few hundred bytes may tell of a
thousand million cells, so that is looked at before anything is made of them."""

from __future__ import annotations

import re
import zipfile

MOST_UNPACKED = 100_000_000
"""Bytes of a spreadsheet's parts."""

_OPEN_TAGS = re.compile(
    rb"<table:table-row\b([^>]*)>|<table:(?:covered-)?table-cell\b([^>]*?)(/?)>|<(table:table)\b"
)
_OPEN_TIMES = re.compile(rb'table:number-(?:rows|columns)-repeated="(\d{1,9})')
_CELLS = re.compile(rb'<(?:\w+:)?c\b(?:[^>]*?\br="([A-Za-z]{1,3})(\d{1,7})")?')


class TooLargeError(Exception):
    """The parts of a file are far larger than the file."""


def extent(packed: zipfile.ZipFile) -> tuple[int, int]:
    """The last row and the last column in which something stands, of all sheets, from 1. Raises
    `TooLargeError`, and what `zipfile` raises of a damaged file."""
    if sum(entry.file_size for entry in packed.infolist()) > MOST_UNPACKED:
        raise TooLargeError
    names = packed.namelist()
    if "content.xml" in names:
        return _of_open(packed.read("content.xml"))
    found = [_of_cells(packed.read(name)) for name in names if _is_sheet(name)]
    return max((rows for rows, _ in found), default=0), max((c for _, c in found), default=0)


def _is_sheet(name: str) -> bool:
    return re.fullmatch(r"xl/worksheets/[^/]+\.xml", name, re.IGNORECASE) is not None


def _of_open(content: bytes) -> tuple[int, int]:
    """Of a sheet in the open format: rows and cells stand one after another, each as often as it
    says."""
    last = (0, 0)
    row = times = column = 0
    for tag in _OPEN_TAGS.finditer(content):
        of_row, of_cell, closed, table = tag.groups()
        if table:
            row = times = column = 0
        elif of_row is not None:
            row, times, column = row + times, _times(of_row), 0
        else:
            column += _times(of_cell)
            if not closed or b"office:" in of_cell:
                last = max(last[0], row + max(times, 1)), max(last[1], column)
    return last


def _times(attributes: bytes) -> int:
    found = _OPEN_TIMES.search(attributes)
    return int(found[1]) if found else 1


def _of_cells(sheet: bytes) -> tuple[int, int]:
    """Of a sheet whose cells say where they stand; those that do not are counted."""
    rows = columns = placeless = 0
    for cell in _CELLS.finditer(sheet):
        if cell[1] is None:
            placeless += 1
            continue
        number = 0
        for letter in cell[1].upper():
            number = number * 26 + letter - 64
        rows, columns = max(rows, int(cell[2])), max(columns, number)
    return max(rows, placeless), columns
