"""Tables for the terminal: aligned columns that fit its width, without lines or colour.

What does not fit is left out by rank and named, never cut short; where not even the columns
that are needed fit, each row becomes a paragraph.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

GAP = 2
_LEAST_WRAPPED = 20
"""Characters: a column of words is not made narrower."""


@dataclass(frozen=True)
class Column:
    """`rank` 0 is needed, others go in by rank while there is room. `numeric` stands to the
    right. A needed column that `wraps` may be narrowed to 20 characters."""

    title: str
    cells: tuple[str, ...]
    rank: int = 0
    numeric: bool = False
    wraps: bool = False

    @property
    def width(self) -> int:
        """Of the longest cell and the longest word of the title, in characters."""
        return max(map(len, (*self.cells, *self.title.split())))


def table(columns: Sequence[Column], width: int | None) -> tuple[list[str], tuple[str, ...]]:
    """The lines of a table at most `width` characters wide, and the titles left out.

    None: all columns, however wide. Columns without any text are left out unsaid; those
    shown stand in the order given.

    >>> lines, out = table([Column("Size", ("M10",)), Column("Source", ("ISO 261",), 1)], 12)
    >>> [lines, out]
    [['Size', 'M10'], ('Source',)]
    """
    told = [column for column in columns if any(column.cells)]
    if width is None:
        return _lines(told, [column.width for column in told]), ()
    needed = [column for column in told if not column.rank]
    widths = {column.title: column.width for column in needed}
    if (over := _total(widths) - width) > 0:
        narrowed = next((c for c in needed if c.wraps and c.width - over >= _LEAST_WRAPPED), None)
        if narrowed is None:
            return _paragraphs(needed, width), _titles(told, widths)
        widths[narrowed.title] -= over
    for column in sorted(told, key=lambda each: each.rank):
        if column.title not in widths and _total(widths) + GAP + column.width <= width:
            widths[column.title] = column.width
    shown = [column for column in told if column.title in widths]
    return _lines(shown, [widths[column.title] for column in shown]), _titles(told, widths)


def paragraph(text: str, width: int | None, indent: str = "") -> list[str]:
    """A text in lines at most `width` long, in one where that is None; broken at spaces alone,
    so that names stay whole."""
    if width is None:
        return [indent + text]
    return textwrap.wrap(
        text, width, initial_indent=indent, subsequent_indent=indent, break_long_words=False,
        break_on_hyphens=False,
    )  # fmt: skip


def lined_up(rows: Sequence[Sequence[str]]) -> list[str]:
    """Rows of equally many cells as lists of words, cell below cell and figure below figure.
    Cells that are empty in every row are left out.

    >>> lined_up([["40/80", "−999 ppm"], ["100/63 × 40/80", "+0.1 %"]])
    ['40/80,          −999 ppm', '100/63 × 40/80, +0.1 %']
    """
    columns = [cells for cells in zip(*rows, strict=True) if any(cells)]
    padded = [_figures_below_figures(cells) for cells in columns]
    lines = []
    for cells in zip(*padded, strict=True):
        parted = [f"{cell}," if cell.strip() else cell for cell in cells[:-1]]
        widths = [1 + max(map(len, column)) for column in padded[:-1]]
        parts = [f"{cell:<{wide}}" for cell, wide in zip(parted, widths, strict=True)]
        lines.append(" ".join([*parts, *cells[-1:]]).rstrip(" ,"))
    return lines


_FIGURE = re.compile(r"(\D*?)([+\u2212±<>]?\d[\d.]*)(?![\d./])(.*)")


def _figures_below_figures(cells: Sequence[str]) -> list[str]:
    """The cells with their first figures as wide as the widest, where words before them are the
    same."""
    found = [_FIGURE.fullmatch(cell) for cell in cells]
    if len({match[1] for match in found if match}) != 1:
        return list(cells)
    wide = max(len(match[2]) for match in found if match)
    return [
        f"{match[1]}{match[2]:>{wide}}{match[3]}" if match else cell
        for match, cell in zip(found, cells, strict=True)
    ]


def _total(widths: dict[str, int]) -> int:
    return sum(widths.values()) + GAP * (len(widths) - 1)


def _titles(told: Sequence[Column], shown: dict[str, int]) -> tuple[str, ...]:
    return tuple(column.title for column in told if column.title not in shown)


def _lines(columns: Sequence[Column], widths: Sequence[int]) -> list[str]:
    heads = [paragraph(c.title, w) for c, w in zip(columns, widths, strict=True)]
    deep = max(map(len, heads), default=0)
    rows = [[[""] * (deep - len(head)) + head for head in heads]]
    for cells in zip(*(column.cells for column in columns), strict=True):
        rows.append([paragraph(cell, w) or [""] for cell, w in zip(cells, widths, strict=True)])
    return [line for row in rows for line in _row(columns, widths, row)]


def _row(columns: Sequence[Column], widths: Sequence[int], cells: list[list[str]]) -> list[str]:
    lines = []
    for i in range(max(map(len, cells), default=0)):
        parts = [
            f"{cell[i] if i < len(cell) else '':{'>' if column.numeric else '<'}{wide}}"
            for column, wide, cell in zip(columns, widths, cells, strict=True)
        ]
        lines.append((" " * GAP).join(parts).rstrip())
    return lines


def _paragraphs(columns: Sequence[Column], width: int) -> list[str]:
    """The first cell on a line of its own, the others below it with their titles."""
    first, *others = columns
    lines = []
    for i, name in enumerate(first.cells):
        rest = ", ".join(f"{c.title.lower()} {c.cells[i]}" for c in others if c.cells[i])
        lines += paragraph(name, width)
        lines += paragraph(rest, width, indent="  ")
    return lines
