"""What the plan page shows, row by row: a Plan turned into plain values for the template."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import count

from markupsafe import Markup

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import Answer, Verdict, WantStep
from gearchest.reports.drawing.shared import Shared
from gearchest.reports.trains.table import TrainTable, train_table
from gearchest.reports.trains.view import TrainSheet, train_sheet
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.states import State, state

NO_SERIES = "Single threads"
"""Heading of the wants that came one by one."""


@dataclass(frozen=True)
class MapCell:
    """One want at one step."""

    state: State
    error: str
    gained: bool
    preview: str


MOST_DRAWN = 300_000
"""Bytes of drawings a page bears as it stands: with more of them, as with a hundred threads on
two studs, a phone would have too much to load."""

SECOND = "b-"
"""Prefix of what is drawn of the second lathe where two share a chest."""

AT_ONCE = 12
"""Rows of a map that are shown before anything else is laid out: more than a screen holds."""


@dataclass(frozen=True)
class MapRow:
    """One want across the steps. `later`: shown once what is in sight has been painted."""

    ident: str
    name: str
    pitch: str
    lead_mm: float
    weight: str
    allowed: str
    cells: tuple[MapCell, ...]
    later: bool = False


@dataclass(frozen=True)
class MapGroup:
    """The wants of one thread series."""

    title: str
    rows: tuple[MapRow, ...]


@dataclass(frozen=True)
class SetupView:
    """Everything about one want. `sheets`: the trains drawn in the page as it stands; `more`:
    those it carries packed, whose figures the table gives."""

    ident: str
    name: str
    pitch: str
    other_pitch: str
    allowed: str
    why: str
    ruled: bool
    weight: str
    strip: tuple[MapCell, ...]
    sheets: tuple[TrainSheet, ...]
    table: TrainTable | None = None
    more: tuple[TrainSheet, ...] = ()


def identifiers(plan: Plan) -> list[str]:
    """A stable id for every want, from its name."""
    taken: set[str] = set()
    return [wording.anchor(want.name, taken) for want in plan.wants]


def map_groups(plan: Plan) -> list[MapGroup]:
    """The coverage map, grouped by series in the order of the wants."""
    idents = identifiers(plan)
    inch = numbers.inch_first(plan.lathe)
    rows = [
        map_row(ident, want, _cells(states), inch=inch)
        for ident, want, states in zip(idents, plan.wants, plan.states, strict=True)
    ]
    placed = count()
    return [
        replace(
            group, rows=tuple(replace(row, later=next(placed) >= AT_ONCE) for row in group.rows)
        )
        for group in grouped(plan.wants, rows)
    ]


def grouped(wants: Iterable[Want], rows: Iterable[MapRow]) -> list[MapGroup]:
    """The rows of wants by thread series, in the order in which the series come."""
    groups: dict[tuple[str, str], list[MapRow]] = {}
    for want, row in zip(wants, rows, strict=True):
        groups.setdefault((want.series, want.series_title), []).append(row)
    return [MapGroup(title or NO_SERIES, tuple(rows)) for (_, title), rows in groups.items()]


def setups(plan: Plan) -> list[SetupView]:
    """Every want's setup, in the order of the wants. Drawn in the page as it stands are the
    trains of the last step and, where that is not too much, those of the gears owned that do or
    would if they fitted; the others are packed."""
    inch = numbers.inch_first(plan.lathe)
    every = [
        _train_sheets(plan, want, states)
        for want, states in zip(plan.wants, plan.states, strict=True)
    ]
    shown = [[sheet for sheet in sheets if not sheet.away or _of_owned(sheet)] for sheets in every]
    drawings = {sheet.drawing + sheet.planes for sheets in shown for sheet in sheets}
    if sum(map(len, drawings)) > MOST_DRAWN:
        shown = [[sheet for sheet in sheets if not sheet.away] for sheets in every]
    shared = Shared()
    made = [
        replace(
            setup(
                ident, want, _cells(states), tuple(_drawn(one, shared) for one in there), inch=inch
            ),
            table=train_table(plan.lathe, states, lambda name: serving(plan, name)),
            more=tuple(one for one in sheets if one not in there),
        )
        for ident, want, states, sheets, there in zip(
            identifiers(plan), plan.wants, plan.states, every, shown, strict=True
        )
    ]
    return [
        replace(one, more=tuple(_drawn(sheet, shared.pointed) for sheet in one.more))
        for one in made
    ]


def serving(plan: Plan, name: str) -> Lathe:
    """The lathe a step names: the one asked about unless it names the other."""
    return plan.also if plan.also and name == plan.also.name else plan.lathe


def _of_owned(sheet: TrainSheet) -> bool:
    """Whether this is what the gears owned do, or would if it fitted: then it says what is
    wrong. A train that only comes near is in the table."""
    return 0 in sheet.steps and sheet.state is not state(Verdict.OFF)


def _drawn(sheet: TrainSheet, share: Callable[[Markup], Markup]) -> TrainSheet:
    return replace(sheet, drawing=share(sheet.drawing), planes=share(sheet.planes))


def map_row(ident: str, want: Want, cells: tuple[MapCell, ...], *, inch: bool) -> MapRow:
    """A want as a row of a map."""
    return MapRow(
        ident,
        want.name,
        " · ".join((*_pitch(want.pitch, inch), *(("left hand",) if want.left else ()))),
        want.pitch.lead.mm,
        numbers.weight(want.weight),
        numbers.allowance(want.allowance.relative),
        cells,
    )


def setup(
    ident: str,
    want: Want,
    cells: tuple[MapCell, ...],
    sheets: tuple[TrainSheet, ...],
    *,
    inch: bool,
) -> SetupView:
    """A want with the trains that cut it."""
    first, second = _pitch(want.pitch, inch)
    if want.left:
        second += ", left hand"
    return SetupView(
        ident,
        want.name,
        first,
        second,
        numbers.allowance(want.allowance.relative),
        want.allowance.why,
        want.allowance.ruled,
        numbers.weight(want.weight),
        cells,
        sheets,
    )


def _pitch(pitch: Pitch, inch: bool) -> tuple[str, str]:
    """A pitch in the lathe's unit and in the other; starts are told."""
    first, second = numbers.pitch_pair(pitch, inch=inch)
    if pitch.starts > 1:
        first = f"lead {first}, {pitch.starts} starts"
    return first, second


