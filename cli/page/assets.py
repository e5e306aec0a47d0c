"""Styles and scripts of the page: read once, by names of our own, never by a path."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from gearchest.reports.page.shell import BASE_STYLES

_REPORTS, _OWN = "gearchest.reports", "gearchest.cli.page"

_MADE_OF: dict[str, tuple[tuple[str, str], ...]] = {
    "page.css": (*((_REPORTS, name) for name in BASE_STYLES), (_OWN, "static/doors.css"),
                 (_OWN, "static/fields.css"), (_OWN, "static/page.css")),
    "doors.css": ((_OWN, "static/doors.css"), (_OWN, "static/fields.css")),
    "first.js": ((_REPORTS, "page/first.js"),),
    "theme.js": ((_REPORTS, "page/theme.js"),),
    "live.js": ((_OWN, "static/live.js"),),
    "forms.js": ((_OWN, "static/morph.js"), (_OWN, "static/forms.js")),
    "coming.js": ((_OWN, "static/morph.js"), (_OWN, "static/coming.js")),
}  # fmt: skip

TYPES = {".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8"}


@cache
def asset(name: str) -> tuple[bytes, str] | None:
    """The bytes and the type of one of ours; None for any other name."""
    if name not in _MADE_OF:
        return None
    parts = [(files(room) / path).read_text(encoding="utf-8") for room, path in _MADE_OF[name]]
    return "\n".join(parts).encode(), TYPES[name[name.rindex(".") :]]
