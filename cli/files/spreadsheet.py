"""Tables as spreadsheets save them: commas, semicolons or tabs, and what was done to cells.

What is unambiguous is read: a byte-order mark, a `sep=` line, decimal commas where commas do
not separate, blank rows and columns. The rest is refused by row and column.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from gearchest.cli.faults import Fault, FaultsError, nearest
from gearchest.cli.files.document import Document, KeyPath, Spot, Style
from gearchest.cli.files.limits import too_many
from gearchest.cli.files.reading import read_text

SEPARATORS = ",;\t"

_MONTH = (
    "jan|feb|mar|mrz|mär|apr|avr|may|mai|jun|juin|jul|juil|aug|août|sep|okt|oct|nov|dec|dez|déc"
)
_DATE = re.compile(
    rf"\d{{1,2}}[-./ ]+(?:{_MONTH})[a-zéû]*\.?(?:[-./ ]+\d{{2,4}})?"
    rf"|(?:{_MONTH})[a-zéû]*\.?[-./ ]+\d{{1,4}}"
    r"|\d{4}[-./]\d{1,2}[-./]\d{1,2}(?:[ T].*)?"
    r"|\d{1,2}([-./])\d{1,2}\1(?:\d{2}|\d{4})(?: .*)?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Columns:
    """The columns a table may have, those it must have, and those that hold free text; and how
    many rows of what it may have."""

    known: tuple[str, ...]
    most: int
    what: str
    required: tuple[str, ...] = ()
    free: tuple[str, ...] = ("name", "note")


def read_table(path: Path, key: str, columns: Columns) -> tuple[Document, list[Fault]]:
    """A table as a document of the form {key: [row, ...]}, empty cells left out; and faults.

    Raises `FaultsError` where the headings already make the rows meaningless.
    """
    return parse_table(read_text(path), str(path), key, columns)


def parse_table(text: str, source: str, key: str, columns: Columns) -> tuple[Document, list[Fault]]:
    """As `read_table`, from text."""
    rows = list(_rows(text, source, columns))
    if not rows:
        raise FaultsError([Fault(source, "this file is empty", allowed=_list(columns.known),
                                 fix="write the column names in the first row")])  # fmt: skip
    head_line, heading = rows[0]
    names = [cell.casefold() for cell in heading]
    faults = list(_heading_faults(source, head_line, names, columns))
    if missing := [name for name in columns.required if name not in names]:
        faults.append(
            Fault(source, f"the column {_list(missing)} is missing", line=head_line,
                  value=_list(heading), allowed=_list(columns.known), fix="add it to the heading")
        )  # fmt: skip
        raise FaultsError(faults)
    if not rows[1:]:
        raise FaultsError([*faults, Fault(source, "there are no rows below the heading",
                                          line=head_line, fix="add a row")])  # fmt: skip
    entries: list[dict[str, str]] = []
    spots: dict[KeyPath, Spot] = {}
    for line, cells in rows[1:]:
        faults += _date_faults(source, line, names, cells, columns)
        if len(cells) > len(names):
            faults.append(_too_long(source, line, names, cells))
            continue
        spots[(key, len(entries))] = Spot(line, _list(cells))
        entry = {}
        for name, cell in zip(names, cells, strict=False):
            if cell and name in columns.known:
                entry[name] = cell
                spots[(key, len(entries), name)] = Spot(line, cell)
        entries.append(entry)
    if not entries:
        raise FaultsError(faults)
    return Document(source, {key: entries}, spots, Style.TABLE), faults


def _rows(text: str, source: str, columns: Columns) -> Iterator[tuple[int, list[str]]]:
    """(line, cells) of every row that is not blank; cells trimmed, blank ends cut off."""
    lines = list(io.StringIO(text, newline=""))
    skip = 1 if lines and re.fullmatch(r"\s*sep=.\s*", lines[0], re.IGNORECASE) else 0
    heading = next((line for line in lines[skip:] if line.strip(f"{SEPARATORS} \r\n")), "")
    reader = csv.reader(lines[skip:], delimiter=_separator(heading, columns))
    line = skip + 1
    count = 0
    try:
        for cells in reader:
            trimmed = [" ".join(cell.split()) for cell in cells]
            while trimmed and not trimmed[-1]:
                trimmed.pop()
            if trimmed:
                count += 1
                if count > columns.most + 1:  # the heading is no entry
                    problem, fix = too_many(columns.most, columns.what)
                    raise FaultsError([Fault(source, problem, line=line, fix=fix)])
                yield line, trimmed
            line = skip + reader.line_num + 1
    except csv.Error as error:
        raise FaultsError([Fault(source, f"this row cannot be read: {error}", line=line,
                                 fix="save the table as CSV again")]) from None  # fmt: skip


def _separator(heading: str, columns: Columns) -> str:
    """The separator that finds most of the known columns in the heading."""

    def known(separator: str) -> int:
        cells = heading.split(separator)
        return sum(cell.strip(' "\r\n').casefold() in columns.known for cell in cells)

    return max(SEPARATORS, key=known)


def _heading_faults(source: str, line: int, names: list[str], columns: Columns) -> Iterator[Fault]:
    for number, name in enumerate(names):
        where = f"column {number + 1}"
        if name in names[:number]:
            first = names.index(name) + 1
            yield Fault(source, f'the column "{name}" stands twice, as number {first} and '
                        f"{number + 1}", line=line, where=where, value=name,
                        fix="keep one of the two")  # fmt: skip
        elif name not in columns.known:
            like = nearest(name, columns.known) if name else None
            yield Fault(
                source, f'there is no column "{name}"' if name else "this column has no heading",
                line=line, where=where, value=name, allowed=_list(columns.known),
                fix=f'did you mean "{like}"?' if like else "name it, or take the column out",
            )  # fmt: skip


def _too_long(source: str, line: int, names: list[str], cells: list[str]) -> Fault:
    return Fault(
        source,
        f"this row has {len(cells)} cells, the heading {len(names)}",
        line=line,
        value=_list(cells),
        fix='a decimal comma in a table separated by commas needs quotes: write a point, or "0,5"',
    )


def _date_faults(
    source: str, line: int, names: list[str], cells: list[str], columns: Columns
) -> Iterator[Fault]:
    for name, cell in zip(names, cells, strict=False):
        if name not in columns.free and _DATE.fullmatch(cell):
            yield Fault(
                source, "the spreadsheet made a date of this cell", line=line,
                where=f"column {name}", value=cell,
                fix="format the column as text, then type the value again",
            )  # fmt: skip


def _list(words: tuple[str, ...] | list[str]) -> str:
    return ", ".join(words)


def headings(text: str) -> set[str]:
    """The words of the first row that is not blank, whatever separates them."""
    for line in text.splitlines():
        words = {word.strip(' "').casefold() for word in re.split(f"[{SEPARATORS}]", line)} - {""}
        if words and not any(word.startswith("sep=") for word in words):
            return words
    return set()
