"""Lathes, wants and offers as JSON: the same keys as in files, read by the same rules."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, NoReturn

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.document import Document, KeyPath, Spot
from gearchest.cli.files.limits import DEEPEST, LISTS, LONGEST_NUMBER, MOST_VALUES, too_many

SOURCE = "request"


@dataclass(frozen=True)
class JsonDocument(Document):
    """A part of a request; places are told as paths from its top, counted from 0 as programs
    do. `top`: where it stands ("lathe", "lathes[1]"), or which list it is ("wants")."""

    top: str = ""

    def where(self, path: KeyPath) -> str:
        """A path from the top of the request: "lathe.gears.owned[3]", "wants[0].pitch"."""
        keys = path[1:] if self.top in _LISTED.values() else path
        return self.top + "".join(f"[{k}]" if isinstance(k, int) else f".{k}" for k in keys)


_LISTED = {"want": "wants", "offer": "offers"}


def parse_json(text: str | bytes) -> dict[str, Any]:
    """The object of a request: decimals exact, empty values left out. Raises `FaultsError`."""
    try:
        values = json.loads(
            text, parse_float=Decimal, parse_int=_whole, parse_constant=_refuse_word,
            object_pairs_hook=_object,
        )  # fmt: skip
        json.dumps(values, ensure_ascii=False, default=str).encode()
    except UnicodeEncodeError:
        raise _refused("a text holds half a character, as \\ud800", "send it whole") from None
    except (ValueError, RecursionError) as error:
        raise _refused(
            f"this is not JSON: {error}", "send an object, as openapi.json says"
        ) from None
    if not isinstance(values, dict):
        raise _refused("a request is an object", 'send {"lathe": {...}, ...}')
    return values


def table_document(values: Any, top: str) -> JsonDocument:
    """A table such as a lathe. Raises `FaultsError` where it holds too much."""
    if not isinstance(values, dict):
        raise _refused("this must be a table of keys and values", "send an object", top)
    return _document(values, top)


def list_document(values: Any, key: str) -> JsonDocument:
    """A list of tables, `key` as the file calls an entry ("want"). Raises as above."""
    top = _LISTED[key]
    if not isinstance(values, list):
        raise _refused("this must be a list", "send [...]", top)
    return _document({key: values}, top)


def _document(values: dict[str, Any], top: str) -> JsonDocument:
    document = JsonDocument(SOURCE, values, {}, top=top)
    waiting: list[tuple[KeyPath, Any]] = [((), values)]
    while waiting:
        path, value = waiting.pop()
        document.spots[path] = Spot(0, value if isinstance(value, str) else _shown(value))
        if len(document.spots) > MOST_VALUES:
            raise FaultsError([_too_many(document, path, MOST_VALUES, "values")])
        if len(path) > DEEPEST:
            raise FaultsError([document.fault(path, "this is nested too deeply",
                                              fix="write it more plainly")])  # fmt: skip
        if isinstance(value, list):
            kind = tuple(key for key in path if isinstance(key, str))
            most, what = LISTS.get(kind, (MOST_VALUES, "entries"))
            if len(value) > most:
                raise FaultsError([_too_many(document, path, most, what)])
        waiting += [((*path, key), each) for key, each in _inside(value)]
    return document


def _inside(value: Any) -> Iterable[tuple[str | int, Any]]:
    if isinstance(value, dict):
        return value.items()
    return enumerate(value) if isinstance(value, list) else ()


def _too_many(document: Document, path: KeyPath, most: int, what: str) -> Fault:
    problem, fix = too_many(most, what)
    return document.fault(path, problem, fix=fix)


def _shown(value: Any) -> str:
    """Short of what is a table or long: no more than that is told of a value."""
    if isinstance(value, dict):
        return "{...}"
    if isinstance(value, list):
        return f"[{', '.join(_shown(each) for each in value[:20])}]"
    return str(value) if isinstance(value, Decimal) else json.dumps(value)


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise ValueError(f'the key "{key[:60]}" stands twice')
        if value is not None:
            found[key] = value
    return found


def _whole(figures: str) -> int:
    if len(figures) > LONGEST_NUMBER:
        raise ValueError(f"a number has {len(figures)} figures")
    return int(figures)


def _refuse_word(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number")


def _refused(problem: str, fix: str, where: str = "") -> FaultsError:
    return FaultsError([Fault(SOURCE, problem, where=where, fix=fix)])
