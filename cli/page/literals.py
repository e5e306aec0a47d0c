"""What is typed into a field, as TOML writes it, and back: text stays as it was typed."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import tomlkit

_NUMBER = re.compile(r"[-+]?(?:0|[1-9]\d{0,15})(?:\.\d{1,15})?")
_WHOLE = re.compile(r"[1-9]\d{0,3}")


def quoted(text: str) -> str:
    """Text in quotes."""
    return tomlkit.item(text).as_string()


def _text(typed: str) -> str:
    return quoted(typed)


def _number(typed: str) -> str:
    return typed if _NUMBER.fullmatch(typed) else quoted(typed)


def _yes(typed: str) -> str:
    return typed if typed in ("true", "false") else quoted(typed)


def _texts(typed: str) -> str:
    parts = [part.strip() for part in typed.split(",") if part.strip()]
    return quoted(parts[0]) if len(parts) == 1 else f"[{', '.join(map(quoted, parts))}]"


def _numbers(typed: str) -> str:
    """A list of whole numbers; else as it is, for the reader to judge."""
    parts = re.split(r"[\s,;]+", typed.strip(" ,;"))
    if all(map(_WHOLE.fullmatch, parts)):
        return f"[{', '.join(parts)}]"
    return quoted(typed)


def _groups(typed: str) -> str:
    """Lists of whole numbers, "15 16 17; 18 19": parted by semicolons."""
    made = [_numbers(part) for part in typed.split(";") if part.strip(" ,")]
    if any(not part.startswith("[") for part in made):
        return quoted(typed)
    return f"[{', '.join(made)}]"


def _ends(typed: str) -> str:
    """The two ends of a range, "-75 to 75"."""
    number = r"([-+−]?\d+(?:\.\d+)?)\s*°?"
    found = re.fullmatch(rf"\s*{number}\s*(?:to|,|;|\.\.+|/)\s*{number}\s*", typed)
    if found:
        first, last = (end.replace("−", "-").removeprefix("+") for end in found.groups())
        return f"[{first}, {last}]"
    return quoted(typed)


def _named(typed: str) -> str:
    """Pairs of a name and a value, "A 1, B 1/2"."""
    pairs = []
    for part in typed.split(","):
        found = re.fullmatch(r"\s*(\S+?)\s*(?:=|:|\s)\s*(\S.*?)\s*", part)
        if found is None:
            return quoted(typed)
        pairs.append(f"{quoted(found[1])} = {quoted(found[2])}")
    return "{ " + ", ".join(pairs) + " }"


_WRITTEN: dict[str, Callable[[str], str]] = {
    "text": _text,
    "number": _number,
    "yes": _yes,
    "texts": _texts,
    "gears": _numbers,
    "numbers": _numbers,
    "groups": _groups,
    "ends": _ends,
    "named": _named,
}

KINDS = tuple(_WRITTEN)
"""Kinds of fields."""


def literal(kind: str, typed: str) -> str | None:
    """What is typed as TOML; None where the field is empty."""
    plain = " ".join(typed.split()) if kind != "text" else typed.strip()
    return _WRITTEN[kind](plain) if plain else None


def shown(kind: str, value: Any) -> str:
    """A value of a file as the field shows it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        if kind == "groups":
            return "; ".join(shown("numbers", each) for each in value)
        return (" to " if kind == "ends" else ", ").join(shown("text", each) for each in value)
    if isinstance(value, dict):
        return ", ".join(f"{key} {shown('text', each)}" for key, each in value.items())
    return str(value)
