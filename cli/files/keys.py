"""Keys that no table has, taken for those that were meant.

A key that is near one its table has, or that stands in another table, is a fault; it is read as
what was meant all the same, so that whatever else is wrong is found in the same round.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache, lru_cache
from typing import Any, get_args, get_origin

from pydantic import BaseModel

from gearchest.cli.faults import LONGEST_VALUE, MOST_TOLD, Fault, nearest
from gearchest.cli.files.document import Document, KeyPath

_Model = type[BaseModel]

OTHER_WORDS = {
    "arm": "banjo",
    "quadrant": "banjo",
    "change_gears": "gears",
    "changewheels": "gears",
    "wheels": "gears",
    "have": "owned",
    "list": "owned",
    "centre_distance": "axis_distance",
    "center_distance": "axis_distance",
    "shaft_distance": "axis_distance",
    "cover": "largest_tip_diameter",
    "largest_gear": "largest_tip_diameter",
    "max_diameter": "largest_tip_diameter",
    "width": "face_width",
    "tumbler": "reversing",
    "slowest_rpm": "lowest_rpm",
    "size": "pitch",
    "thread": "pitch",
    "importance": "weight",
}
"""What people call some keys."""


@cache
def known_keys(model: _Model) -> dict[str, _Model | None]:
    """The keys of a table, each with the kind of table it holds, if it holds tables."""
    return {
        field.alias or name: _table_in(field.annotation)
        for name, field in model.model_fields.items()
    }


def as_meant(document: Document, model: _Model) -> tuple[Document, list[Fault]]:
    """The document with the keys that were meant, and a fault for each that was not written."""
    faults: list[Fault] = []
    for path, key, target in _meant(document, model):
        near = target[:-1] == path
        home = f"below [{target[0]}]" if target[1:] else "to the top of the file"
        for place in _places(document, (*path, key)):
            faults.append(
                document.fault(
                    place,
                    f'there is no {document.style.value} "{key}" here',
                    fix=f'did you mean "{target[-1]}"?' if near else f"move it {home}",
                )
            )
        document = _moved(document, (*path, key), target)
        if len(faults) >= MOST_TOLD:
            break
    return document, faults


def _places(document: Document, path: KeyPath) -> Iterator[KeyPath]:
    """Where a key stands: more than once if it heads several tables."""
    entries = document.value(*path)
    headed = [
        (*path, i)
        for i in range(len(entries) if isinstance(entries, list) else 0)
        if document.typed((*path, i)).startswith("[[")
    ]
    yield from headed[:MOST_TOLD] or [path]


def _meant(document: Document, model: _Model) -> Iterator[tuple[KeyPath, str, KeyPath]]:
    """(table, key, where it belongs) of every key that is no table's but near one."""
    waiting: list[tuple[KeyPath, Any, _Model]] = [((), document.values, model)]
    while waiting:
        path, table, kind = waiting.pop(0)
        known = known_keys(kind)
        if isinstance(table, list):
            waiting += [((*path, i), entry, kind) for i, entry in enumerate(table)]
            continue
        if not isinstance(table, dict):
            continue
        for key, value in table.items():
            target = (*path, key) if key in known else _target(document, model, path, key, known)
            if target is None:
                continue
            if target != (*path, key):
                yield path, key, target
            inside = known.get(str(target[-1])) if target[:-1] == path else None
            if inside is not None:
                waiting.append((target, value, inside))


def _target(
    document: Document, model: _Model, path: KeyPath, key: str, known: dict[str, _Model | None]
) -> KeyPath | None:
    """Where a key that its table does not have belongs; None where nothing is near."""
    homes: list[KeyPath] = [(key,)] if path and known_keys(model).get(key, model) is None else []
    homes += [
        (name, key)
        for name, table in _tables(model)
        if key in known_keys(table) and isinstance(document.value(name), (dict, type(None)))
    ]
    if len(homes) == 1 and path != homes[0][:-1] and document.value(*homes[0]) is None:
        return homes[0]
    near = near_key(key, known)
    if near is None or document.value(*path, near) is not None:
        return None
    return (*path, near) if _suits(document.value(*path, key), known[near]) else None


@cache
def _tables(model: _Model) -> tuple[tuple[str, _Model], ...]:
    """The tables of a file that there is one of, and what each is."""
    found = ((name, _table_in(field.annotation, deep=False))
             for name, field in model.model_fields.items())  # fmt: skip
    return tuple((name, table) for name, table in found if table)


def _suits(value: Any, table: _Model | None) -> bool:
    """Whether a value can stand under a key that holds such tables, or none."""
    first = value[0] if isinstance(value, list) and value else value
    if table is None or not isinstance(first, dict):
        return table is None and not isinstance(first, dict)
    known = known_keys(table)
    return not first or any(key in known or near_key(key, known) for key in first)


def near_key(word: str, known: dict[str, Any]) -> str | None:
    """The key that was meant by a word: spelt a little otherwise, short for it, or another word
    for it."""
    plain = word.casefold().replace("-", "_").replace(" ", "_")
    bare = {key.replace("_", ""): key for key in known}
    if found := bare.get(plain.replace("_", "")):
        return found
    if (other := OTHER_WORDS.get(plain)) in known:
        return other
    for alike in (
        [key for key in known if len(plain) > 1 and key.startswith(plain)],
        [key for key in known if len(key) > 3 and plain.startswith(key)],
        [key for key in known if plain in key.split("_")],
    ):
        if len(alike) == 1:
            return alike[0]
    return _nearest(plain[:LONGEST_VALUE], tuple(known))


@lru_cache(4096)
def _nearest(word: str, known: tuple[str, ...]) -> str | None:
    """Kept, for the page reads a file anew for each cure of it that it tries."""
    return nearest(word, known)


def _table_in(annotation: Any, *, deep: bool = True) -> _Model | None:
    """The table type inside an annotation such as `Banjo | None`; if `deep`, also inside one such
    as `tuple[Slot, ...] | None`."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) is tuple and not deep:
        return None
    for part in get_args(annotation):
        if (found := _table_in(part, deep=deep)) is not None:
            return found
    return None


def _moved(document: Document, old: KeyPath, new: KeyPath) -> Document:
    """The document with the value of one key under another."""
    values = _without(document.values, old)
    values = _with(values, new, document.value(*old))
    spots = {
        (*new, *path[len(old) :]) if path[: len(old)] == old else path: spot
        for path, spot in document.spots.items()
    }
    return replace(document, values=values, spots=spots)


def _without(values: Any, path: KeyPath) -> Any:
    first, *rest = path
    if not rest:
        return {key: value for key, value in values.items() if key != first}
    if isinstance(values, list):
        return [_without(v, tuple(rest)) if i == first else v for i, v in enumerate(values)]
    return {k: _without(v, tuple(rest)) if k == first else v for k, v in values.items()}


def _with(values: Any, path: KeyPath, value: Any) -> Any:
    first, *rest = path
    if not rest:
        return {**values, first: value}
    if isinstance(values, list):
        return [_with(v, tuple(rest), value) if i == first else v for i, v in enumerate(values)]
    return {**values, first: _with(values.get(first, {}), tuple(rest), value)}
