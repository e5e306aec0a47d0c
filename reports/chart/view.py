"""What a chart shows, as plain values: rows by series and pitch, or as their setups follow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearchest.optimizer.arm.result import Fit, Fits
from gearchest.optimizer.chart.candidates import SHARING
from gearchest.optimizer.chart.result import Change, ChartRow, ChartSetup, GearChart
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import SCREW_SHAFT
from gearchest.optimizer.domain.screw_turns import Effort, effort
from gearchest.optimizer.search.result import Verdict
from gearchest.optimizer.turning.half_nuts import HalfNuts, How
from gearchest.optimizer.turning.working import TurnedBy
from gearchest.reports.setup.train_view import dial_words
from gearchest.reports.words import numbers, wording

SINGLE = "Single threads"
"""Heading of threads that came one by one."""


@dataclass(frozen=True)
class PlaceHead:
    """A column of gears: the shaft, told where it begins with how many columns it has, and the
    plane, from 1."""

    shaft: str
    columns: int
    plane: int


@dataclass(frozen=True)
class GearCell:
    """A gear in its place, "" for none; whether it is still to be got, and whether it was put on
    after the setup before."""

    teeth: str
    to_get: bool = False
    changed: bool = False


@dataclass(frozen=True)
class ChartLine:
    """A thread of the chart. `setup`: the name of its setup; `again`: it is that of the line above.
    `lever` and `placed` "" where there is nothing to set or nothing is measured; `mind`: slow,
    crank or by hand."""

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
    every = places(chart)
    shafts = [shaft for shaft, _ in every]
    return [
        PlaceHead(
            shaft_name(chart, shaft) if shaft not in shafts[:at] else "",
            shafts.count(shaft),
            plane + 1,
        )
        for at, (shaft, plane) in enumerate(every)
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
    """The gears of a setup, place by place; of several alike the last are those to be got."""
    hung = setup.train.hung
    to_get = list(setup.missing)
    put_on = {(change.shaft, change.plane) for change in setup.changed if change.on}
    cells = []
    for place in reversed(places(chart)):
        gear = hung.get(place)
        if gear is None:
            cells.append(GearCell(""))
            continue
        lacking = gear in to_get
        if lacking:
            to_get.remove(gear)
        cells.append(GearCell(str(gear), lacking, place in put_on))
    return tuple(reversed(cells))


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
    pitch, _ = wording.pitch_written(row.want.pitch, inch=inch_of(row))
    name = setup_name(row.setup or 0)
    exact = answer.error == 0
    before, after = row.alone.merit.demerits, answer.merit.demerits
    return ChartLine(
        ident,
        row.want.name + (", left" if row.want.left else ""),
        pitch,
        row.want.pitch.lead.mm,
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


def inch_of(row: ChartRow) -> bool:
    """Whether a thread is told in inches: as its pitch was, whatever the lathe is."""
    return row.want.pitch.inch


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
    said = [
        (f"{stud.slot + 1}: " if several else "") + numbers.bare_length(stud.position, inch=inch)
        for stud in fit.placement.studs
    ]
    angle = fit.placement.arm_angle
    return " · ".join([*said, *([numbers.degrees(angle, 0)] if angle is not None else [])])


def half_nuts_words(nuts: HalfNuts | None) -> str:
    """Where the half-nuts may be closed."""
    if nuts is None or not nuts.fitted:
        return ""
    if nuts.how is not How.DIAL:
        return {How.ANYWHERE: "anywhere", How.STANDING: "at rest"}.get(nuts.how, "keep closed")
    use = next(use for use in nuts.dials if use.lines)
    return dial_words(use.lines, use.dial.lines)


def mind(lathe: Lathe, row: ChartRow) -> str:
    """What is to be minded while it is cut."""
    if row.answer is None or row.working is None:
        return ""
    if row.working.turned is TurnedBy.SCREW:
        return "crank"
    if row.working.turned is TurnedBy.HAND:
        return "by hand"
    slow = effort(row.answer.train.ratio, lathe.policy.hand_crank_above) is Effort.HEAVY
    return "slow" if slow else ""


def summary(chart: GearChart) -> str:
    """What is shared, and how many gears are put on, in a sentence or two."""
    if not chart.setups:
        return "No thread has a train of these gears."
    threads = numbers.plural(len(chart.covered), "thread")
    trains = numbers.plural(len(chart.setups), "setup of gears", "setups of gears")
    usual = chart.lathe.usual_train
    way = f", from {wording.gears_written(usual)} and back," if usual else ""
    alone = (
        f"; each with its own best train, in the order of the list: {chart.changes_alone} with "
        f"{chart.setups_alone}"
        if chart.changes_alone > chart.changes or chart.setups_alone > len(chart.setups)
        else ""
    )
    put_on = numbers.plural(chart.changes, "gear")
    return f"{threads} on {trains}, {put_on} put on{way} over the whole chart{alone}."


def proof(chart: GearChart) -> str:
    """How sure it is that no chart needs fewer."""
    if chart.proven:
        told = "No chart needs fewer gears put on: proven"
        return told + ("; nor as many at fewer demerits." if chart.least_demerits else ".")
    stopped = f"; {chart.stopped_by}" if chart.stopped_by else ""
    return f"The best found; no chart needs fewer than {chart.bound}, not proven{stopped}."


def cost(chart: GearChart) -> str:
    """What it costs the threads to share; "" where it costs nothing."""
    before, after = chart.demerits
    worse = [
        row for row in chart.covered
        if row.alone and row.answer and row.answer.merit.demerits > row.alone.merit.demerits
    ]  # fmt: skip
    if not worse:
        return ""
    names = ", ".join(row.want.name for row in worse[:_NAMED])
    more = f" and {len(worse) - _NAMED} more" if len(worse) > _NAMED else ""
    return (
        f"To share costs {numbers.plural(after - before, 'demerit')} in all, {before} before and "
        f"{after} now, none more than {SHARING} a thread: {names}{more}."
    )


def not_cut(chart: GearChart) -> list[str]:
    """Threads without a train, each with its verdict."""
    words = {Verdict.DOES_NOT_FIT: "does not fit", Verdict.OFF: "off", Verdict.NO_TRAIN: "no train"}
    return [
        f"{row.want.name} ({words.get(row.verdict, row.verdict.value)})"
        for row in chart.rows
        if row.setup is None
    ]


def unchecked(chart: GearChart) -> bool:
    """Whether the arm is not measured."""
    return chart.lathe.banjo is None


_NAMED = 5
"""Threads named in a sentence."""
