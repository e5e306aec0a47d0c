"""How a verdict looks: its word, its symbol and the class that picks its lightness."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearchest.optimizer.search.result import Verdict


@dataclass(frozen=True)
class Mark:
    """A verdict as shown."""

    word: str
    symbol: str
    slug: str
    meaning: str


MARKS: dict[Verdict, Mark] = {
    Verdict.EXACT: Mark("exact", "=", "exact", "a train without error, and it fits"),
    Verdict.IN_TOLERANCE: Mark(
        "in tolerance", "≈", "in-tolerance", "a train that fits, its error within the allowance"
    ),
    Verdict.DOES_NOT_FIT: Mark(
        "does not fit", "⊘", "does-not-fit", "trains that compute, none that can be mounted"
    ),
    Verdict.OFF: Mark("off", "≠", "off", "a train that fits, its error beyond the allowance"),
    Verdict.NO_TRAIN: Mark("no train", "–", "no-train", "nothing within five per cent"),
    Verdict.NOT_LOOKED: Mark("not looked at", "?", "not-looked", "time ended before it was"),
}
"""The best first."""


_UNCHECKED = {
    Verdict.EXACT: "a train without error, its fit unchecked",
    Verdict.IN_TOLERANCE: "a train with its error within the allowance, its fit unchecked",
    Verdict.DOES_NOT_FIT: "trains that compute, all against the shop rule",
    Verdict.OFF: "a train with its error beyond the allowance, its fit unchecked",
}
UNCHECKED_MARKS = {
    verdict: replace(found, meaning=_UNCHECKED.get(verdict, found.meaning))
    for verdict, found in MARKS.items()
}
"""The same of a lathe whose arm is not measured."""


def legend(*, measured: bool, cut_short: bool = False) -> list[Mark]:
    """The marks with their meaning; that of what was not looked at where that can be."""
    marks = MARKS if measured else UNCHECKED_MARKS
    return [
        mark for verdict, mark in marks.items() if verdict is not Verdict.NOT_LOOKED or cut_short
    ]


def constants() -> list[dict[str, object]]:
    """The marks as scripts read them, the best first."""
    return [
        {"slug": mark.slug, "word": mark.word, "covered": verdict.covered}
        for verdict, mark in MARKS.items()
    ]
