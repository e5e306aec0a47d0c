"""What the page on two lathes shows: map, setups, and who does better at each thread, as plain
values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.compare import Comparison, kinder, least_error, merits
from gearchest.optimizer.search.result import WantStep
from gearchest.reports.compare.verdict import share_told
from gearchest.reports.drawing.scale import letter_of
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
    """A thread both lathes cut, measure by measure; `take`: on which it is better cut and why,
    where that matters."""

    name: str
    ident: str
    bouts: tuple[Bout, Bout, Bout]
    take: str = ""


def map_columns(found: Comparison) -> list[map_view.MapColumn]:
    """A column for each lathe."""
    covered = [sum(pair[side].verdict.covered for pair in found.states) for side in (0, 1)]
    return [
        map_view.MapColumn(side, name, f"{covered[side]} of {len(found.wants)}")
        for side, name in enumerate(found.names)
    ]


def map_parts(found: Comparison) -> list[map_view.MapPart]:
    """The wants as rows: what only one lathe cuts, what neither does, then the rest by series."""
    cells = [_cells(want, pair) for want, pair in zip(found.wants, found.states, strict=True)]
    rows = map_view.map_rows(found.wants, cells, inch=numbers.inch_first(found.lathes[0]))
    kinds: dict[str, list[map_view.MapRow]] = {key: [] for key, _ in _parts(found)}
    both = []
    for row, pair in zip(rows, found.states, strict=True):
        one, other = (state.verdict.covered for state in pair)
        if one and other:
            both.append(row)
        else:
            kinds["first" if one else "second" if other else "neither"].append(row)
    apart = [map_view.MapPart(title, tuple(kinds[key]), key) for key, title in _parts(found)]
    return map_view.painted([*apart, *map_view.by_series(found.wants, both)])


def _parts(found: Comparison) -> list[tuple[str, str]]:
    one, other = found.names
    return [("first", f"Only {one}"), ("second", f"Only {other}"), ("neither", "Neither")]


def _cells(want: Want, pair: tuple[WantStep, WantStep]) -> tuple[map_view.MapCell, ...]:
    found = []
    for side, state in enumerate(pair):
        alone = not pair[1 - side].verdict.covered
        weight = map_view.GAINED if alone else map_view.QUIET
        strength = weight if state.verdict.covered else map_view.MISSING
        found.append(map_view.map_cell(side, want, state, strength))
    return tuple(found)


def thread_sheets(found: Comparison, idents: Sequence[str]) -> list[ThreadSheet]:
    """Every want with the train of each lathe."""
    inch = numbers.inch_first(found.lathes[0])
    letters = letters_of(found)
    made = []
    for ident, want, pair in zip(idents, found.wants, found.states, strict=True):
        sheets = tuple(
            train_sheet(
                lathe,
                want,
                step.answer,
                (side,),
                name,
                letters[side],
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


def letters_of(found: Comparison) -> list[float]:
    """The scale of each lathe's drawings."""
    answers = ([pair[side].answer for pair in found.states] for side in (0, 1))
    return [
        letter_of(lathe, filter(None, some))
        for lathe, some in zip(found.lathes, answers, strict=True)
    ]


def duels(found: Comparison, idents: Sequence[str]) -> list[Duel]:
    """Every thread both lathes cut."""
    return [
        replace(_duel(ident, want, pair), take=_take(found, pair))
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


def _take(found: Comparison, pair: tuple[WantStep, WantStep]) -> str:
    better = kinder(*pair)
    if better is None:
        return ""
    name, worse = found.names[better.side], pair[1 - better.side].answer
    if not better.overload or worse is None:
        return f"better on {name}: without error there alone"
    return f"better on {name}: the other overloads its teeth, {share_told(worse.merit)}"


def _bout(better: int | None, values: tuple[str, ...]) -> Bout:
    return Bout("equal" if better is None else ("first", "second")[better], values)


def _newtons(load: numbers.Number) -> str:
    return f"{float(load):.0f}{numbers.NARROW_SPACE}N"
