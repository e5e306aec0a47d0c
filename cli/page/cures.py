"""Cures of faults as buttons: the words of a cure, done to the file.

A cure is offered only where it was tried on the file and the fault is gone with it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from gearchest.cli.faults import Fault

MOST_TRIED, MANY, OF_MANY = 10, 200, 2
"""Faults of a file whose cures are tried; fewer where there are many faults, for the whole file is
read for each."""


MOST_NAMES = 5
"""Names near the one typed that are offered."""


@dataclass(frozen=True)
class Cure:
    """What a button says, and the file as it is with the cure."""

    words: str
    text: str


def cures(
    text: str, faults: tuple[Fault, ...], read: Callable[[str], tuple[Fault, ...]]
) -> list[tuple[Cure, ...]]:
    """The cures of each fault that can be done; `read` gives the faults of a text."""
    known = Counter(map(_sign, faults))
    most = MOST_TRIED if len(faults) <= MANY else OF_MANY
    found: list[tuple[Cure, ...]] = []
    for number, fault in enumerate(faults):
        tried = list(_tried(text, fault)) if number < most else []
        good = []
        for words, made in tried:
            left = Counter(map(_sign, read(made)))
            if _sign(fault) not in left and left <= known:
                good.append(Cure(words, made))
        found.append(tuple(good))
    return found


def _sign(fault: Fault) -> tuple[str, str, str]:
    return fault.where, fault.problem, fault.value


def _tried(text: str, fault: Fault) -> Iterator[tuple[str, str]]:
    """Texts with the cure done, each with its words."""
    if fault.problem.endswith("cannot both be given") and fault.also:
        for line in (fault.line, fault.also[0][0]):
            lines = text.replace("\r\n", "\n").split("\n")
            if line and re.match(r"\s*\w+\s*=", lines[line - 1]):
                yield f"take out {lines.pop(line - 1).partition(' #')[0].strip()}", "\n".join(lines)
        return
    for words in _words(fault.fix):
        lines = text.replace("\r\n", "\n").split("\n")
        if _done(lines, fault, words):
            yield words, "\n".join(lines)


def _words(fix: str) -> list[str]:
    """The choices a cure leaves."""
    if near := re.fullmatch(r"the nearest(?: sizes)? are (.+)", fix):
        return [f'write "{name}"' for name in near[1].split(", ")[:MOST_NAMES]]
    if not fix.startswith("write "):
        return [fix] if fix else []
    parts = re.split(r",? or (?=\S+ = |\"|units)", fix.removeprefix("write "))
    plain = [re.sub(r",? (?:whichever is meant|for .* gears.*|if it swings.*)$", "", part)
             for part in parts]  # fmt: skip
    return [f"write {part}" for part in plain]


def _done(lines: list[str], fault: Fault, words: str) -> bool:
    """Do it to the lines; whether it is known how."""
    at = (fault.line or 0) - 1
    if not 0 <= at < len(lines):
        return False
    key = fault.where.rpartition(".")[2].partition("[")[0]
    if found := re.fullmatch(r'did you mean "(.+)"\?', words):
        return _renamed(lines, at, key, found[1])
    if found := re.fullmatch(r"move it (?:below (\[\w+\])|to the top of the file)", words):
        _insert(lines, found[1] or "", lines.pop(at))
        return True
    if words == "take it out" or words.startswith("keep one of the two"):
        return _without(lines, at, fault)
    return words.startswith("write ") and _written(lines, at, fault, words.removeprefix("write "))


def _renamed(lines: list[str], at: int, key: str, meant: str) -> bool:
    """Give a key its name; one that heads tables, in all its headings."""
    if not key:
        return False
    head = lines[at].strip() if re.match(rf"\s*\[\[?\s*{re.escape(key)}\b", lines[at]) else ""
    changed = False
    for row, line in enumerate(lines):
        if row == at or (head and line.strip() == head):
            lines[row] = re.sub(rf"\b{re.escape(key)}\b", meant, line, count=1)
            changed |= lines[row] != line
    return changed


def _without(lines: list[str], at: int, fault: Fault) -> bool:
    """Take out the line of a key that stands alone on it."""
    key = fault.where.rpartition(".")[2].partition("[")[0]
    if re.match(rf"\s*(?:{re.escape(key)}|\"{re.escape(key)}\")\s*=", lines[at]):
        del lines[at]
        return True
    return False


def _written(lines: list[str], at: int, fault: Fault, words: str) -> bool:
    if top := re.fullmatch(r"(.+) at the top of the file", words):
        lines.insert(0, top[1])
        return True
    if fault.value and fault.value == lines[at].partition(" #")[0].strip():
        lines[at] = words
        return True
    if re.match(r"\w+ = ", words):
        pairs = re.findall(r'(\w+) = ("[^"]*"|\[[^\]]*\]|[^,]+)', words)
        done = [_key_written(lines, at, key, value) for key, value in pairs]
        return all(done)
    if fault.value and lines[at].count(fault.value) == 1 and _is_value(words):
        lines[at] = lines[at].replace(fault.value, words)
        return True
    return False


def _is_value(words: str) -> bool:
    return bool(re.fullmatch(r"\"[^\"]*\"|\[[^\]]*\]|true|false|[-+]?\d[\d./]*", words))


def _key_written(lines: list[str], at: int, key: str, value: str) -> bool:
    rows = [at] if re.search(rf"\b{key}\b", lines[at]) else []
    rows += [i for i, line in enumerate(lines) if re.match(rf"\s*{key}\s*=", line)]
    if not rows:
        return False
    old = rf"\b{key}(\s*=\s*)(\"[^\"]*\"|\[[^\]]*\]|[^,}}\s]+)"
    made = re.sub(old, lambda found: f"{key}{found[1]}{value}", lines[rows[0]], count=1)
    changed, lines[rows[0]] = made != lines[rows[0]], made
    return changed


def _insert(lines: list[str], heading: str, line: str) -> None:
    if not heading:
        lines.insert(0, line)
    elif heading in lines:
        lines.insert(lines.index(heading) + 1, line)
    else:
        lines += ["", heading, line]
