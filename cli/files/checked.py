"""A document against the tables it may hold: every fault at once, in the file's own terms."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from gearchest.cli.faults import LONGEST_VALUE, Fault, FaultsError
from gearchest.cli.files.document import Document, KeyPath, Reading, Style
from gearchest.cli.files.keys import as_meant, known_keys
from gearchest.cli.files.lengths import unit_of
from gearchest.cli.files.limits import too_many
from gearchest.cli.marks import MARKS, spelt_out
from gearchest.optimizer.domain.notation import NotationError

Model = TypeVar("Model", bound=BaseModel)


Rule = Callable[[Document], Iterable[Fault]]
"""What a document must keep beyond the tables it may hold, found from its raw values."""


def checked(document: Document, model: type[Model], more: Iterable[Fault], *rules: Rule) -> Model:
    """The document as `model`; raises all its faults together with `more`."""
    _, result, faults = as_far_as_readable(document, model, more, *rules)
    if faults or result is None:
        raise FaultsError(faults)
    return result


def as_far_as_readable(
    document: Document, model: type[Model], more: Iterable[Fault], *rules: Rule
) -> tuple[Document, Model | None, list[Fault]]:
    """The document with its keys as they were meant; all its faults together with `more`; and the
    document as `model` where these are none but what was mended.

    Here is the gate through which all text of files comes: where some of it is no text,
    nothing else is looked at.
    """
    if marked := _marked(document):
        return document, None, [*more, *marked]
    document, strange = as_meant(document, model)
    faults = [*more, *(fault for rule in rules for fault in rule(document))]
    result = None
    reading = Reading(unit_of(document), document.patience)
    try:
        result = model.model_validate(document.values, context=reading)
    except ValidationError as error:
        told = {(fault.line, fault.where) for fault in faults}
        found = [_fault(document, model, detail) for detail in _first_causes(error)]
        faults += [fault for fault in found if (fault.line, fault.where) not in told]
    return document, None if faults else result, _as_typed(document, [*strange, *faults])


def _as_typed(document: Document, faults: list[Fault]) -> list[Fault]:
    """The faults with the slips of lines that were mended before they were read. Of a line with
    both, the fault is told as it was typed, with a cure that mends all of it."""
    slips = {slip.line: slip for slip in document.slips}
    told: list[Fault] = []
    for fault in faults:
        slip = slips.get(fault.line)
        if slip and not fault.fix.startswith("move "):
            whole = _whole_line(slip, fault)
            fault = replace(fault, value=slip.value, fix=f"write {whole}" if whole else fault.fix)
            del slips[fault.line]
        told.append(fault)
    return [*told, *slips.values()]


def _whole_line(slip: Fault, fault: Fault) -> str:
    """The line of a slip as both cures make it; "" where the fault's is not in such words."""
    line = slip.fix.removeprefix("write ")
    if meant := re.fullmatch(r'did you mean "(\w+)"\?', fault.fix):
        return re.sub(r"^[^=]+?(?=\s*=)", meant[1], line)
    value = re.fullmatch(r"write ([\"\[{\d-].*)", fault.fix)
    return line.replace(fault.value, value[1], 1) if value and fault.value in line else ""


def _marked(document: Document) -> list[Fault]:
    """Every text and key with characters that are no text."""
    faults: list[Fault] = []
    waiting: list[tuple[KeyPath, Any]] = [((), document.values)]
    while waiting:
        path, value = waiting.pop()
        if isinstance(value, dict):
            faults += [_no_text(document, (*path, key), key) for key in value if MARKS.search(key)]
            waiting += [((*path, key), child) for key, child in value.items()]
        elif isinstance(value, list):
            waiting += [((*path, number), child) for number, child in enumerate(value)]
        elif isinstance(value, str) and MARKS.search(value.translate(_WHITE)):
            faults.append(_no_text(document, path, value))
    return faults


_WHITE = str.maketrans("\t\n\r", "   ")


def _no_text(document: Document, path: KeyPath, text: str) -> Fault:
    (mark, *_) = MARKS.findall(text.translate(_WHITE)) or MARKS.findall(text)
    return document.fault(
        path,
        f"this holds a character that is no text: {spelt_out(mark)}",
        fix="take it out: it may not be visible, so type the text anew",
    )


def _first_causes(error: ValidationError) -> list[ErrorDetails]:
    """The errors but for lists found too short only because their entries are wrong."""
    details = error.errors(include_url=False)
    inside = {detail["loc"][:end] for detail in details for end in range(len(detail["loc"]))}
    return [d for d in details if d["type"] != "too_short" or d["loc"] not in inside]


def _fault(document: Document, model: type[BaseModel], detail: ErrorDetails) -> Fault:
    path: KeyPath = detail["loc"]
    if path[-1:] == ("[key]",):  # the name of an entry, not its value
        path = path[:-1]
    kind = detail["type"]
    if kind == "extra_forbidden":
        return _unknown(document, model, path)
    if kind == "missing":
        problem = f'the {document.style.value} "{path[-1]}" is missing'
        if document.style is Style.TABLE:
            problem = "this cell is empty"
        sample = _SAMPLES.get(path[-1], "") if document.style is Style.KEYS else ""
        return document.fault(path, problem, fix=sample or "fill it in")
    error = detail.get("ctx", {}).get("error")
    if isinstance(error, NotationError):
        return document.fault(path, error.problem, allowed=error.allowed, fix=error.fix)
    if kind == "too_long":
        problem, cure = too_many(detail["ctx"]["max_length"], "entries")
        return document.fault(path, problem, fix=cure)
    typed = document.typed(path)
    fix = f"write [{typed}]" if kind in _LISTS and len(typed) < LONGEST_VALUE else _FIXES.get(kind)
    return document.fault(path, _STRUCTURE.get(kind, detail["msg"]), fix=fix or "")


_LISTS = {"list_type", "tuple_type"}

_SAMPLES: dict[str | int, str] = {
    "name": 'write name = "My lathe" at the top of the file',
    "leadscrew": 'write [leadscrew] and below it pitch = "8 tpi", or what yours has',
    "pitch": 'write pitch = "8 tpi", or what it is',
    "gears": 'write [gears] and below it module = 1.0 and owned = "20 20 30", or what you have',
    "want": 'write [[want]] and below it pitch = "M6", or what you want to cut',
    "owned": 'write owned = "20 20 30", every gear there is',
}
"""Where a key is missing that a file must have."""

_STRUCTURE = {
    "model_type": "this must be a table of keys and values",
    "dict_type": "this must be a table of keys and values",
    "list_type": "this must be a list",
    "tuple_type": "this must be a list",
    "too_short": "this list is too short",
}
_FIXES = {
    "model_type": "write { key = value }",
    "dict_type": "write { key = value }",
    "list_type": "write it in [brackets]",
    "tuple_type": "write it in [brackets]",
}


def _unknown(document: Document, model: type[BaseModel], path: KeyPath) -> Fault:
    return document.fault(
        path,
        f'there is no {document.style.value} "{path[-1]}" here',
        allowed=", ".join(sorted(_keys_at(model, path[:-1]))),
        fix="take it out",
    )


def _keys_at(model: type[BaseModel], path: KeyPath) -> set[str]:
    """The keys that the table at `path` may hold."""
    here: type[BaseModel] | None = model
    for key in path:
        if isinstance(key, str) and here is not None:
            here = known_keys(here).get(key)
    return set(known_keys(here)) if here else set()
