"""The map as plain values: threads down, verdicts across. Shared by a plan and a comparison.

Cells and heads carry the number of their step, by which `cells.js` finds them, so that further
columns may stand anywhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import Verdict, WantStep
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.verdicts import MARKS, Mark

NO_SERIES = "Single threads"
"""Heading of the wants that came one by one."""

SCRIPTS: tuple[str, ...] = (
    "plan/setups.js", "plan/cells.js", "plan/place.js", "plan/map.js", "plan/opening.js",
)  # fmt: skip
"""What the map and the setups beside it need."""

AT_ONCE = 12
"""Rows of a map that are shown before anything else is laid out: more than a screen holds."""


@dataclass(frozen=True)
class MapColumn:
    """The head of a column of verdicts. `number` is shown large, "" where the column goes by
    its name; `ticked`: filled in the page for the gears ticked there."""

    step: int
    number: str
    name: str
    under: str
    ticked: bool = False


@dataclass(frozen=True)
class MapCell:
    """One want at one step."""

    step: int
    mark: Mark
    error: str
    gained: bool = False


@dataclass(frozen=True)
class MapRow:
    """One want across the steps. `later`: shown once what is in sight has been painted."""

    ident: str
    name: str
    pitch: str
    lead_mm: float
    weight: str
    cells: tuple[MapCell, ...]
    later: bool = False


@dataclass(frozen=True)
class MapGroup:
    """The wants of one thread series."""

    title: str
    rows: tuple[MapRow, ...]


def map_cell(number: int, want: Want, step: WantStep, *, gained: bool = False) -> MapCell:
    """A want at a step as a cell: verdict and error of the train it opens."""
    shown = step.answer is not None and step.verdict is not Verdict.EXACT
    allowed = want.allowance.relative
    error = numbers.error(step.answer.error, allowed) if step.answer and shown else ""
    return MapCell(number, MARKS[step.verdict], error, gained)


def step_cells(want: Want, steps: Sequence[WantStep]) -> tuple[MapCell, ...]:
    """A want at every step of a plan."""
    before = (None, *steps)
    return tuple(
        map_cell(
            number,
            want,
            step,
            gained=bool(last and step.verdict.covered and not last.verdict.covered),
        )
        for number, (last, step) in enumerate(zip(before, steps, strict=False))
    )


def map_row(ident: str, want: Want, cells: tuple[MapCell, ...], *, inch: bool) -> MapRow:
    """A want as a row."""
    pitch = wording.pitch_written(want.pitch, inch=inch)
    return MapRow(
        ident,
        want.name,
        " · ".join((*pitch, *(("left hand",) if want.left else ()))),
        want.pitch.lead.mm,
        numbers.weight(want.weight),
        cells,
    )


def map_groups(wants: Sequence[Want], rows: Iterable[MapRow]) -> list[MapGroup]:
    """Rows by the series of their wants, in the order of the wants."""
    series: dict[tuple[str, str], list[MapRow]] = {}
    for want, row in zip(wants, rows, strict=True):
        series.setdefault((want.series, want.series_title), []).append(row)
    groups, placed = [], 0
    for (_, title), members in series.items():
        later = [placed + i >= AT_ONCE for i in range(len(members))]
        placed += len(members)
        groups.append(
            MapGroup(
                title or NO_SERIES,
                tuple(replace(row, later=wait) for row, wait in zip(members, later, strict=True)),
            )
        )
    return groups
