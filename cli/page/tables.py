"""Tables that are dropped on a page, of whatever program: as text that the page's fields take."""

from __future__ import annotations

import csv
import io
from base64 import b64decode
from pathlib import Path
from typing import Any

from gearchest.cli.faults import FaultsError, shorten
from gearchest.cli.files.gear_lists import counts
from gearchest.cli.files.grid import Grid, grids_of
from gearchest.cli.files.headings import understand
from gearchest.cli.files.limits import MOST_GEARS
from gearchest.cli.files.offers import is_own
from gearchest.cli.files.price_list import LOOKED_AT, find_list
from gearchest.cli.typed import refused
from gearchest.optimizer.domain.notation import NotationError
from gearchest.reports.words.numbers import plural

Words = dict[str, Any]

MOST_TOLD = 5
"""Cells told of all that are no gears."""


def table(words: Words) -> Words:
    """What a file holds as text: {"kind": "table", "text": ..., "said": [...]}. Its sheet of gears
    as separated text for the offers, tooth counts in a row for a list of gears. Raises
    `FaultsError`."""
    name = Path(words["name"]).name[-100:] or "table.csv"
    try:
        grids = grids_of(b64decode(words["base64"]), Path(name))
    except RecursionError:
        raise refused(name, "", "this is no such spreadsheet", fix="save it as CSV") from None
    if words["for"] == "gears":
        return _gears(grids, name)
    found = next((grid for grid in grids if grid.rows and is_own(grid)), None)
    if found is None:
        listed = find_list(grids)
        found = listed[0] if listed else grids[0]
    if not found.rows:
        raise refused(name, "", "this table is empty", fix="choose another")
    return {"kind": "table", "text": _separated(found), "said": [f"{_size(found)} of {name} read"]}


def _separated(grid: Grid) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(row.cells for row in grid.rows)
    return text.getvalue()


def _size(grid: Grid) -> str:
    return plural(len(grid.rows), "row")


def _gears(grids: list[Grid], name: str) -> Words:
    """The tooth counts below a heading that says so, else of every cell that is one."""
    for grid in grids:
        for number, row in enumerate(grid.rows[:LOOKED_AT]):
            places = understand(row.cells).places
            if "teeth" in places:
                cells = [_pair(below.cells, places) for below in grid.rows[number + 1 :]]
                return _listed([pair for pair in cells if pair[0]], name)
    every = [(cell, "") for grid in grids for row in grid.rows for cell in row.cells if cell]
    return _listed(every, name)


def _pair(cells: tuple[str, ...], places: Any) -> tuple[str, str]:
    def cell(column: str) -> str:
        at = places.get(column)
        return cells[at] if at is not None and at < len(cells) else ""

    return cell("teeth"), cell("copies")


def _listed(cells: list[tuple[str, str]], name: str) -> Words:
    teeth: list[int] = []
    strange: list[str] = []
    for cell, copies in cells:
        try:
            times = int(copies.lstrip("0")[:6] or "0") if copies.isdecimal() else 1
            teeth += [count for count in counts(cell) for _ in range(min(times, MOST_GEARS))]
        except (NotationError, FaultsError):
            strange.append(shorten(cell, 40))
        if len(teeth) > MOST_GEARS:
            raise refused(name, "", f"these are more than {MOST_GEARS} gears", fix="check it")
    if not teeth:
        raise refused(name, strange[0] if strange else "", "no tooth counts are known here",
                      fix="name a column of them teeth")  # fmt: skip
    said = [f"{plural(len(teeth), 'gear')} of {name} read"]
    if strange:
        more = f" and {len(strange) - MOST_TOLD} more" if len(strange) > MOST_TOLD else ""
        said.append(f"left out, no tooth counts: {', '.join(strange[:MOST_TOLD])}{more}")
    return {"kind": "table", "text": " ".join(map(str, sorted(teeth))), "said": said}
