"""What the page on two lathes shows: map, setups, and who does better, as plain values."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.compare import Comparison, least_error, merits
from gearchest.optimizer.search.result import WantStep
from gearchest.reports.drawing.scale import letter_of
from gearchest.reports.plan import map_view
from gearchest.reports.plan.advice_words import gears_text
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


def verdict(found: Comparison) -> str:
    """Which lathe to keep, by the weight it covers, and what both do."""
    of = numbers.plural(len(found.wants), "thread")
    cut = [len(found.both) + len(found.only(side)) for side in (0, 1)]
    one, other = _quoted(found)
    kept = _kept(found)
    if kept is None:
        if not found.only(0) and not found.only(1):
            return f"Keep either: both cut the same {cut[0]} of {of}."
        return f"Keep either: what only {one} cuts and what only {other} does weigh the same."
    best, less = (one, other)[kept], (one, other)[1 - kept]
    return f"Keep {best}: it cuts {cut[kept]} of {of}, {less} {cut[1 - kept]}."


def _quoted(found: Comparison) -> tuple[str, str]:
    """The names as they stand in a sentence."""
    one, other = found.names
    return f"“{one}”", f"“{other}”"


def levels(found: Comparison) -> list[str]:
    """What would bring each lathe up to the other, a sentence each, the one to let go first."""
    kept = _kept(found)
    sides = (0, 1) if kept is None else (1 - kept, kept)
    return [said for side in sides if (said := _level(found, side))]


def _kept(found: Comparison) -> int | None:
    """The lathe that covers more weight; None where both cover as much."""
    one, other = (sum((want.weight for want in found.only(side)), Fraction(0)) for side in (0, 1))
    return None if one == other else int(other > one)


def _level(found: Comparison, side: int) -> str:
    upgrades = found.upgrades[side]
    if not upgrades:
        return ""
    name = _quoted(found)[side]
    gears: Counter[Gear] = Counter()
    for up in upgrades:
        gears |= Counter(up.gears)
    if not gears:
        return f"No set of up to three gears brings {name} any thread that only the other cuts."
    added = gears_text(found.lathes[side], sorted(gears.elements(), key=lambda gear: gear.order))
    never = [up.want for up in upgrades if not up.gears]
    rest = f", all but {', '.join(never)}" if never else ""
    return (
        f"What levels them: with {added} {name} would cut as well what only the other does{rest}. "
        "That is enough; fewer might do."
    )


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
