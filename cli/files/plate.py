"""The plate of a gearbox as typed: rows of cells, each the pitch that a position gives.

A row stands under its lever's name: `plate = { A = ["4 tpi", "4 1/2 tpi"], B = [...] }`. The
grid may also be typed as it stands on the lathe, a row a line and its name first:

    A | 4 | 4 1/2 | 5
    B | 8 | -     | 10

`unit` is that of cells without one. A position is called as its row and column: A1, A2, ...
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, PlainValidator, ValidationInfo

from gearchest.cli.faults import FaultsError
from gearchest.cli.files.document import Document
from gearchest.cli.files.fields import Name, brief
from gearchest.optimizer.domain.notation import (
    PITCH_FORMS,
    NotationError,
    parse_number,
    parse_pitch,
)
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.plate import UnlikePitchError, box_ratio
from gearchest.optimizer.domain.train import Train

CELL_FORMS = f'{PITCH_FORMS}; "" or "-" where the plate is blank'
UNITS = ("tpi", "mm", "in", "module", "dp")

MOST_ROWS, MOST_COLUMNS = 26, 60
"""No plate has more; every position is one more ratio to look for trains with."""

_BLANK = frozenset({"", "-", "\u2013", "\u2014", "."})
_PER_TURN = re.compile(r"\s*(?:/|\bper\b|\ba\b)\s*(?:rev|turn|revolution)\.?\s*$", re.IGNORECASE)
_NUMBER = r"(?:\d+ \d+/\d+|\d+-\d+/\d+|\d+/\d+|\d*[.,]\d+|\d+)"
_WORDS = re.compile(rf"(?:{_NUMBER}(?: ?[a-z\"]+)?|[-\u2013\u2014.])(?: |$)", re.IGNORECASE)
_JOINED = re.compile(rf"([^\W\d_]+):? +({_NUMBER}(?: ?[a-z\"]+)?|[-\u2013\u2014])", re.IGNORECASE)
"""A row's name and its first cell with no bar between."""

Rows = Mapping[str, tuple[Pitch | None, ...]]


def _as_rows(value: Any, info: ValidationInfo) -> Any:
    """The plate as lists of cells by row, bare numbers with their unit."""
    unit = info.data.get("unit")
    rows = _grid(value) if isinstance(value, str) else value
    if not isinstance(rows, dict):
        return rows
    listed = {name: _cells(row) if isinstance(row, str) else row for name, row in rows.items()}
    return {
        name: [_in_unit(cell, unit) for cell in row] if unit and isinstance(row, list) else row
        for name, row in listed.items()
    }


def typed_rows(value: Any) -> dict[str, list[Any]]:
    """The cells of a plate by row as they were typed. Raises `NotationError`."""
    rows = _grid(value) if isinstance(value, str) else value
    if not isinstance(rows, dict):
        return {}
    listed = {name: _cells(row) if isinstance(row, str) else row for name, row in rows.items()}
    return {name: row for name, row in listed.items() if isinstance(row, list)}


def _grid(text: str) -> dict[str, list[str]]:
    """Rows by name. Where no line has one they are called A, B, ... in their order."""
    lines = _named([cells for line in text.splitlines() if (cells := _cells(line))])
    rows: dict[str, list[str]] = {}
    bare = [cells[0] in _BLANK or cells[0][:1].isdecimal() for cells in lines]
    for number, cells in enumerate(lines):
        name = chr(ord("A") + min(number, MOST_ROWS)) if all(bare) else cells[0].rstrip(": ")
        if name in rows:
            raise NotationError(
                f'the row "{name}" stands twice', value=name, allowed="each row once",
                fix="name the rows as the lever's positions are",
            )  # fmt: skip
        if any(bare) and bare[number] and not all(bare):
            raise NotationError(
                f"row {number + 1} of the plate has no name", value=cells[0],
                allowed="a name first in every row, or in none",
                fix="begin it with the lever's position, as in A | 4 | 4 1/2",
            )  # fmt: skip
        rows[name] = cells if all(bare) else cells[1:]
    return rows


def _named(lines: list[list[str]]) -> list[list[str]]:
    """The rows with their names in cells of their own, where the bar behind each was left out, as
    in "A 8 | 9": so they are read where the words alone tell the rows apart."""
    joined = [_JOINED.fullmatch(cells[0]) for cells in lines]
    names = {found[1].casefold() for found in joined if found}
    if not lines or not all(joined) or len(names) < len(lines):
        return lines
    return [
        [found[1], found[2], *cells[1:]] if found else cells
        for found, cells in zip(joined, lines, strict=True)
    ]


