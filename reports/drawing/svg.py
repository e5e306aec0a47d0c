"""Writing SVG: numbers short, text escaped."""

from __future__ import annotations

from markupsafe import Markup, escape


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
    parts = []
    for key, value in attributes.items():
        if value is None:
            continue
        if isinstance(value, float):
            value = short(value)
        shown = key.rstrip("_").replace("_", "-")
        parts.append(f' {shown}="{escape(str(value))}"')
    opening = f"<{name}{''.join(parts)}"
    return Markup(f"{opening}>{escape(content)}</{name}>" if content else f"{opening}/>")


def joined(parts: list[Markup]) -> Markup:
    """Elements one after another."""
    return Markup("").join(parts)
