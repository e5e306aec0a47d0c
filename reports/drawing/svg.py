"""Writing SVG: numbers short, text escaped."""

from __future__ import annotations

import re
from functools import cache

from markupsafe import Markup, escape

_SPECIAL = re.compile("[&<>\"']")


def short(value: float, places: int = 1) -> str:
    """A coordinate in as few characters as its decimals need."""
    text = f"{value:.{places}f}"
    if places:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def run(*values: float, places: int = 1) -> str:
    """Coordinates in a row, as paths and view boxes take them."""
    return listed(*(short(value, places) for value in values))


def listed(*figures: str) -> str:
    """Coordinates written already: a minus sign parts two of them as well as a space does."""
    return " ".join(figures).replace(" -", "-")


def element(name: str, content: Markup | str = "", **attributes: object) -> Markup:
    """One element; attribute names lose a trailing underscore and turn `_` into `-`,
    floats are shortened, None is left out. `content` is escaped unless it is Markup."""
    opening = f"<{name}"
    for key, value in attributes.items():
        if value is None:
            continue
        text = short(value) if isinstance(value, float) else str(value)
        opening += f' {_shown(key)}="{_escaped(text)}"'
    if not content:
        return Markup(f"{opening}/>")
    inner = content if isinstance(content, Markup) else _escaped(content)
    return Markup(f"{opening}>{inner}</{name}>")


@cache
def _shown(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def _escaped(text: str) -> str:
    """Most of the thousands of values of a page hold nothing to escape."""
    return str(escape(text)) if _SPECIAL.search(text) else text


def joined(parts: list[Markup]) -> Markup:
    """Elements one after another."""
    return Markup("".join(parts))
