"""Tables for spreadsheets: a quantity a column, each of one type, saved from the page as CSV."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from csv import writer
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.page.packing import packed_forms
from gearchest.reports.words.cells import harmless

TEXT, COUNT, NUMBER, FLAG = "text", "count", "number", "flag"
"""Types of columns; a cell of each may be empty."""

CHOICES: dict[str, list[str]] = {
    "verdict": [verdict.value for verdict in Verdict],
    "fits": [fits.value for fits in Fits],
}
"""Types of columns that hold one of a few words: which, in their order."""

Cell = str | int | float | bool | None


@dataclass(frozen=True)
class SavedTable:
    """`columns` by name with their type; `rows` of as many cells, None where one is empty."""

    columns: Mapping[str, str]
    rows: tuple[tuple[Cell, ...], ...]


def table(rows: Iterable[Mapping[str, object]], columns: Mapping[str, str]) -> SavedTable:
    """Rows as a table of these columns, by name with their type; what a row leaves out is
    empty. Raises TypeError for a cell of another type."""
    kinds = list(columns.items())
    return SavedTable(
        columns, tuple(tuple(_cell(kind, row.get(name)) for name, kind in kinds) for row in rows)
    )


_EXACTLY: dict[str, tuple[type, ...]] = {
    TEXT: (str,), COUNT: (int,), FLAG: (bool,), NUMBER: (int, float),
}  # fmt: skip


def _cell(kind: str, value: object) -> Cell:
    if value is None:
        return None
    good = value in CHOICES[kind] if kind in CHOICES else type(value) in _EXACTLY[kind]
    if not good or not isinstance(value, (str, int, float)):
        raise TypeError(f"{value!r} is no {kind}")
    return float(value) if kind == NUMBER else value


def near(value: float | Fraction | None) -> float | None:
    """To six decimals: more would be the noise of the arithmetic."""
    return None if value is None else round(float(value), 6)


def csv(table: SavedTable) -> str:
    """As CSV, with a byte-order mark so that spreadsheets read it as UTF-8, and no cell or head
    a formula."""
    text = io.StringIO(newline="")
    lines = writer(text, lineterminator="\r\n")
    lines.writerow(map(harmless, table.columns))
    plain = [kind == TEXT for kind in table.columns.values()]
    for row in table.rows:
        lines.writerow(
            [harmless(str(cell)) if words and cell else cell
             for cell, words in zip(row, plain, strict=True)]
        )  # fmt: skip
    return "\ufeff" + text.getvalue()


def packed_tables(tables: Mapping[str, SavedTable]) -> str:
    """Tables by the name a button saves them under, as CSV, packed into one text."""
    return packed_forms({name: [csv(one)] for name, one in tables.items()})
