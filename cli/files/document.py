"""A file's values, and where in the file each of them stands.

TOML values come from the standard library; a syntax tree of the same text gives the lines,
the text as typed and the keys that stand twice, which the parser cannot.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from pathlib import Path
from typing import Any

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

from gearchest.cli.faults import Fault, FaultsError, shorten
from gearchest.cli.files.reading import read_text

KeyPath = tuple[str | int, ...]
"""Keys and list positions from the top of the file down to a value."""


@dataclass(frozen=True)
class Spot:
    """Where a value stands: its line (from 1; 0 where there are none), its text as typed."""

    line: int
    typed: str


class Style(Enum):
    """What the places in a document are called."""

    KEYS = "key"
    TABLE = "column"
    COMMAND = "option"


@dataclass(frozen=True)
class Document:
    """`source` is the file's name for messages."""

    source: str
    values: dict[str, Any]
    spots: dict[KeyPath, Spot]
    style: Style = Style.KEYS

    def spot(self, path: KeyPath) -> Spot | None:
        """The spot of a value, or of the nearest thing around it."""
        while path and path not in self.spots:
            path = path[:-1]
        return self.spots.get(path)

    def value(self, *path: str | int) -> Any:
        """The value at `path`, None where there is none."""
        here: Any = self.values
        for key in path:
            try:
                here = here[key]
            except (KeyError, IndexError, TypeError):
                return None
        return here

    def where(self, path: KeyPath) -> str:
        """A path in words: "gears.special[1].teeth", "column teeth", "--tolerance"."""
        if self.style is Style.TABLE:
            return f"column {path[-1]}" if isinstance(path[-1], str) else ""
        if self.style is Style.COMMAND:
            return "PITCH" if path[-1] == "pitch" else f"--{path[-1]}"
        text = ""
        for key in path:
            text += f"[{key + 1}]" if isinstance(key, int) else f".{key}"
        return text.removeprefix(".")

    def fault(
        self, path: KeyPath, problem: str, *, allowed: str = "", fix: str = "",
        also: tuple[KeyPath, ...] = (),
    ) -> Fault:  # fmt: skip
        """A fault at `path`; `also` are the paths it clashes with."""
        spot = self.spot(path)
        others = [(other, self.spot(other)) for other in also]
        return Fault(
            self.source,
            problem,
            line=(spot.line or None) if spot else None,
            where=self.where(path),
            value=spot.typed if spot and path in self.spots else "",
            allowed=allowed,
            fix=fix,
            also=tuple(
                (there.line, f"{self.where(other)} = {there.typed}".removeprefix(" = "))
                for other, there in others
                if there is not None
            ),
        )


def read_toml(path: Path) -> Document:
    """Read a TOML file; syntax errors and keys given twice come all at once."""
    return parse_toml(read_text(path), str(path))


def parse_toml(text: str, source: str) -> Document:
    """As `read_toml`, from text. Decimal numbers become `Decimal`, so nothing is rounded."""
    try:
        index = _Index(source, text)
        values = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        faults = index.broken + index.twice
        raise FaultsError(faults or [_from_tomllib(source, text, str(error))]) from None
    except (RecursionError, ValueError, ArithmeticError):
        problem = "this is nested too deeply or holds a number too long to be read"
        raise FaultsError([Fault(source, problem, fix="write it more plainly")]) from None
    return Document(source, values, index.spots)


_DECIMAL_COMMA = re.compile(r"=\s*([-+]?\d+),(\d+)\s*(?:#.*)?$")
_BARE_TEXT = re.compile(r"^\s*([\w.-]+)\s*=\s*([^\s\"'\[{#][^\"'\[\]{}=#,]*)")


def _syntax_fault(source: str, text: str, line: int, detail: str = "") -> Fault:
    """A fault of syntax on a line, with the fix for the slips people make most."""
    typed = text.splitlines()[line - 1].strip() if line <= len(text.splitlines()) else ""
    if comma := _DECIMAL_COMMA.search(typed):
        fix = f"write {comma[1]}.{comma[2]} with a point, or in quotes"
    elif bare := _BARE_TEXT.match(typed):
        fix = f'text stands in quotes: {bare[1]} = "{bare[2].strip()}"'
    else:
        fix = 'write key = value; text stands in "quotes", lists in [brackets]'
    problem = f"this is not valid TOML: {detail}" if detail else "this is not valid TOML"
    return Fault(source, problem, line=line, value=typed, fix=fix)


