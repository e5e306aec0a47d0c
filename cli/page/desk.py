"""The work at hand: the files as they were last seen, and every change since the page was opened.

A file is looked at before it is changed, so that what an editor or another tab has written in the
meantime is not written over. What others changed is one more change: it can be undone like ours.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass, field

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.page.shelf import NAMES, Shelf, Stamp, Texts

OUTSIDE = "changed outside"

MOST_CHANGES = 10_000
MOST_CHARACTERS = 20_000_000
"""Kept to be undone."""


@dataclass(frozen=True)
class FileChange:
    """A change of a file: from the character `at` on `old` became `new`; None where there was, or
    is, no file. `what` was done, in a few words."""

    name: str
    what: str
    at: int
    old: str | None
    new: str | None

    @classmethod
    def between(cls, name: str, before: str | None, after: str | None, what: str) -> FileChange:
        """What made one text of the other, and no more of either: a day's work on a long file is
        kept in little."""
        if before is None or after is None:
            return cls(name, what, 0, before, after)
        at = _alike(before, after)
        old, new = before[at:], after[at:]
        end = _alike(old[::-1], new[::-1])
        return cls(name, what, at, old[: len(old) - end], new[: len(new) - end])

    def taken_back(self, text: str | None) -> str | None:
        """The text as it was before."""
        return self._put(text, self.new, self.old)

    def done_again(self, text: str | None) -> str | None:
        """The text as it is afterwards."""
        return self._put(text, self.old, self.new)

    @property
    def size(self) -> int:
        """Characters it holds."""
        return len(self.old or "") + len(self.new or "")

    def _put(self, text: str | None, there: str | None, instead: str | None) -> str | None:
        if text is None or there is None or instead is None:
            return instead
        return text[: self.at] + instead + text[self.at + len(there) :]


def _alike(one: str, other: str) -> int:
    """Characters from the start in which two texts are the same."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if one[:middle] == other[:middle] else (low, middle - 1)
    return low


@dataclass
class Desk:
    """Files and their history. `version` counts every change."""

    shelf: Shelf
    texts: Texts = field(default_factory=dict)
    unreadable: tuple[Fault, ...] = ()
    done: list[FileChange] = field(default_factory=list)
    undone: list[FileChange] = field(default_factory=list)
    version: int = 0
    _stamps: dict[str, Stamp] = field(default_factory=dict)
    _lock: threading.RLock = field(default_factory=threading.RLock)

    def __post_init__(self) -> None:
        self.look(first=True)

    def look(self, *, first: bool = False) -> bool:
        """Read what has changed on the disk; whether anything has."""
        with self._lock:
            changed = False
            faults: list[Fault] = []
            for name in NAMES:
                stamp = self.shelf.stamp(name)
                if not first and stamp == self._stamps.get(name):
                    continue
                try:
                    text = self.shelf.read(name)
                except FaultsError as error:
                    faults += error.faults
                    continue
                self._stamps[name] = stamp
                if first or text != self.texts.get(name):
                    if not first:
                        self._note(FileChange.between(name, self.texts.get(name), text, OUTSIDE))
                    self.texts[name] = text
                    changed = True
            self.unreadable = tuple(faults)
            if changed:
                self.version += 1
            return changed

    def put(self, name: str, text: str | None, what: str) -> None:
        """Write a file. Raises `FaultsError`; then nothing has changed."""
        with self._lock:
            self.look()
            before = self.texts.get(name)
            if text == before:
                return
            self._write(name, text)
            self._note(FileChange.between(name, before, text, what))
            self.version += 1

    def undo(self) -> FileChange | None:
        """Take back the last change; None where there is none."""
        with self._lock:
            self.look()
            if not self.done:
                return None
            change = self.done[-1]
            self._write(change.name, change.taken_back(self.texts.get(change.name)))
            self.undone.append(self.done.pop())
            self.version += 1
            return change

    def redo(self) -> FileChange | None:
        """Do again what was taken back; None where there is nothing."""
        with self._lock:
            self.look()
            if not self.undone:
                return None
            change = self.undone[-1]
            self._write(change.name, change.done_again(self.texts.get(change.name)))
            self.done.append(self.undone.pop())
            self.version += 1
            return change

    def _write(self, name: str, text: str | None) -> None:
        self.shelf.write(name, text)
        self.texts[name] = text
        self._stamps[name] = self.shelf.stamp(name)

    def _note(self, change: FileChange) -> None:
        self.done.append(change)
        self.undone.clear()
        kept = sum(each.size for each in self.done)
        while len(self.done) > MOST_CHANGES or (kept > MOST_CHARACTERS and len(self.done) > 1):
            kept -= self.done.pop(0).size
