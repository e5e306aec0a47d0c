"""Changes to a TOML file that leave all else in it as it is: order, comments, blank lines.

What a change makes of a file is read again by the reader of files: a change that would do anything
but what was asked is refused.
"""

from __future__ import annotations

import re
import tomllib
from copy import deepcopy
from decimal import Decimal
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, InlineTable, Item

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.document import KeyPath

TABLES_OF = frozenset({("want",), ("dividing",), ("gears", "special"), ("offer",)})
"""Lists of tables that stand under headings of their own, [[want]]; others stand in brackets."""


def with_value(text: str, path: KeyPath, literal: str | None, source: str) -> str:
    """The file with a value set, or taken out where `literal` is None. Tables around it are made
    where there are none; a list takes a new entry at its end; an entry left empty goes.

    `literal` is TOML. Raises `FaultsError` where the file cannot be changed so.
    """
    wanted = _plain(text, source)
    new = None if literal is None else _values(f"x = {literal}")["x"]
    if new is None and not _has(wanted, path):
        return text
    return _changed(text, path, literal, new, source)


def without_entry(text: str, path: KeyPath, source: str) -> str:
    """The file without an entry of a list, or a whole table."""
    if not _has(_plain(text, source), path):
        return text
    return _changed(text, path, None, None, source)


def _changed(text: str, path: KeyPath, literal: str | None, new: Any, source: str) -> str:
    try:
        wanted = _plain(text, source)
        _put(wanted, path, new)
        document = tomlkit.parse(text)
        if literal is not None:
            _put(document, path, tomlkit.value(literal))
        elif isinstance(holder := _at(document, path[:-1]), AoT):
            return _entry_struck(document, holder, int(path[-1]), wanted)
        else:
            _take(document, path)
        made = tomlkit.dumps(document)
        good = _values(made) == wanted
    except (TOMLKitError, tomllib.TOMLDecodeError, KeyError, IndexError, TypeError, ValueError):
        good = False
    if not good:
        raise FaultsError([
            Fault(source, "this cannot be changed here without changing more of the file",
                  where=".".join(map(str, path)), fix="change it in the file itself")
        ])  # fmt: skip
    return made if made.endswith("\n") or not made else made + "\n"


def _entry_struck(document: Any, holder: AoT, number: int, wanted: Any) -> str:
    """The file without an entry under a heading of its own; remarks on lines of their own stay,
    for those behind it mostly speak of the next."""
    entry = holder[number]
    for key in list(entry):
        del entry[key]
    entry[_STRUCK] = 1
    text: str = tomlkit.dumps(document)
    before, _, after = text.partition(f"{_STRUCK} = 1")
    heads = list(re.finditer(r"^[ \t]*\[\[[^\n]*\]\][ \t]*(#[^\n]*)?\r?\n", before, re.MULTILINE))
    remark = f"{heads[-1][1]}\n" if heads[-1][1] else ""
    before = before[: heads[-1].start()] + remark + before[heads[-1].end() :]
    made = before + re.sub(r"^[ \t]*\r?\n", "", after, count=1)
    if _values(made) != wanted:
        raise ValueError
    return made


_STRUCK = "struck_out_here"


def _at(here: Any, path: KeyPath) -> Any:
    for key in path:
        here = here[key]
    return here


def _put(here: Any, path: KeyPath, value: Any) -> None:
    """Set a value in a document, or in plain values, which `value` None takes out."""
    if value is None:
        _take(here, path)
        return
    for depth, key in enumerate(path[:-1], start=1):
        if isinstance(key, int):
            if key == len(here):
                here.append(_new_entry(here))
        elif key not in here:
            here[key] = _new_holder(here, path[:depth], path[depth])
        here = here[key]
    last = path[-1]
    if isinstance(last, int) and last == len(here):
        here.append(value)
    elif isinstance(here, tomlkit.container.Container | dict) or isinstance(last, int):
        old = here[last] if not isinstance(last, str) or last in here else None
        if isinstance(old, Array) and isinstance(value, Array):
            _refill(old, value)
        elif isinstance(here, InlineTable) and isinstance(last, str) and last not in here:
            value.trivia.indent = " " if len(here) else ""
            here.append(last, value)
        else:
            here[last] = value
    else:
        raise TypeError


def _refill(old: Array, new: Array) -> None:
    """Change the entries of a list one by one, so that remarks between them stay."""
    while len(old) > len(new):
        del old[len(old) - 1]
    for i, item in enumerate(list(new)):
        if i == len(old):
            old.append(item)
        elif old[i] != item:
            old[i] = item


def _new_holder(here: Any, path: KeyPath, following: str | int) -> Any:
    """What a key holds that is not there yet: a table, or a list of them."""
    if not isinstance(here, Item | tomlkit.container.Container):
        return [] if isinstance(following, int) else {}
    if isinstance(following, str):
        return tomlkit.table() if len(path) == 1 else tomlkit.inline_table()
    names = tuple(key for key in path if isinstance(key, str))
    return tomlkit.aot() if names in TABLES_OF else tomlkit.array()


def _new_entry(here: Any) -> Any:
    if isinstance(here, AoT):
        table = tomlkit.table()
        table.trivia.indent = "\n"
        return table
    return tomlkit.inline_table() if isinstance(here, Array) else {}


def _take(here: Any, path: KeyPath) -> None:
    """Take out a value, and the entry of a list that held nothing else."""
    around: list[tuple[Any, str | int]] = []
    for key in path:
        around.append((here, key))
        here = here[key]
    holder, key = around.pop()
    del holder[key]
    while (
        around and not len(holder) and (isinstance(holder, list) or isinstance(around[-1][1], int))
    ):
        holder, key = around.pop()
        del holder[key]


def _has(values: Any, path: KeyPath) -> bool:
    for key in path:
        try:
            values = values[key]
        except (KeyError, IndexError, TypeError):
            return False
    return True


def _plain(text: str, source: str) -> Any:
    try:
        return deepcopy(_values(text))
    except tomllib.TOMLDecodeError as error:
        raise FaultsError([
            Fault(source, f"some of this file is no TOML yet: {error}",
                  fix="mend the lines that are told first")
        ]) from None  # fmt: skip


def _values(text: str) -> Any:
    return tomllib.loads(text.replace("\r\n", "\n"), parse_float=Decimal)