def _from_tomllib(source: str, text: str, message: str) -> Fault:
    """The parser's own words, its "(at line 3, column 4)" taken apart."""
    problem, _, position = message.rpartition(" (at ")
    digits = position.removeprefix("line ").partition(",")[0]
    line = int(digits) if digits.isdigit() else max(1, len(text.splitlines()))
    return _syntax_fault(source, text, line, problem or message)


class _Index:
    """Walks the syntax tree once, noting the spot of every value."""

    def __init__(self, source: str, text: str) -> None:
        self.source = source
        self.spots: dict[KeyPath, Spot] = {}
        self.twice: list[Fault] = []
        self._tables: dict[KeyPath, Spot] = {}  # [headers], which may not stand twice
        self._counts: dict[KeyPath, int] = {}  # entries of each [[list of tables]] so far
        root = Parser(Language(tree_sitter_toml.language())).parse(text.encode()).root_node
        lines = dict.fromkeys(_line(node) for node in _broken(root))
        self.broken = [_syntax_fault(source, text, line) for line in lines]
        for node in root.named_children:
            if node.type == "pair":
                self._pair(node, ())
            elif node.type in ("table", "table_array_element"):
                self._table(node)

    def _table(self, node: Node) -> None:
        header = next((child for child in node.named_children if _is_key(child)), None)
        if header is None:
            return
        path = self._resolve(_keys(header))
        spot = Spot(_line(node), _text(node).partition("\n")[0].strip())
        if node.type == "table_array_element":
            number = self._counts.get(path, 0)
            self._counts[path] = number + 1
            self.spots.setdefault(path, spot)
            path = (*path, number)
        elif path in self._tables:
            self._twice(path, self._tables[path], spot)
        else:
            self._tables[path] = spot
        self.spots.setdefault(path, spot)
        for child in node.named_children:
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
        spot = Spot(_line(node), _text(parts[-1]))
        if path in self.spots:
            self._twice(path, self.spots[path], spot)
            return
        for depth in range(len(prefix) + 1, len(path)):
            self.spots.setdefault(path[:depth], spot)
        self._value(parts[-1], path, spot)

    def _value(self, node: Node, path: KeyPath, spot: Spot) -> None:
        self.spots[path] = spot
        if node.type == "inline_table":
            for child in node.named_children:
                if child.type == "pair":
                    self._pair(child, path)
        elif node.type == "array":
            items = [child for child in node.named_children if child.type != "comment"]
            for number, item in enumerate(items):
                self._value(item, (*path, number), Spot(_line(item), _text(item)))

    def _twice(self, path: KeyPath, first: Spot, second: Spot) -> None:
        where = Document(self.source, {}, {}).where(path)
        self.twice.append(
            Fault(self.source, "this stands twice", line=second.line, where=where,
                  value=second.typed, fix="keep one of the two",
                  also=((first.line, shorten(first.typed)),))
        )  # fmt: skip


def _broken(node: Node) -> Iterator[Node]:
    """The outermost nodes the grammar could not read."""
    if node.type == "ERROR" or node.is_missing:
        yield node
    elif node.has_error:
        for child in node.children:
            yield from _broken(child)


def _is_key(node: Node) -> bool:
    return node.type in ("bare_key", "quoted_key", "dotted_key")


def _keys(node: Node) -> KeyPath:
    if node.type == "dotted_key":
        return tuple(key for child in node.named_children for key in _keys(child))
    text = _text(node)
    if node.type == "quoted_key":
        try:
            (text,) = tomllib.loads(f"{text} = 0")
        except tomllib.TOMLDecodeError:
            text = text[1:-1]
    return (text,)


def _line(node: Node) -> int:
    return int(node.start_point[0]) + 1


def _text(node: Node) -> str:
    return node.text.decode(errors="replace") if node.text else ""
