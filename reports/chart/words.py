"""What is said of a chart as a whole, on paper, on the screen and in the terminal."""

from __future__ import annotations

from gearchest.optimizer.chart.candidates import SHARING
from gearchest.optimizer.chart.result import GearChart
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.words import numbers, wording

_NAMED = 5
"""Threads named in a sentence."""


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
    least = f"; no chart needs fewer than {chart.bound}" if chart.bound else ""
    return f"The best found{least}, not proven{stopped}."


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
