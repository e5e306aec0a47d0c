"""Faults in what a person wrote: where, what was typed, what is allowed, how to mend it.

Faults are collected, so that all of a file come at once.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True)
class Fault:
    """One fault. `where` is a key path or a column, `value` the text as typed; `also` names
    the other places that have a part in it (line, text there)."""

    source: str
    problem: str
    line: int | None = None
    where: str = ""
    value: str = ""
    allowed: str = ""
    fix: str = ""
    also: tuple[tuple[int, str], ...] = ()

    def __str__(self) -> str:
        spot = ", ".join(
            part for part in (self.source, f"line {self.line}" if self.line else "", self.where)
            if part
        )  # fmt: skip
        typed = f": {shorten(self.value)}" if self.value else ""
        lines = [f"{spot}{typed}", f"  {self.problem}"]
        lines += [f"  compare line {line}: {shorten(text)}" for line, text in self.also]
        if self.allowed:
            lines.append(f"  allowed: {self.allowed}")
        if self.fix:
            lines.append(f"  fix: {self.fix}")
        return "\n".join(lines)


class FaultsError(Exception):
    """What was given cannot be used; holds every fault found, in the order of the file."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.source, fault.line or 0)))
        super().__init__("\n".join(str(fault) for fault in self.faults))


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, or None where none is near."""
    by_fold = {name.casefold(): name for name in known}
    close = get_close_matches(word.casefold().replace("-", "_"), by_fold, n=1, cutoff=0.55)
    return by_fold[close[0]] if close else None


def shorten(text: str, most: int = 70) -> str:
    """One line of `text`, control characters spelt out, cut at `most` characters."""
    line = " ".join(text.split())
    line = "".join(char if char.isprintable() else repr(char)[1:-1] for char in line)
    return line if len(line) <= most else line[: most - 1] + "…"
