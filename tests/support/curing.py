"""Cures applied to a file word for word, as somebody does who reads no more than the cure."""

from __future__ import annotations

import re

from gearchest.cli.faults import Fault


def cured(text: str, faults: tuple[Fault, ...], meant: str = "") -> str:
    """The text with the cure of every fault applied, from the last line up. Where a cure leaves
    a choice, the one that holds `meant` is taken, else the first."""
    lines = text.replace("\r\n", "\n").split("\n")
    moved: list[tuple[str, str]] = []
    for fault in sorted(faults, key=lambda fault: -(fault.line or 0)):
        _apply(lines, fault, meant, moved)
    for place, line in reversed(moved):
        _insert(lines, place, line)
    return "\n".join(lines)


def _apply(lines: list[str], fault: Fault, meant: str, moved: list[tuple[str, str]]) -> None:
    at, fix = (fault.line or 1) - 1, fault.fix
    key = fault.where.rpartition(".")[2].partition("[")[0]
    if fault.where.startswith("column"):
        key = fault.value
    if found := re.fullmatch(r'did you mean "(.+)"\?', fix):
        lines[at] = re.sub(rf"\b{re.escape(key)}\b", found[1], lines[at], count=1)
    elif found := re.fullmatch(r"move it (?:below (\[\w+\])|to the top of the file)", fix):
        moved.append((found[1] or "", lines.pop(at)))
    elif fix.startswith("keep one of the two"):
        del lines[at]
    elif found := re.search(r"take (\w+ = \S+) out here", fix):
        del lines[next(i for i, line in enumerate(lines) if line.strip() == found[1])]
    elif fix.startswith("write "):
        _write(lines, at, fault, fix.removeprefix("write "), meant)
    else:
        raise AssertionError(f"nobody can apply this: {fault}")


def _write(lines: list[str], at: int, fault: Fault, fix: str, meant: str) -> None:
    first, *others = re.split(r",? or (?=\S+ = |\"|units)", fix)
    told = next((each for each in (first, *others) if meant and meant in each), first)
    told = re.sub(r",? (?:whichever is meant|for .* gears.*|if it swings.*)$", "", told)
    if top := re.fullmatch(r"(.+) at the top of the file", told):
        lines.insert(0, top[1])
    elif fault.value == lines[at].partition(" #")[0].strip():
        lines[at] = told
    elif re.match(r"\w+ = ", told):
        for key, value in re.findall(r'(\w+) = ("[^"]*"|[^,]+)', told):
            row = at if re.search(rf"\b{key}\b", lines[at]) else _row_of(lines, key)
            old = rf"\b{key}(\s*=\s*)(\"[^\"]*\"|[^,}}\s]+)"
            lines[row] = re.sub(old, rf"{key}\g<1>{value}", lines[row])
    else:
        assert fault.value in lines[at], fault
        lines[at] = lines[at].replace(fault.value, told, 1)


def _row_of(lines: list[str], key: str) -> int:
    return next(i for i, line in enumerate(lines) if re.match(rf"\s*{key}\s*=", line))


def _insert(lines: list[str], place: str, line: str) -> None:
    if not place:
        lines.insert(0, line)
    elif place in lines:
        lines.insert(lines.index(place) + 1, line)
    else:
        lines += [place, line]
