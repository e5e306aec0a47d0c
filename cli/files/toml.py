"""TOML files, with the place of every value.

Values come from the standard library; a syntax tree of the same text gives the lines, the
text as typed and what the parser does not tell: keys that stand twice, every broken line, and
what no lathe, wants or offers file holds.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import count, islice
from pathlib import Path
from typing import Any

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

from gearchest.cli.faults import MOST_TOLD, Fault, FaultsError
from gearchest.cli.files.document import Document, KeyPath, Spot
from gearchest.cli.files.limits import DEEPEST, LISTS, LONGEST_NUMBER, MOST_VALUES, too_many
from gearchest.cli.files.mending import Slip, mend
from gearchest.cli.files.reading import read_text

_ROUNDS = 6
"""A mended line can bring to light another that was hidden behind it; so many times."""

_SUSPECTS = 200
"""Lines looked at that could be mended."""

_OPEN = 50
"""Lines that a list goes on for at most."""

_TYPED = 300
"""Bytes kept of a value as typed; less is shown."""


def read_toml(path: Path) -> Document:
    """Read a TOML file; syntax errors and keys given twice come all at once."""
    return parse_toml(read_text(path), str(path))


def parse_toml(text: str, source: str) -> Document:
    """As `read_toml`, from text. Decimal numbers become `Decimal`, so nothing is rounded.

    Lines that are no TOML but can be mended are read as mended, and told by the document.
    """
    text = text.replace("\r\n", "\n")
    slips: dict[int, Slip] = {}
    for rounds in count():
        index = _Index(source, text)
        values, error = ({}, None) if index.broken or index.faults else _values(text)
        rows = [error[0]] if error else index.suspect
        found = _mendable(text, [row for row in rows if row not in slips], MOST_TOLD - len(slips))
        if not found or rounds == _ROUNDS:
            break
        slips |= {slip.line: slip for slip in found}
        text = _mended(text, found)
    lines = text.split("\n")
    told = tuple(_slip_fault(source, slip) for slip in slips.values())
    faults = [_syntax_fault(source, lines[row - 1], row) for row in index.broken] + index.faults
    if error and not faults:
        faults = [_syntax_fault(source, lines[error[0] - 1], *error)]
    if faults:
        raise FaultsError([*told, *faults])
    return Document(source, values, index.spots, slips=told)


def _values(text: str) -> tuple[dict[str, Any], tuple[int, str] | None]:
    """The values of a text; or where it is no TOML, and why."""
    try:
        return tomllib.loads(text, parse_float=Decimal), None
    except tomllib.TOMLDecodeError as error:
        return {}, _place(text, str(error))


def _mendable(text: str, rows: list[int], most: int) -> list[Slip]:
    """The slips of the first of these lines that can be mended."""
    lines = text.split("\n")
    quoted = _quoted_rows(lines)
    slips: list[Slip] = []
    for row in dict.fromkeys(at for each in rows for at in (_opener(lines, each), each)):
        if len(slips) < most and 0 < row <= len(lines) and row not in quoted:
            after = next((line for line in lines[row:] if line.strip()), "")
            slip = mend(row, lines[row - 1], after)
            slips += [slip] if slip else []
    return slips


def _quoted_rows(lines: list[str]) -> set[int]:
    """The lines of texts that go over several, the first and the last included."""
    rows: set[int] = set()
    sign = ""
    for row, line in enumerate(lines, start=1):
        within = bool(sign)
        for mark in _LONG_QUOTES.findall(line):
            sign = "" if mark == sign else sign or mark
        if within or sign:
            rows.add(row)
    return rows


_LONG_QUOTES = re.compile("\"\"\"|'''")


def _opener(lines: list[str], row: int) -> int:
    """The last line above with a list that it does not close, 0 where there is none: the fault
    of such a list comes to light only below it."""
    for above in range(row - 1, max(0, row - _OPEN), -1):
        line = lines[above - 1]
        if re.match(r"\s*[\w.-]+\s*=\s*\[", line):
            return above if line.count("[") > line.count("]") else 0
    return 0


def _mended(text: str, slips: list[Slip]) -> str:
    lines = text.split("\n")
    for slip in slips:
        lines[slip.line - 1] = slip.mended
    return "\n".join(lines)


def _slip_fault(source: str, slip: Slip) -> Fault:
    fix = f"write {slip.cure}"
    return Fault(source, slip.problem, line=slip.line, value=slip.typed[:_TYPED], fix=fix)


def _syntax_fault(source: str, typed: str, line: int, detail: str = "") -> Fault:
    """A fault of syntax on a line that nobody knows how to mend."""
    fix = 'write key = value; text stands in "quotes", lists in [brackets]'
    problem = f"this is not valid TOML: {detail}" if detail else "this is not valid TOML"
    return Fault(source, problem, line=line, value=typed[:_TYPED].strip(), fix=fix)


def _place(text: str, message: str) -> tuple[int, str]:
    """The parser's line, from 1, and its own words, "(at line 3, column 4)" taken apart."""
    problem, _, position = message.rpartition(" (at ")
    digits = position.removeprefix("line ").partition(",")[0]
    return (int(digits) if digits.isdigit() else text.count("\n") + 1), problem or message


