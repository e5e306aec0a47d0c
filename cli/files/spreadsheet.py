"""Tables with columns of given names, and what spreadsheets do to cells.

What is unambiguous is read: decimal commas where commas do not separate, blank rows and columns.
The rest is refused by row and column.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.document import Document, KeyPath, Spot, Style
from gearchest.cli.files.grid import Grid
from gearchest.cli.files.keys import OTHER_WORDS, near_key
from gearchest.cli.files.limits import too_many

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
    many rows of what it may have. `others`: columns that are none of these are not used.
    `meaning`: the column that a heading in other words means, and the unit it names for bare
    numbers; `either`: columns of which each row needs one."""

    known: tuple[str, ...]
    most: int
    what: str
    required: tuple[str, ...] = ()
    free: tuple[str, ...] = ("name", "note")
    others: bool = False
    meaning: Callable[[str], tuple[str, str] | None] | None = None
    either: tuple[str, ...] = ()

    def named(self, heading: str) -> tuple[str, str]:
        """A heading as the column it means, and its unit; one that means none as it is."""
        found = self.meaning(heading) if self.meaning and len(heading) <= LONGEST_HEADING else None
        return found or (heading.casefold(), "")


LONGEST_HEADING = 60
"""Characters of a heading that is looked at for what it means."""

_BARE = re.compile(r"[\d .,/-]+")


def table_in(grids: list[Grid], key: str, columns: Columns) -> tuple[Document, list[Fault]]:
    """The first sheet that has such columns, as a document of the form {key: [row, ...]}, empty
    cells left out; and faults.

    Raises `FaultsError` where the headings already make the rows meaningless.
    """
    like = [grid for grid in grids if set(_names(grid, columns)) & set(columns.known)]
    return table_of((like or grids)[0], key, columns)


def table_of(grid: Grid, key: str, columns: Columns) -> tuple[Document, list[Fault]]:
    """As `table_in`, of one sheet."""
    source = grid.source
    if not grid.rows:
        raise FaultsError([Fault(source, "this file is empty", allowed=_list(columns.known),
                                 fix="write the column names in the first row")])  # fmt: skip
    head_line, heading = grid.rows[0].line, grid.rows[0].cells
    meant = [columns.named(cell) for cell in heading]
    names = [name for name, _ in meant]
    faults = list(_heading_faults(source, head_line, heading, names, columns))
    bad = bool(faults)
    if missing := [name for name in columns.required if name not in names]:
        faults.append(
            Fault(source, f"the column {_list(missing)} is missing", line=head_line,
                  value=_list(heading), allowed=_list(columns.known), fix="add it to the heading")
        )  # fmt: skip
        raise FaultsError(faults)
    if columns.either and not bad and not set(columns.either) & set(names):
        raise FaultsError([
            Fault(source, f"there is no column {_or(columns.either)}", line=head_line,
                  value=_list(heading), allowed=_list(columns.known), fix="add it to the heading")
        ])  # fmt: skip
    if not grid.rows[1:]:
        raise FaultsError([*faults, Fault(source, "there are no rows below the heading",
                                          line=head_line, fix="add a row")])  # fmt: skip
    entries: list[dict[str, str]] = []
    spots: dict[KeyPath, Spot] = {}
    for row in grid.rows[1:]:
        if len(entries) == columns.most:
            problem, fix = too_many(columns.most, columns.what)
            raise FaultsError([Fault(source, problem, line=row.line, fix=fix)])
        faults += _date_faults(source, row.line, names, row.cells, columns)
        if len(row.cells) > len(names):
            faults.append(_too_long(source, row.line, names, row.cells))
            continue
        filled = {name for name, cell in zip(names, row.cells, strict=False) if cell}
        if bad and columns.either and not filled & set(columns.either):
            continue  # what it lacks may stand below the heading that is wrong
        spots[(key, len(entries))] = Spot(row.line, _list(row.cells))
        entry = {}
        for (name, unit), cell in zip(meant, row.cells, strict=False):
            if cell and name in columns.known:
                entry[name] = f"{cell} {unit}" if unit and _BARE.fullmatch(cell) else cell
                spots[(key, len(entries), name)] = Spot(row.line, cell)
        entries.append(entry)
    if not entries:
        raise FaultsError(faults)
    unused = tuple(
        cell for cell, name in zip(heading, names, strict=True)
        if cell and columns.others and name not in columns.known
    )  # fmt: skip
    return Document(source, {key: entries}, spots, Style.TABLE, unused=unused), faults


def _names(grid: Grid, columns: Columns) -> list[str]:
    return [columns.named(cell)[0] for cell in grid.rows[0].cells] if grid.rows else []


def headings(grid: Grid) -> list[str]:
    """The words of the first row that is not blank."""
    return [cell.casefold() for cell in grid.rows[0].cells] if grid.rows else []


def made_a_date(cell: str) -> bool:
    """Whether a cell is one that spreadsheets make of what only looks like a date."""
    return _DATE.fullmatch(cell) is not None


def _heading_faults(
    source: str, line: int, heading: tuple[str, ...], names: list[str], columns: Columns
) -> Iterator[Fault]:
    for number, name in enumerate(names):
        where = f"column {number + 1}"
        if name in names[:number]:
            first = names.index(name) + 1
            yield Fault(source, f'the column "{name}" stands twice, as number {first} and '
                        f"{number + 1}", line=line, where=where, value=name,
                        fix="keep one of the two")  # fmt: skip
        elif name not in columns.known:
            like = _meant(name, columns.known) if name else None
            if like is None and name and columns.others:
                continue
            typed = heading[number]
            yield Fault(
                source, f'there is no column "{typed}"' if name else "this column has no heading",
                line=line, where=where, value=typed, allowed=_list(columns.known),
                fix=f'did you mean "{like}"?' if like else "name it, or take the column out",
            )  # fmt: skip


def _meant(name: str, known: tuple[str, ...]) -> str | None:
    """The column that a heading was meant as; words that only share some letters are none."""
    like = near_key(name, dict.fromkeys(known))
    if like is None or like.startswith(name) or name.startswith(like):
        return like
    plain = name.replace(" ", "_").replace("-", "_")
    alike = SequenceMatcher(None, plain, like).ratio() >= LEAST_ALIKE
    return like if alike or OTHER_WORDS.get(plain) == like else None


LEAST_ALIKE = 2 / 3
"""Share of letters that a misspelt heading has in common with the right one."""


def _too_long(source: str, line: int, names: list[str], cells: tuple[str, ...]) -> Fault:
    return Fault(
        source,
        f"this row has {len(cells)} cells, the heading {len(names)}",
        line=line,
        value=_list(cells),
        fix='a decimal comma in a table separated by commas needs quotes: write a point, or "0,5"',
    )


def _date_faults(
    source: str, line: int, names: list[str], cells: tuple[str, ...], columns: Columns
) -> Iterator[Fault]:
    for name, cell in zip(names, cells, strict=False):
        if name not in columns.free and made_a_date(cell):
            yield Fault(
                source, "the spreadsheet made a date of this cell", line=line,
                where=f"column {name}", value=cell,
                fix="format the column as text, then type the value again",
            )  # fmt: skip


def _or(words: tuple[str, ...]) -> str:
    return " or ".join(f'"{word}"' for word in words)


def _list(words: tuple[str, ...] | list[str]) -> str:
    return ", ".join(words)
