"""The setups of a chart in their order: every chart weighed where there are few threads, else the
best found, with the bound that the solver proves."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from gearchest.optimizer.chart.bound import by_setups
from gearchest.optimizer.chart.question import ChartQuestion
from gearchest.optimizer.chart.start import good_order
from gearchest.optimizer.chart.weigh import can_be_weighed, weighed
from gearchest.optimizer.plan.watch import Watch

MOST_MODELLED = 700
"""Setups of which the solver is asked in which order they follow one another."""

_ROUNDS, _WORK = (60, 800), 1_200_000
"""Rounds of the search: so many at least and at most, and between them so many setups looked at
in all of them."""

_HURRIED = 6
"""So many times less is done in a hurry."""

_SOLVING = 0.4
"""Time the solver has of its own deterministic seconds, where no time was given to be used up."""

_SEARCHING = 0.4
"""Share of the time given that the search takes, where time was given."""


class Pace(Enum):
    """How long is looked: beside other work, as long as somebody waits gladly, or as long as the
    watch leaves."""

    HURRIED = "hurried"
    USUAL = "usual"
    THOROUGH = "thorough"


@dataclass(frozen=True)
class ChartOrder:
    """`order`: setups in the order in which they follow one another. `bound`: no chart has fewer
    gears put on; 0 where that was not looked into. `weighed`: all charts were, so that none with as
    few has fewer demerits."""

    order: tuple[int, ...]
    bound: int
    weighed: bool


def share(question: ChartQuestion, watch: Watch, pace: Pace = Pace.USUAL) -> ChartOrder:
    """The best chart found. It depends on the machine only where the watch ends it, as it does
    where the pace is thorough."""
    if not question.whole:
        return ChartOrder(tuple(_searched(question, watch, pace)), 0, False)
    if can_be_weighed(question):
        order = weighed(question)
        return ChartOrder(tuple(order), question.changes(order), True)
    order = _searched(question, watch, pace)
    bound = by_setups(question, watch)
    asked = pace is not Pace.HURRIED and len(question) <= MOST_MODELLED and not watch.over
    if asked and bound < question.changes(order):
        from gearchest.optimizer.chart.modelled import modelled

        given = pace is Pace.THOROUGH and watch.remaining is not None
        order, proven = modelled(question, order, watch, None if given else _SOLVING)
        bound = max(bound, proven)
    return ChartOrder(tuple(order), bound, False)


def _searched(question: ChartQuestion, watch: Watch, pace: Pace) -> list[int]:
    least, most = _ROUNDS
    rounds = min(most, max(least, _WORK // (len(question) + 1000)))
    if pace is Pace.HURRIED:
        rounds //= _HURRIED
    until = None
    if pace is Pace.THOROUGH and watch.remaining is not None:
        until, rounds = watch.seconds + _SEARCHING * watch.remaining, 1 << 30
    return good_order(
        question, rounds, lambda: watch.over or (until is not None and watch.seconds > until)
    )