class _Index:
    """Walks the syntax tree once, noting the spot of every value and what is wrong."""

    def __init__(self, source: str, text: str) -> None:
        self.source = source
        self.spots: dict[KeyPath, Spot] = {}
        self.faults: list[Fault] = []
        self.broken: list[int] = []  # lines that the grammar could not read on from
        self.suspect: list[int] = []  # lines it passed over
        self._tables: dict[KeyPath, Spot] = {}  # [headers], which may not stand twice
        self._counts: dict[KeyPath, int] = {}  # entries of each [[list of tables]] so far
        root = Parser(Language(tree_sitter_toml.language())).parse(text.encode()).root_node
        if root.has_error:
            nodes = list(_broken(root))
            self.broken = list(dict.fromkeys(map(_line, nodes)))
            every = (row for node in nodes for row in range(_line(node), node.end_point[0] + 2))
            self.suspect = list(dict.fromkeys(islice(every, _SUSPECTS)))
        for node in _children(root):
            if node.type == "pair":
                self._pair(node, ())
            elif node.type in ("table", "table_array_element"):
                self._table(node)

    def _table(self, node: Node) -> None:
        header = next((child for child in node.named_children if _is_key(child)), None)
        keys = _keys(header) if header else ()
        if not keys:
            return
        path = self._resolve(keys)
        spot = Spot(_line(node), _typed(node).partition("\n")[0].strip())
        if node.type == "table_array_element":
            number = self._counts.get(path, 0)
            self._counts[path] = number + 1
            self._note(path, spot)
            self._room(path, number, spot.line)
            path = (*path, number)
        elif path in self._tables:
            self._twice(path, self._tables[path], spot)
        else:
            self._tables[path] = spot
        if self._note(path, spot):
            for child in _children(node):
                if child.type == "pair":
                    self._pair(child, path)

    def _resolve(self, keys: KeyPath) -> KeyPath:
        """A header's path, with the latest entry of each list of tables it passes through."""
        path: KeyPath = ()
        for position, key in enumerate(keys):
            path = (*path, key)
            if path in self._counts and position < len(keys) - 1:
                path = (*path, self._counts[path] - 1)
        return path

    def _pair(self, node: Node, prefix: KeyPath) -> None:
        parts = [child for child in node.named_children if child.type != "comment"]
        if len(parts) < 2 or not _is_key(parts[0]):
            return
        path = (*prefix, *_keys(parts[0]))
        spot = Spot(_line(node), _typed(parts[-1]))
        if path in self.spots:
            self._twice(path, self.spots[path], spot)
        else:
            self._value(parts[-1], path, spot)

    def _value(self, node: Node, path: KeyPath, spot: Spot) -> None:
        if not self._note(path, spot):
            return
        if node.type == "inline_table":
            for child in _children(node):
                if child.type == "pair":
                    self._pair(child, path)
        elif node.type == "array":
            items = (child for child in _children(node) if child.type != "comment")
            for number, item in enumerate(child for child in items if child.is_named):
                line = _line(item)
                self._room(path, number, line)
                self._value(item, (*path, number), Spot(line, _typed(item)))
        elif node.type in ("integer", "float") and (problem := _unwieldy(node)):
            self.faults.append(self._fault(path, spot, problem, "check it, or round it"))

    def _note(self, path: KeyPath, spot: Spot) -> bool:
        """Note a spot, and that of the tables around it; False where it lies too deep."""
        if len(self.spots) > MOST_VALUES:
            problem, fix = too_many(MOST_VALUES, "values")
            raise FaultsError([*self.faults, Fault(self.source, problem, line=spot.line, fix=fix)])
        if len(path) > DEEPEST:
            problem, fix = "this is nested too deeply", "write it more plainly"
            self.faults.append(self._fault(path[:DEEPEST], spot, problem, fix))
            return False
        for depth in range(1, len(path) + 1):
            self.spots.setdefault(path[:depth], spot)
        return True

    def _room(self, path: KeyPath, number: int, line: int) -> None:
        """Refuse the entry of a list after the last it may have."""
        most, what = LISTS.get(
            tuple(key for key in path if isinstance(key, str)), (MOST_VALUES, "entries")
        )
        if number >= most:
            problem, fix = too_many(most, what)
            raise FaultsError([*self.faults, Fault(self.source, problem, line=line, fix=fix)])

    def _twice(self, path: KeyPath, first: Spot, second: Spot) -> None:
        fault = self._fault(path, second, "this stands twice", "keep one of the two")
        self.faults.append(replace(fault, also=((first.line, first.typed),)))

    def _fault(self, path: KeyPath, spot: Spot, problem: str, fix: str) -> Fault:
        where = Document(self.source, {}, {}).where(path)
        return Fault(self.source, problem, line=spot.line, where=where, value=spot.typed, fix=fix)


