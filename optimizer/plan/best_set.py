"""What a prover hands back for one step."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.plan.problem import COUNT, WEIGHT, Chosen, Problem
from gearchest.optimizer.plan.worth import worth

LOOKED, CONSTRAINT = "every set looked at", "constraint solver"
"""Names of the provers."""

EQUALLY_GOOD = 5
"""How many sets of the same size and covered weight are told."""


@dataclass(frozen=True)
class Total:
    """One objective, all before it held at their best: the value reached and the bound no
    set can beat, in integer units. Covered weight is best large, all else best small."""

    objective: str
    value: int
    bound: int
    proven: bool


@dataclass(frozen=True)
class Traded:
    """A set one may rather buy, in integer units: covered weight, demerits over all wants (one
    that is not covered counting NOT_COVERED), and money. `idle`: the fewer gears of a step before
    do as much for no more."""

    chosen: Chosen
    weight: int
    demerits: int
    money: int
    idle: bool = False


@dataclass(frozen=True)
class BestSet:
    """The best set known for a step, and how far that is proven.

    `stopped_by` is "" where every total is proven. `equally_good`: other sets of the same
    size and covered weight, best first; `next_best`: the best set that covers less; both
    only where the prover came to know them. `alternatives`: sets of the same size that no
    other beats in weight, demerits and money, of all where `alternatives_proven`.
    """

    chosen: Chosen
    totals: tuple[Total, ...]
    proven_by: str
    stopped_by: str = ""
    equally_good: tuple[Chosen, ...] = ()
    next_best: Chosen | None = None
    alternatives: tuple[Traded, ...] = ()
    alternatives_proven: bool = False

    @property
    def proven(self) -> bool:
        """Whether no other set is better by any objective, ties included."""
        return not self.stopped_by and all(total.proven for total in self.totals)


def proven_totals(problem: Problem, chosen: Chosen) -> tuple[Total, ...]:
    """The totals of a set proven best by every objective."""
    value = worth(problem, chosen)
    totals = [(WEIGHT, value.weight), *((str(aim), value.totals[aim]) for aim in problem.aims)]
    totals.append((COUNT, len(chosen)))
    return tuple(Total(name, total, total, True) for name, total in totals)
