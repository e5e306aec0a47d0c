"""What a chart shows, as plain values: rows by series and pitch, or as their setups follow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gearchest.optimizer.arm.result import Fit, Fits
from gearchest.optimizer.chart.result import Change, ChartRow, ChartSetup, GearChart
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import SCREW_SHAFT
from gearchest.optimizer.domain.screw_turns import Effort, effort
from gearchest.optimizer.turning.half_nuts import HalfNuts, How
from gearchest.optimizer.turning.working import TurnedBy
from gearchest.reports.setup.train_view import dial_words
from gearchest.reports.words import numbers, wording

SINGLE = "Single threads"
"""Heading of threads that came one by one."""


MOST_PLACES = 6
"""Places of gears that have a column each; of more each shaft has as many as it ever carries, and
gears tell their planes."""


@dataclass(frozen=True)
class PlaceHead:
    """A column of gears `of` a shaft, which is told where it begins with how many columns it has;
    the plane, from 1, "" where the gears tell it."""

    of: str
    shaft: str
    columns: int
    plane: str


@dataclass(frozen=True)
class GearCell:
    """A gear in its place, "" for none; its plane, "" where the column tells it; whether it is
    still to be got."""

    teeth: str
    plane: str = ""
    to_get: bool = False


@dataclass(frozen=True)
class ChartLine:
    """A thread of the chart. `setup`: the name of its setup; `again`: it is that of the line above.
    `lever` and `placed` "" where there is nothing to set or nothing is measured; `mind`: slow,
    crank or hand."""

    ident: str
    name: str
    pitch: str
    lead: float
    setup: str
    again: bool
    gears: tuple[GearCell, ...]
    lever: str
    placed: str
    half_nuts: str
    error: str
    mind: str
    demerits: str


@dataclass(frozen=True)
class ChartPart:
    """Lines under one heading."""

    title: str
    lines: tuple[ChartLine, ...]


def setup_name(number: int) -> str:
    """Setups are numbered as they follow one another."""
    return str(number + 1)


def places(chart: GearChart) -> list[tuple[int, int]]:
    """The places (shaft, plane) that hold gears, from the first driver's shaft to the screw's."""
    used = {place for setup in chart.setups for place in setup.train.hung}
    return sorted(used, key=lambda place: (place[0] == SCREW_SHAFT, place))


def heads(chart: GearChart) -> list[PlaceHead]:
    """The heads of the columns of gears."""
    every = columns(chart)
    shafts = [shaft for shaft, _ in every]
    return [
        PlaceHead(
            shaft_name(chart, shaft),
            shaft_name(chart, shaft) if shaft not in shafts[:at] else "",
            shafts.count(shaft),
            "" if plane is None else str(plane + 1),
        )
        for at, (shaft, plane) in enumerate(every)
    ]


def columns(chart: GearChart) -> list[tuple[int, int | None]]:
    """The columns of gears, by shaft and plane; by shaft alone where there would be too many."""
    every = places(chart)
    if len(every) <= MOST_PLACES:
        return [*every]
    carried = [[shaft for shaft, _ in setup.train.hung] for setup in chart.setups]
    return [
        (shaft, None)
        for shaft in dict.fromkeys(shaft for shaft, _ in every)
        for _ in range(max(shafts.count(shaft) for shafts in carried))
    ]


def shaft_name(chart: GearChart, shaft: int) -> str:
    """A shaft as the chart calls it."""
    if shaft == 0:
        return "driver"
    if shaft == SCREW_SHAFT:
        return "gearbox" if chart.lathe.gearbox else "screw"
    several = any(place > 1 for place, _ in places(chart))
    return f"stud {shaft}" if several else "stud"


def place_name(chart: GearChart, change: Change) -> str:
    """Where a gear is changed; planes are told where the shaft has several."""
    name, usual = shaft_name(chart, change.shaft), chart.lathe.usual_train
    hung = {*places(chart), *(usual.hung if usual else ())}
    planes = {plane for shaft, plane in hung if shaft == change.shaft}
    return f"{name}, plane {change.plane + 1}" if len(planes) > 1 else name


def gear_cells(chart: GearChart, setup: ChartSetup) -> tuple[GearCell, ...]:
    """The gears of a setup, column by column; of several alike the last are those to be got."""
    to_get = list(setup.missing)
    found: dict[tuple[int, int], GearCell] = {}
    for place in reversed(places(chart)):
        if (gear := setup.train.hung.get(place)) is not None:
            lacking = gear in to_get
            if lacking:
                to_get.remove(gear)
            found[place] = GearCell(str(gear), "", lacking)
    cells = []
    for shaft, plane in columns(chart):
        if plane is not None:
            cells.append(found.get((shaft, plane), GearCell("")))
            continue
        first = min((place for place in found if place[0] == shaft), default=None)
        cell = GearCell("") if first is None else found.pop(first)
        cells.append(cell if first is None else replace(cell, plane=str(first[1] + 1)))
    return tuple(cells)


def usual_places(chart: GearChart) -> list[tuple[str, str]]:
    """Place by place, in words, what hangs at first and at last."""
    usual = chart.lathe.usual_train
    hung = usual.hung if usual else {}
    return [
        (f"{shaft_name(chart, shaft)} {plane + 1}", str(gear))
        for (shaft, plane), gear in hung.items()
    ]


def parts(chart: GearChart, *, free: bool = False) -> list[ChartPart]:
    """The threads that have a setup: series by series, by pitch in each; or `free`, as their setups
    follow one another."""
    idents = wording.anchors(row.want.name for row in chart.rows)
    rows = [(row, ident) for row, ident in zip(chart.rows, idents, strict=True) if row.answer]
    if free:
        rows.sort(key=lambda pair: (pair[0].setup, pair[0].want.pitch.lead.mm))
        return [ChartPart("", _lines(chart, rows))] if rows else []
    titles = dict.fromkeys(row.want.series_title for row, _ in rows)
    found = []
    for title in titles:
        own = [pair for pair in rows if pair[0].want.series_title == title]
        own.sort(key=lambda pair: (pair[0].want.pitch.lead.mm, pair[0].want.major_mm or 0))
        found.append(ChartPart((title or SINGLE) if len(titles) > 1 else title, _lines(chart, own)))
    return found


def _lines(chart: GearChart, rows: Sequence[tuple[ChartRow, str]]) -> tuple[ChartLine, ...]:
    lines: list[ChartLine] = []
    for row, ident in rows:
        assert row.setup is not None
        lines.append(_line(chart, row, chart.setups[row.setup], ident, lines[-1:]))
    return tuple(lines)


def _line(
    chart: GearChart, row: ChartRow, setup: ChartSetup, ident: str, above: Sequence[ChartLine]
) -> ChartLine:
    lathe, answer = chart.lathe, row.answer
    assert answer is not None
    assert row.alone is not None
    pitch = row.want.pitch
    single, _ = numbers.pitch_pair(replace(pitch, starts=1), inch=pitch.inch)
    name = setup_name(row.setup or 0)
    exact = answer.error == 0
    before, after = row.alone.merit.demerits, answer.merit.demerits
    return ChartLine(
        ident,
        row.want.name + (", left" if row.want.left else ""),
        single if pitch.starts == 1 else f"{pitch.starts} × {single}",
        pitch.lead.mm,
        name,
        bool(above) and above[-1].setup == name,
        gear_cells(chart, setup),
        lever(lathe, row),
        placed(lathe, setup.fit),
        half_nuts_words(row.half_nuts),
        "" if exact else numbers.error(answer.error, row.want.allowance.relative),
        mind(lathe, row),
        f"{before} → {after}" if after > before else "",
    )


def lever(lathe: Lathe, row: ChartRow) -> str:
    """Lever positions, as short as a chart has room for."""
    if row.answer is None:
        return ""
    setting = row.answer.train.setting
    said = [setting.gearbox] if setting.gearbox is not None else []
    if len(lathe.first_driver_turns) > 1:
        said.append(f"{setting.first_driver_turns}:1")
    return " ".join(said)


def placed(lathe: Lathe, fit: Fit) -> str:
    """Where the studs stand along their slots, and the arm's angle; slots told where there are
    several."""
    if fit.placement is None or lathe.banjo is None:
        return "unchecked" if fit.fits is Fits.UNCHECKED else ""
    inch, several = numbers.inch_first(lathe), len(lathe.banjo.slots) > 1
    studs = [
        (f"{stud.slot + 1}:{numbers.NARROW_SPACE}" if several else "")
        + numbers.bare_length(stud.position, inch=inch)
        for stud in fit.placement.studs
    ]
    angle = fit.placement.arm_angle
    arm = [numbers.degrees(angle, 0)] if angle is not None else []
    return " ".join(["\N{NO-BREAK SPACE}".join(studs), *arm])


def half_nuts_words(nuts: HalfNuts | None) -> str:
    """Where the half-nuts may be closed."""
    if nuts is None or not nuts.fitted:
        return ""
    if nuts.how is not How.DIAL:
        return {How.ANYWHERE: "anywhere", How.STANDING: "at rest"}.get(nuts.how, "closed")
    use = next(use for use in nuts.dials if use.lines)
    words = dial_words(use.lines, use.dial.lines)
    return words.removeprefix("lines ").replace(",", "")


def mind(lathe: Lathe, row: ChartRow) -> str:
    """What is to be minded while it is cut."""
    if row.answer is None or row.working is None:
        return ""
    if row.working.turned is TurnedBy.SCREW:
        return "crank"
    if row.working.turned is TurnedBy.HAND:
        return "hand"
    slow = effort(row.answer.train.ratio, lathe.policy.hand_crank_above) is Effort.HEAVY
    return "slow" if slow else ""