def _children(node: Node) -> Iterator[Node]:
    """One after the other: a list of a million nodes would take the memory."""
    cursor = node.walk()
    more = cursor.goto_first_child()
    while more:
        if cursor.node is not None:
            yield cursor.node
        more = cursor.goto_next_sibling()


def _broken(root: Node) -> Iterator[Node]:
    """The outermost nodes the grammar could not read."""
    waiting = [root]
    while waiting:
        node = waiting.pop()
        if node.type == "ERROR" or node.is_missing:
            yield node
        elif node.has_error:
            waiting += reversed(list(_children(node)))


def _is_key(node: Node) -> bool:
    return node.type in ("bare_key", "quoted_key", "dotted_key")


def _keys(node: Node) -> KeyPath:
    """The keys of a dotted key, from the last: that is how they are nested."""
    keys: list[str] = []
    while node.type == "dotted_key" and len(keys) <= DEEPEST:
        node, *last = (child for child in node.named_children if _is_key(child))
        keys += [_key(child) for child in reversed(last)]
    return (_key(node), *reversed(keys))


def _key(node: Node) -> str:
    text = node.text.decode(errors="replace") if node.text else ""
    if node.type != "quoted_key":
        return text
    try:
        (key,) = tomllib.loads(f"{text} = 0")
    except tomllib.TOMLDecodeError:
        return text[1:-1]
    return key


def _unwieldy(number: Node) -> str:
    """Why a number cannot be read; "" where it can."""
    length = number.end_byte - number.start_byte
    if length > LONGEST_NUMBER:
        return f"this number has {length:,} characters"
    if number.type == "float":
        try:
            Decimal(_typed(number).replace("_", ""))
        except ArithmeticError:
            return "this number is out of all proportion"
    return ""


def _line(node: Node) -> int:
    return int(node.start_point[0]) + 1


def _typed(node: Node) -> str:
    return node.text[:_TYPED].decode(errors="ignore") if node.text else ""