def cell(step: WantStep, *, gained: bool = False) -> MapCell:
    """A state as a cell of a map. Where an exact train exists no error is shown, though an
    easier train within the allowance may be the one to set up."""
    error, preview = "", ""
    if step.answer:
        preview = wording.gears_written(step.answer.train)
        if step.verdict is not Verdict.EXACT:
            error = numbers.error(step.answer.error)
    return MapCell(state(step.verdict), error, gained, preview)


def _cells(states: tuple[WantStep, ...]) -> tuple[MapCell, ...]:
    before = (None, *states)
    return tuple(
        cell(step, gained=bool(last and step.verdict.covered and not last.verdict.covered))
        for last, step in zip(before, states, strict=False)
    )


def _train_sheets(plan: Plan, want: Want, states: tuple[WantStep, ...]) -> list[TrainSheet]:
    steps_of: dict[tuple[Answer, Answer | None, str], list[int]] = {}
    for k, step in enumerate(states):
        if step.answer:
            steps_of.setdefault((step.answer, step.without_error, step.lathe), []).append(k)
    last = len(plan.steps) - 1
    return [
        replace(
            train_sheet(
                serving(plan, name), want, answer, tuple(steps),
                wording.steps_written(steps, last) + (f", on {name}" if name else ""),
                prefix="" if serving(plan, name) is plan.lathe else SECOND, exact=exact,
            ),
            away=last not in steps,
            between=last not in steps and not (0 in steps and answer.verdict.covered),
        )
        for (answer, exact, name), steps in steps_of.items()
    ]  # fmt: skip
