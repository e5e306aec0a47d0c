"""Two lathes side by side as one HTML file: a map with two columns a thread."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.compare import Comparison, least_error, merits
from gearchest.optimizer.search.result import WantStep
from gearchest.reports.drawing.symbols import definitions
from gearchest.reports.page import shell as page
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import view as plan_view
from gearchest.reports.trains.view import train_sheet
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.states import STATES

PREFIXES = ("a-", "b-")
"""Keep the two lathes' drawn parts apart on one page."""


@dataclass(frozen=True)
class Column:
    """A lathe as the head of its column."""

    name: str
    leadscrew: str
    covered: int


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


def compare_page(
    found: Comparison, facts: Facts, *, document: Mapping[str, object] | None = None
) -> str:
    """The page. Same input, same bytes."""
    names = found.names
    idents = _identifiers(found)
    first = found.lathes[0]
    drawn = [
        definitions(
            lathe,
            [pair[side].answer.train for pair in found.states if pair[side].answer],  # type: ignore[union-attr]
            prefix=PREFIXES[side],
            markers=side == 0,
        )
        for side, lathe in enumerate(found.lathes)
    ]
    return page.build(
        "compare/sheet.html.j2",
        lathe=first,
        facts=facts,
        styles=("plan/sheet.css", "plan/print.css", "compare/sheet.css"),
        scripts=("plan/setups.js", "plan/map.js"),
        data={"compare-json": document} if document is not None else {},
        title=f"{names[0]} and {names[1]}: side by side",
        found=found,
        columns=_columns(found, names),
        steps=[],
        groups=_groups(found, idents),
        setups=_setups(found, idents, names),
        duels=_duels(found, idents),
        names=names,
        states=list(STATES.values()),
        definitions=drawn[0] + drawn[1],
        cautions=wording.CAUTIONS,
        shared=wording.teeth(found.shared),
        document=document,
    )


def _identifiers(found: Comparison) -> list[str]:
    taken: set[str] = set()
    return [wording.anchor(want.name, taken) for want in found.wants]


def _columns(found: Comparison, names: tuple[str, str]) -> list[Column]:
    return [
        Column(
            name,
            str(lathe.leadscrew),
            sum(pair[side].verdict.covered for pair in found.states),
        )
        for side, (name, lathe) in enumerate(zip(names, found.lathes, strict=True))
    ]


def _groups(found: Comparison, idents: list[str]) -> list[plan_view.MapGroup]:
    inch = numbers.inch_first(found.lathes[0])
    rows = [
        plan_view.map_row(ident, want, tuple(map(plan_view.cell, pair)), inch=inch)
        for ident, want, pair in zip(idents, found.wants, found.states, strict=True)
    ]
    return plan_view.grouped(found.wants, rows)


def _setups(
    found: Comparison, idents: list[str], names: tuple[str, str]
) -> list[plan_view.SetupView]:
    inch = numbers.inch_first(found.lathes[0])
    made = []
    for ident, want, pair in zip(idents, found.wants, found.states, strict=True):
        sheets = tuple(
            train_sheet(
                lathe,
                want,
                state.answer,
                (side,),
                name,
                prefix=PREFIXES[side],
                exact=state.without_error,
            )
            for side, (lathe, name, state) in enumerate(zip(found.lathes, names, pair, strict=True))
            if state.answer
        )
        cells = tuple(plan_view.cell(state) for state in pair)
        made.append(plan_view.setup(ident, want, cells, sheets, inch=inch))
    return made


def _duels(found: Comparison, idents: list[str]) -> list[Duel]:
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

    errors = tuple(numbers.error(least_error(state)) for state in pair)
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
