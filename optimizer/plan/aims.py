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
from gearchest.optimizer.search.costs import DEMERITS, ERROR, LOAD
from gearchest.optimizer.search.options import ERROR_UNIT, LOAD_UNIT, WantOptions


class Aim(StrEnum):
    """Names of the aims. Those that count trains are called as the search calls the cost."""

    DEMERITS = DEMERITS  # by weight
    MONEY = "money"
    ERROR = ERROR  # |relative error|, by weight
    LOAD = LOAD  # N for 1 N m at the leadscrew, by weight

    @property
    def word(self) -> str:
        """The aim as it is typed: the last word of its name."""
        return self.rpartition(" ")[2]


@dataclass(frozen=True)
class OfTrains:
    """Weight x cost, over the wants covered. `costs` gives each option's cost in whole `unit`s,
    none negative. The search keeps of each lack the option that is best by these aims in their
    order, so the aim's name must be one of `search.costs`."""

    costs: Callable[[WantOptions], Ints]
    unit: Fraction


@dataclass(frozen=True)
class OfGears:
    """Cost of the gears in the set. `costs` gives what the first, second, ... copy of one kind
    costs, taken from these offers; none negative."""

    costs: Callable[[Sequence[Offer]], Sequence[Fraction]]


AIMS: dict[Aim, OfTrains | OfGears] = {
    Aim.DEMERITS: OfTrains(lambda options: options.demerits, Fraction(1)),
    Aim.MONEY: OfGears(lambda copies: [offer.price for offer in copies]),
    Aim.ERROR: OfTrains(lambda options: options.error, Fraction(str(ERROR_UNIT))),
    Aim.LOAD: OfTrains(lambda options: options.load, Fraction(str(LOAD_UNIT))),
}

_ALL = [(aim, AIMS[aim]) for aim in Aim]
OF_TRAINS = {aim: rule for aim, rule in _ALL if isinstance(rule, OfTrains)}
OF_GEARS = {aim: rule for aim, rule in _ALL if isinstance(rule, OfGears)}


USUAL = (Aim.DEMERITS, Aim.MONEY, Aim.ERROR)
"""What a set is judged by, where nothing else is said: tooth load is in the demerits."""


def first_of_all(*first: Aim) -> tuple[Aim, ...]:
    """These aims, then the usual others."""
    return tuple(dict.fromkeys((*first, *USUAL)))


def of_trains(aims: Sequence[Aim]) -> tuple[str, ...]:
    """The costs of trains that some aims mind, in their order."""
    return tuple(str(aim) for aim in aims if aim in OF_TRAINS)


def minded_first(aims: Sequence[Aim]) -> tuple[str, ...]:
    """The costs that come first when a train is to be set up: an error that comes last settles
    ties later, as it does anyway."""
    costs = of_trains(aims)
    return costs[:-1] if costs[-1] == ERROR else costs
