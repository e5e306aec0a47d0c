"""Faults in what a person wrote: where, what was typed, what is allowed, how to mend it.

Faults are collected, so that all of a file come at once. What is shown of them has an end,
and holds nothing that a terminal would obey.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from difflib import get_close_matches

from gearchest.cli.marks import spelt_out

COMMAND_LINE = "command line"
"""The source of what was typed as options and arguments."""

MOST_TOLD = 20
"""Faults shown of all there are."""

MOST_LINES = 40
"""Lines on which they are shown; past it a fault gets one line."""

LONGEST_VALUE = 60
_LONGEST_MESSAGE = 1000
_LONG_QUOTED = re.compile(rf'"([^"]{{{LONGEST_VALUE + 1},}})"')


@dataclass(frozen=True)
class Fault:
    """One fault. `where` is a key path or a column, `value` the text as typed; `also` names
    the other places that have a part in it (line, 0 where there are none; text there)."""

    source: str
    problem: str
    line: int | None = None
    where: str = ""
    value: str = ""
    allowed: str = ""
    fix: str = ""
    also: tuple[tuple[int, str], ...] = ()

    def __str__(self) -> str:
        return "\n".join(self.lines())

    def lines(self) -> list[str]:
        """The fault in full: the place, the problem, other places, what is allowed, the fix."""
        lines = [self._place(), f"  {_message(self.problem)}"]
        lines += [f"  compare {_at(line)}{shorten(text)}" for line, text in self.also]
        if self.allowed:
            lines.append(f"  allowed: {_message(self.allowed)}")
        if self.fix:
            lines.append(f"  fix: {_message(self.fix)}")
        return lines

    def brief(self) -> str:
        """The place, the problem and the cure, on one line."""
        cure = f"; {_message(self.fix)}" if self.fix else ""
        return f"{self._place()}: {_message(self.problem)}{cure}"

    def _place(self) -> str:
        parts = (self.source, f"line {self.line}" if self.line else "", self.where)
        spot = spelt_out(", ".join(part for part in parts if part))
        return f"{spot}: {shorten(self.value)}" if self.value else spot


class FaultsError(Exception):
    """What was given cannot be used; holds every fault found, in the order of the file."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.source, fault.line or 0)))
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults[:MOST_TOLD])

    def lines(self) -> list[str]:
        """The first faults, in full as far as there is room, and how many there are in all."""
        told = self.faults[:MOST_TOLD]
        lines: list[str] = []
        for to_come, fault in zip(reversed(range(len(told))), told, strict=True):
            full = fault.lines()
            fits = len(lines) + len(full) + to_come < MOST_LINES
            lines += full if fits else [fault.brief()]
        count = len(self.faults)
        found = f"{count} fault{'s' if count > 1 else ''} found"
        return [
            *lines,
            f"{found}, the first {MOST_TOLD} shown." if count > len(told) else f"{found}.",
        ]


@contextmanager
def collecting(faults: list[Fault]) -> Iterator[None]:
    """Lets work go on where part of it is wrong; its faults are added to those given."""
    try:
        yield
    except FaultsError as error:
        faults += error.faults


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, or None where none is near."""
    by_fold = {name.casefold(): name for name in known}
    typed = word[:LONGEST_VALUE].casefold().replace("-", "_")
    close = get_close_matches(typed, by_fold, n=1, cutoff=0.55)
    return by_fold[close[0]] if close else None


def shorten(text: str, most: int = LONGEST_VALUE) -> str:
    """One line of `text`, marks spelt out, cut at `most` characters."""
    line = spelt_out(" ".join(text[: 10 * most].split()))
    return line if len(line) <= most and len(text) <= 10 * most else line[: most - 1] + "…"


def _at(line: int) -> str:
    return f"line {line}: " if line else ""


def _message(text: str) -> str:
    """One line of the program's own words; what it quotes is cut like any other value."""
    quoted = _LONG_QUOTED.sub(lambda found: f'"{shorten(found[1])}"', text)
    return shorten(quoted, _LONGEST_MESSAGE)
