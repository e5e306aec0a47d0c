"""The aims: what a set of gears is judged by, after the weight it covers. Less is better.

An aim adds up costs, either of the trains that cut the wants or of the gears in the set. Each
has a name and one line in `AIMS`; the provers, the totals and the command line read these.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.domain.arrays import Ints
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.search.options import ERROR_UNIT, LOAD_UNIT, WantOptions


class Aim(StrEnum):
    """Names of the aims, in their usual order."""

    LOAD = "tooth load"  # N for 1 N m at the leadscrew, by weight
    MONEY = "money"
    ERROR = "error"  # |relative error|, by weight

    @property
    def word(self) -> str:
        """The aim as it is typed: the last word of its name."""
        return self.rpartition(" ")[2]


@dataclass(frozen=True)
class OfTrains:
    """Weight x cost, over the wants covered. `costs` gives each option's cost in whole `unit`s,
    none negative. The search keeps no option that lacks as much and is no better by load or
    error: where neither falls, a cost must not fall."""

    costs: Callable[[WantOptions], Ints]
    unit: Fraction


@dataclass(frozen=True)
class OfGears:
    """Cost of the gears in the set. `costs` gives what the first, second, ... copy of one kind
    costs, taken from these offers; none negative."""

    costs: Callable[[Sequence[Offer]], Sequence[Fraction]]


AIMS: dict[Aim, OfTrains | OfGears] = {
    Aim.LOAD: OfTrains(lambda options: options.load, Fraction(str(LOAD_UNIT))),
    Aim.MONEY: OfGears(lambda copies: [offer.price for offer in copies]),
    Aim.ERROR: OfTrains(lambda options: options.error, Fraction(str(ERROR_UNIT))),
}

_ALL = [(aim, AIMS[aim]) for aim in Aim]
OF_TRAINS = {aim: rule for aim, rule in _ALL if isinstance(rule, OfTrains)}
OF_GEARS = {aim: rule for aim, rule in _ALL if isinstance(rule, OfGears)}


def first_of_all(*first: Aim) -> tuple[Aim, ...]:
    """Every aim once: these, then the others in their usual order."""
    return tuple(dict.fromkeys((*first, *Aim)))
