"""What the page on two lathes shows: map, setups, and who does better, as plain values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.compare import Comparison, least_error, merits
from gearchest.optimizer.search.result import WantStep
from gearchest.reports.plan import map_view
from gearchest.reports.plan.setups_view import ThreadSheet, thread_sheet
from gearchest.reports.trains.view import train_sheet
from gearchest.reports.words import numbers

PREFIXES = ("a-", "b-")
"""Keep the two lathes' drawn parts apart on one page."""


@dataclass(frozen=True)
class Bout:
    """One measure of a thread on both lathes: which is better, in a word, and both values."""

    better: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class Duel:
    """A thread both lathes cut, measure by measure."""

    name: str
    ident: str
    bouts: tuple[Bout, Bout, Bout]


def map_columns(found: Comparison) -> list[map_view.MapColumn]:
    """A column for each lathe."""
    covered = [sum(pair[side].verdict.covered for pair in found.states) for side in (0, 1)]
    return [
        map_view.MapColumn(side, "", name, numbers.plural(covered[side], "thread"))
        for side, name in enumerate(found.names)
    ]


def map_groups(found: Comparison, idents: Sequence[str]) -> list[map_view.MapGroup]:
    """The wants as rows, by series."""
    inch = numbers.inch_first(found.lathes[0])
    rows = [
        map_view.map_row(
            ident,
            want,
            tuple(map_view.map_cell(side, want, step) for side, step in enumerate(pair)),
            inch=inch,
        )
        for ident, want, pair in zip(idents, found.wants, found.states, strict=True)
    ]
    return map_view.map_groups(found.wants, rows)


def thread_sheets(found: Comparison, idents: Sequence[str]) -> list[ThreadSheet]:
    """Every want with the train of each lathe."""
    inch = numbers.inch_first(found.lathes[0])
    made = []
    for ident, want, pair in zip(idents, found.wants, found.states, strict=True):
        sheets = tuple(
            train_sheet(
                lathe,
                want,
                step.answer,
                (side,),
                name,
                prefix=PREFIXES[side],
                exact=step.without_error,
            )
            for side, (lathe, name, step) in enumerate(
                zip(found.lathes, found.names, pair, strict=True)
            )
            if step.answer
        )
        made.append(thread_sheet(ident, want, sheets, inch=inch))
    return made


def duels(found: Comparison, idents: Sequence[str]) -> list[Duel]:
    """Every thread both lathes cut."""
    return [
        _duel(ident, want, pair)
        for ident, want, pair in zip(idents, found.wants, found.states, strict=True)
        if all(state.verdict.covered for state in pair)
    ]


def _duel(ident: str, want: Want, pair: tuple[WantStep, WantStep]) -> Duel:
    judged = merits(*pair)
    one, other = pair[0].answer, pair[1].answer
    if judged is None or one is None or other is None:
        raise ValueError(f"{want.name} is not covered by both lathes")

    errors = tuple(numbers.error(least_error(state), want.allowance.relative) for state in pair)
    loads = tuple(_newtons(answer.train.tooth_load) for answer in (one, other))
    turns = tuple(numbers.significant(answer.train.ratio) for answer in (one, other))
    return Duel(
        want.name,
        ident,
        (_bout(judged.error, errors), _bout(judged.load, loads), _bout(judged.turns, turns)),
    )


def _bout(better: int | None, values: tuple[str, ...]) -> Bout:
    return Bout("equal" if better is None else ("first", "second")[better], values)


def _newtons(load: numbers.Number) -> str:
    return f"{float(load):.0f}{numbers.NARROW_SPACE}N"
