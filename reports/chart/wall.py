"""How a chart is set on paper: pages of two columns, and what stands at the head and the foot."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from gearchest.optimizer.chart.result import ChartSetup, GearChart
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.reports.chart import view, words
from gearchest.reports.chart.key import key_svg
from gearchest.reports.words import wording

COLUMNS = 2
"""Columns of rows on a page."""

ROOM, LEAST_ROW, MOST_ROW = 141.0, 4.2, 7.0
"""mm: height that a page of landscape A4 has for rows, of which one is no lower than this and no
higher."""

HEADING = 0.85
"""Height of a heading in rows."""

EVERY = 5
"""Rows from one heavier rule to the next."""


@dataclass(frozen=True)
class WallRow:
    """A heading, or a line of the chart; `ruled`: a heavier rule below it."""

    heading: str = ""
    line: view.ChartLine | None = None
    ruled: bool = False


@dataclass(frozen=True)
class ChestDisc:
    """A kind of gear at the head: how many there are, and how many are yet to come."""

    teeth: str
    owned: int
    to_get: int


@dataclass(frozen=True)
class Wall:
    """A chart as it is set. `pages`: columns of rows, `row` mm high; `drawing`: a section that
    names shafts and planes, with what it shows."""

    heads: tuple[view.PlaceHead, ...]
    pages: tuple[tuple[tuple[WallRow, ...], ...], ...]
    row: float
    drawing: Markup
    shown: str
    discs: tuple[ChestDisc, ...]
    levers: bool
    half_nuts: bool
    errors: bool
    minded: tuple[str, ...]
    not_cut: tuple[str, ...]


def wall(chart: GearChart, *, free: bool = False) -> Wall:
    """Set a chart."""
    parts = view.parts(chart, free=free)
    lines = [line for part in parts for line in part.lines]
    columns, row = _columns(parts)
    pages = tuple(tuple(columns[at : at + COLUMNS]) for at in range(0, len(columns), COLUMNS))
    example = drawn_setup(chart)
    return Wall(
        tuple(view.heads(chart)),
        pages,
        row,
        key_svg(example.train, gearbox=bool(chart.lathe.gearbox)) if example else Markup(""),
        "" if example is None else view.setup_name(chart.setups.index(example)),
        tuple(_discs(chart)),
        any(line.lever for line in lines),
        any(line.half_nuts for line in lines),
        any(line.error for line in lines),
        tuple(dict.fromkeys(line.mind for line in lines if line.mind)),
        tuple(words.not_cut(chart)),
    )


def drawn_setup(chart: GearChart) -> ChartSetup | None:
    """The setup that names shafts and planes: of those over most planes the one with most
    threads."""
    several = [setup for setup in chart.setups if setup.train.layout.stages > 1]
    return max(
        several, key=lambda setup: (setup.train.layout.stages, len(setup.rows)), default=None
    )


def _columns(parts: Sequence[view.ChartPart]) -> tuple[list[tuple[WallRow, ...]], float]:
    """The rows column by column, as even as they come, and the height of one."""
    rows: list[WallRow] = []
    for part in parts:
        rows += [WallRow(heading=part.title)] if part.title else []
        rows += [WallRow(line=line) for line in part.lines]
    whole = sum(map(_height, rows))
    pages = max(1, -(-int(whole * LEAST_ROW) // int(COLUMNS * ROOM)))
    # A heading that begins a column, and one told again, may take a row more.
    most = whole / (pages * COLUMNS) + 1
    columns: list[list[WallRow]] = [[]]
    heading = ""
    for number, row in enumerate(rows):
        heading = row.heading or heading
        height = sum(map(_height, columns[-1]))
        ends = bool(row.heading) and number + 1 < len(rows)
        if columns[-1] and height + _height(row) + ends > most:
            columns.append([])
            if not row.heading and heading:
                columns[-1].append(WallRow(heading=f"{heading}, continued"))
        columns[-1].append(row)
    highest = max(sum(map(_height, column)) for column in columns) or 1.0
    return [_ruled(column) for column in columns], min(MOST_ROW, ROOM / highest)


def _height(row: WallRow) -> float:
    return HEADING if row.heading else 1.0


def _ruled(column: Sequence[WallRow]) -> tuple[WallRow, ...]:
    """With a heavier rule every few rows below a heading."""
    found, count = [], 0
    for row in column:
        count = 0 if row.heading else count + 1
        found.append(replace(row, ruled=bool(count) and count % EVERY == 0))
    return tuple(found)


def _discs(chart: GearChart) -> list[ChestDisc]:
    """The chest, and behind it what is to come."""
    owned = Counter(gear.teeth for gear in owned_gears(chart.lathe).elements())
    added = Counter(gear.teeth for gear in chart.added)
    teeth = sorted({*owned, *added})
    return [ChestDisc(str(count), owned[count], added[count]) for count in teeth]


def foot(chart: GearChart) -> list[str]:
    """What the short words of the chart mean, and what it does not say."""
    lines = [line for part in view.parts(chart) for line in part.lines]
    nuts = {line.half_nuts for line in lines}
    minds = {line.mind for line in lines}
    said = []
    if any(word == "any line" or word[:1].isdigit() or word.startswith("line") for word in nuts):
        said.append("Half-nuts: the dial's lines count from the one first used.")
    if "at rest" in nuts:
        said.append("At rest: open and close with the spindle standing, whole half-nut steps on.")
    if "closed" in nuts:
        said.append("Closed: keep them closed and reverse.")
    if "slow" in minds:
        said.append("Slow: slowest speed, light cuts.")
    if "crank" in minds:
        said.append("Crank: from the screw end, motor unplugged, spindle free.")
    if "hand" in minds:
        said.append(
            "Hand: turn the spindle by hand; at the slowest speed the carriage runs on too far, "
            "or wood is cut."
        )
    if any(head.plane == "" for head in view.heads(chart)):
        said.append("The small figure before a gear is its plane.")
    if words.unchecked(chart):
        said.append("The arm is not measured: whether these trains fit is unchecked.")
    return said


def provenance(chart: GearChart, version: str, inputs: Sequence[tuple[str, str]]) -> str:
    """Where the chart came from, in a line."""
    files = ", ".join(f"{name} ({digest[:8]})" for name, digest in inputs)
    added = f", with {wording.teeth(chart.added)}" if chart.added else ""
    program = f"gearchest {version}".strip()
    return f"{program}{' from ' + files if files else ''}{added}. {words.proof(chart)}"
