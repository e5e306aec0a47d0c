"""The map as plain values: threads down, verdicts across. Shared by a plan and a comparison.

Cells and heads carry the number of their step, by which `cells.js` finds them, so that further
columns may stand anywhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import Verdict, WantStep
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.verdicts import MARKS, Mark

NO_SERIES = "Single threads"
"""Heading of the wants that came one by one."""

SCRIPTS: tuple[str, ...] = (
    "page/slices.js", "plan/setups.js", "plan/cells.js", "plan/place.js",
    "plan/map.js", "plan/drawn.js", "plan/choices.js", "plan/whole.js", "plan/own_sheet.js",
    "plan/opening.js",
)  # fmt: skip
"""What the map and the setups beside it need."""

AT_ONCE = 20
"""Rows of a map that are shown before anything else is laid out: more than a screen holds."""

GAINED, BETTER, MISSING, QUIET = "gained", "better", "missing", ""
"""How strongly a cell is drawn: what a column brings, what it makes exact, what it lacks, and
what stays as it is."""


@dataclass(frozen=True)
class MapColumn:
    """The head of a column of verdicts: what it is, and what it covers. `ticked`: filled in the
    page for the gears ticked there."""

    step: int
    name: str
    under: str
    ticked: bool = False


@dataclass(frozen=True)
class MapCell:
    """One want at one step: verdict and train, and the error of that train where it has one.
    `on`: the letter of the lathe it is on, where two share their gears. `overloaded`: it is
    known to load a tooth with more than it bears."""

    step: int
    mark: Mark
    train: str
    error: str
    weight: str
    on: str = ""
    overloaded: bool = False

    @property
    def note(self) -> str:
        """What stands behind the train, or instead of one: the word where the error does not
        say it."""
        word = "" if self.mark is MARKS[Verdict.IN_TOLERANCE] else self.mark.word
        said = " ".join(filter(None, (word, self.error)))
        return f"{said}, on {self.on}" if self.on else said

    @property
    def strain(self) -> str:
        """What stands behind that of a train that bears less than it carries. Its row is not
        folded away."""
        return wording.TEETH_OVERLOADED if self.overloaded else ""


@dataclass(frozen=True)
class MapRow:
    """One want across the steps. `listed`: its place among the wants; `series`: the number
    of its thread series. `settled`: folded
    away until asked for. `later`: shown once what is in sight has been painted."""

    ident: str
    name: str
    pitch: str
    lead_mm: float
    weight: str
    listed: int
    series: int
    cells: tuple[MapCell, ...]
    settled: bool = False
    later: bool = False


@dataclass(frozen=True)
class MapPart:
    """Rows under one heading. `key`: "" for a thread series, else the name by which
    `map.js` knows which rows belong there."""

    title: str
    rows: tuple[MapRow, ...]
    key: str = ""

    @property
    def settled(self) -> int:
        """How many rows are folded away."""
        return sum(row.settled for row in self.rows)

    @property
    def later(self) -> int:
        """How many rows show once what is in sight has been painted."""
        return sum(row.later and not row.settled for row in self.rows)


LETTERS = "AB"
"""What two lathes that share their gears are called in the cells of a map."""


def lettered(plan: Plan) -> dict[str, str]:
    """The letter of each of two lathes by its name; none where there is one."""
    return dict(zip((plan.lathe.name, plan.also.name), LETTERS, strict=True)) if plan.also else {}


def map_cell(number: int, want: Want, step: WantStep, weight: str, on: str = "") -> MapCell:
    """A want at a step as a cell: verdict, train and error of what it opens."""
    answer = step.answer
    shown = answer is not None and step.verdict is not Verdict.EXACT
    error = numbers.error(answer.error, want.allowance.relative) if answer and shown else ""
    train = wording.gears_written(answer.train) if answer else ""
    mark, where = MARKS[step.verdict], on if answer else ""
    return MapCell(number, mark, train, error, weight, where, step.overloaded)


def step_cells(
    want: Want, steps: Sequence[WantStep], letters: Mapping[str, str]
) -> tuple[MapCell, ...]:
    """A want at every step of a plan, each against the lathe as it is; `letters`: of the lathes,
    where there are two."""
    return tuple(
        map_cell(
            number,
            want,
            step,
            _against(steps[0], step) if number else _now(step),
            letters.get(step.lathe, ""),
        )
        for number, step in enumerate(steps)
    )


def _now(step: WantStep) -> str:
    return QUIET if step.verdict.covered else MISSING


def _against(first: WantStep, step: WantStep) -> str:
    """How a step changes what the lathe does as it is."""
    if not step.verdict.covered:
        return MISSING
    if not first.verdict.covered:
        return GAINED
    exact = step.verdict is Verdict.EXACT and first.verdict is not Verdict.EXACT
    return BETTER if exact else QUIET


def map_rows(
    wants: Sequence[Want], cells: Iterable[tuple[MapCell, ...]], *, inch: bool
) -> list[MapRow]:
    """The wants as rows, in their order."""
    idents = wording.anchors(want.name for want in wants)
    numbered = {series: n for n, series in enumerate(_series(wants))}
    rows = []
    for listed, (ident, want, found) in enumerate(zip(idents, wants, cells, strict=True)):
        pitch = wording.pitch_written(want.pitch, inch=inch)
        rows.append(
            MapRow(
                ident,
                want.name,
                " · ".join((*pitch, *(("left hand",) if want.left else ()))),
                want.pitch.lead.mm,
                numbers.weight(want.weight),
                listed,
                numbered[want.series, want.series_title],
                found,
            )
        )
    return rows


def _series(wants: Iterable[Want]) -> list[tuple[str, str]]:
    return list(dict.fromkeys((want.series, want.series_title) for want in wants))


def by_series(wants: Sequence[Want], rows: Iterable[MapRow]) -> list[MapPart]:
    """Rows by the series of the wants, every series a part though it have no row here."""
    members: dict[int, list[MapRow]] = {}
    for row in rows:
        members.setdefault(row.series, []).append(row)
    return [
        MapPart(title or NO_SERIES, tuple(members.get(n, ())))
        for n, (_, title) in enumerate(_series(wants))
    ]


def painted(parts: Sequence[MapPart]) -> list[MapPart]:
    """The parts with all rows marked to come later that no screen holds at once."""
    made, placed = [], 0
    for part in parts:
        rows = []
        for row in part.rows:
            rows.append(replace(row, later=placed >= AT_ONCE))
            placed += not row.settled
        made.append(replace(part, rows=tuple(rows)))
    return made
