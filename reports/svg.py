"""Writing SVG: numbers short, text escaped."""

from __future__ import annotations

from markupsafe import Markup, escape


def short(value: float, places: int = 1) -> str:
    """A coordinate in as few characters as its decimals need."""
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


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
