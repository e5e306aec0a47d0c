"""How a verdict looks: its word, its symbol and the class that picks its lightness."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearchest.optimizer.search.result import Verdict


@dataclass(frozen=True)
class State:
    """A verdict as shown; `rank` counts from the best."""

    word: str
    symbol: str
    slug: str
    rank: int
    meaning: str


STATES: dict[Verdict, State] = {
    Verdict.EXACT: State("exact", "=", "exact", 0, "a train without error, and it fits"),
    Verdict.IN_TOLERANCE: State(
        "in tolerance", "≈", "in-tolerance", 1, "a train that fits, its error within the allowance"
    ),
    Verdict.DOES_NOT_FIT: State(
        "does not fit", "⊘", "does-not-fit", 2, "trains that compute, none that can be mounted"
    ),
    Verdict.OFF: State("off", "≠", "off", 3, "a train that fits, its error beyond the allowance"),
    Verdict.NO_TRAIN: State("no train", "–", "no-train", 4, "nothing within five per cent"),
}


_UNCHECKED = {
    Verdict.EXACT: "a train without error, its fit unchecked",
    Verdict.IN_TOLERANCE: "a train with its error within the allowance, its fit unchecked",
    Verdict.DOES_NOT_FIT: "trains that compute, all against the shop rule",
    Verdict.OFF: "a train with its error beyond the allowance, its fit unchecked",
}
UNCHECKED_STATES = {
    verdict: replace(found, meaning=_UNCHECKED.get(verdict, found.meaning))
    for verdict, found in STATES.items()
}
"""The same of a lathe whose arm is not measured."""


def state(verdict: Verdict) -> State:
    """The look of a verdict."""
    return STATES[verdict]