def _cells(line: str) -> list[str]:
    """The cells of a row: between bars, semicolons or tabs, else by what a number is."""
    if re.search(r"[|;\t]", line):
        return [" ".join(cell.split()) for cell in re.split(r"[|;\t]", line.strip().strip("|"))]
    name, _, rest = line.strip().partition(" ")
    if name[:1].isdecimal() or name in _BLANK:
        return list(_words(line))
    return [name, *_words(rest)]


def _words(text: str) -> Iterator[str]:
    """Numbers in a row, with their units; a whole number and its fraction are one."""
    for chunk in re.split(r"\s{2,}", text.strip()):
        if re.fullmatch(rf"(?:{_WORDS.pattern})+", chunk, re.IGNORECASE):
            yield from (found[0].strip() for found in _WORDS.finditer(chunk))
        elif chunk:
            yield chunk


def _in_unit(cell: Any, unit: str) -> Any:
    """The cell with the unit behind it where it is a bare number."""
    if isinstance(cell, (int, Decimal)) and not isinstance(cell, bool):
        return f"{cell} {unit}"
    if not isinstance(cell, str) or cell.strip() in _BLANK:
        return cell
    try:
        parse_number(brief(cell))
    except NotationError:
        return cell
    return f"{cell.strip()} {unit}"


def _cell(value: Any) -> Pitch | None:
    whole_plate = 'or say unit = "tpi" for the whole plate'
    if isinstance(value, bool) or not isinstance(value, str):
        raise NotationError(
            "what a plate promises is text with its unit", value=str(value), allowed=CELL_FORMS,
            fix=f'write "{value} tpi" or "{value} mm", {whole_plate}',
        )  # fmt: skip
    text = _PER_TURN.sub("", " ".join(brief(value).split()))
    if text in _BLANK:
        return None
    try:
        return parse_pitch(text)
    except NotationError as error:
        fix = f"{error.fix}, {whole_plate}" if "unit is missing" in error.problem else error.fix
        raise NotationError(
            f'"{text}": {error.problem}', value=value, allowed=CELL_FORMS, fix=fix
        ) from None


def _sized(rows: dict[str, tuple[Pitch | None, ...]]) -> dict[str, tuple[Pitch | None, ...]]:
    """Refuses plates that promise nothing, or more than any lever has positions."""
    if not any(cell for row in rows.values() for cell in row):
        raise NotationError("this plate is blank", value="", allowed=CELL_FORMS,
                            fix="type what stands on it, or leave [gearbox] out")  # fmt: skip
    if len(rows) > MOST_ROWS or max(map(len, rows.values())) > MOST_COLUMNS:
        raise NotationError(
            "no plate has so many cells", value="",
            allowed=f"at most {MOST_ROWS} rows of {MOST_COLUMNS}", fix="leave some out",
        )  # fmt: skip
    return rows


PlateField = Annotated[
    dict[Name, tuple[Annotated[Pitch | None, PlainValidator(_cell)], ...]],
    BeforeValidator(_as_rows),
    AfterValidator(_sized),
]


def positions(
    document: Document, rows: Rows, leadscrew: Pitch, usual: Train
) -> tuple[tuple[str, Fraction], ...]:
    """The positions of the box with their ratios; raises `FaultsError` with all that have none."""
    found: dict[str, Fraction] = {}
    faults = []
    for row, cells in rows.items():
        for column, promised in enumerate(cells):
            name, path = f"{row}{column + 1}", ("gearbox", "plate", row, column)
            if promised is None:
                continue
            if name in found:
                faults.append(document.fault(
                    path, f"two positions of this plate are called {name}",
                    fix=f'call the row something else than "{row}"',
                ))  # fmt: skip
                continue
            try:
                found[name] = box_ratio(promised, leadscrew, usual)
            except UnlikePitchError:
                faults.append(document.fault(
                    path, f"{promised} cannot come from this leadscrew with the usual train: one "
                    "of the two carries the factor pi",
                    fix="leave it blank: it is cut with other gears",
                ))  # fmt: skip
    if faults:
        raise FaultsError(faults)
    return tuple(found.items())
