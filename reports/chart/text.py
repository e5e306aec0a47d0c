"""A chart for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gearchest.optimizer.chart.result import Change, GearChart
from gearchest.reports.chart import view, words
from gearchest.reports.words import wording
from gearchest.reports.words.columns import Column, table


def chart_lines(chart: GearChart, width: int | None = None, *, free: bool = False) -> list[str]:
    """What the setups are and what is changed between them, then a line a thread."""
    lines = [chart.lathe.name, words.summary(chart)]
    if chart.setups:
        lines += [words.proof(chart), *([told] if (told := words.cost(chart)) else []), ""]
    if words.unchecked(chart):
        lines.append("the arm is not measured: whether these trains fit is unchecked")
    lines += _setups(chart)
    parts = view.parts(chart, free=free)
    for part in parts:
        lines += ["", *([part.title] if part.title else [])]
        lines += table(_columns(chart, part), width)[0]
    if missing := words.not_cut(chart):
        lines += ["", f"not cut: {', '.join(missing)}"]
    return lines


def _setups(chart: GearChart) -> Iterator[str]:
    for number, setup in enumerate(chart.setups):
        to_get = f" (to get: {wording.teeth(setup.missing)})" if setup.missing else ""
        gears = f"{wording.gears_written(setup.train)}{to_get}"
        changed = "; ".join(change_words(chart, setup.changed)) or "as it hangs"
        yield f"{view.setup_name(number):>2}  {gears}: {changed}"
    if chart.back:
        yield f"back to the usual train: {'; '.join(change_words(chart, chart.back))}"


def change_words(chart: GearChart, changed: Sequence[Change]) -> list[str]:
    """What is taken off and put on, change by change."""
    return [
        f"{view.place_name(chart, one)} {one.off} off"
        if one.on is None
        else f"{view.place_name(chart, one)} {f'{one.off} → ' if one.off else ''}{one.on}"
        for one in changed
    ]


def _columns(chart: GearChart, part: view.ChartPart) -> list[Column]:
    lines = part.lines
    trains = [wording.gears_written(chart.setups[int(line.setup) - 1].train) for line in lines]
    return [
        Column("Thread", tuple(line.name for line in lines), wraps=True),
        Column("Pitch", tuple(line.pitch for line in lines), 3, numeric=True),
        Column("Setup", tuple(line.setup for line in lines), numeric=True),
        Column("Gears", tuple(trains)),
        Column("Lever", tuple(line.lever for line in lines)),
        Column("Half-nuts", tuple(line.half_nuts for line in lines), 2),
        Column("Error", tuple(line.error for line in lines), 1, numeric=True),
        Column("Mind", tuple(line.mind for line in lines), 1),
        Column("Stud, arm", tuple(line.placed for line in lines), 5),
        Column("Demerits", tuple(line.demerits for line in lines), 4),
    ]
