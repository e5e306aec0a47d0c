"""The shell every HTML file shares: templates, inlined styles and scripts, security policy.

A page is one file that asks nothing of any network. Styles, scripts and templates stand in
the rooms they belong to ("plan/map.js") and are inlined; every script's hash stands in the
content-security-policy, so that nothing else runs, whatever a lathe is called.
`page/base.html.j2` says which blocks a page can fill.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import jinja2
from markupsafe import Markup

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.reports.page.compiled import environment
from gearchest.reports.page.lean import lean, lean_script, lean_style
from gearchest.reports.words import numbers

BASE_STYLES = ("page/base.css", "words/verdicts.css", "drawing/drawing.css", "page/print.css")
BASE_SCRIPTS = (
    "page/theme.js",
    "page/printing.js",
    "page/unpack.js",
    "page/forms.js",
    "page/exports.js",
)
PLOTLY = "plotly"
"""Plotly's own script, nearly five megabytes: for a page of charts alone."""

FIRST_SCRIPT = "page/first.js"
"""Runs in the head, before anything is painted: sets the theme and tells CSS that scripts run."""


@dataclass(frozen=True)
class Facts:
    """What a page says about its own making.

    `inputs`: (file name, SHA-256 of its bytes); `options`: (option, value) as given on the
    command line.
    """

    version: str = ""
    inputs: tuple[tuple[str, str], ...] = ()
    options: tuple[tuple[str, str], ...] = ()


def build(
    template: str,
    *,
    lathe: Lathe,
    facts: Facts,
    styles: Iterable[str] = (),
    scripts: Iterable[str] = (),
    data: Mapping[str, object] | None = None,
    **context: object,
) -> str:
    """Render a template that extends `base.html.j2`.

    `styles` and `scripts` name files beyond the base ones, by room; `PLOTLY` is a script too.
    `data` becomes JSON blocks, by element id. `context` is what the template itself needs; a
    `title` is required by the base.
    """
    early = _static(FIRST_SCRIPT)
    run = [_static(name) for name in (*BASE_SCRIPTS, *scripts)]
    return (
        _environment()
        .get_template(template)
        .render(
            lathe=lathe,
            facts=facts,
            policy=_policy([early, *run]),
            style=Markup("\n".join(_static(name) for name in (*BASE_STYLES, *styles))),
            first_script=Markup(early),
            scripts=[Markup(text) for text in run],
            data={name: json_block(value) for name, value in (data or {}).items()},
            inch_first=numbers.inch_first(lathe),
            **context,
        )
    )


def part(template: str, **context: object) -> Markup:
    """A template that is no page of its own."""
    return Markup(_environment().get_template(template).render(**context))


def json_block(value: object) -> Markup:
    """JSON safe inside a script element: no `<` and no line separators survive in it."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), sort_keys=False)
    for char, escape in (("<", "\\u003c"), ("\u2028", "\\u2028"), ("\u2029", "\\u2029")):
        text = text.replace(char, escape)
    return Markup(text)


def css_text(text: str) -> Markup:
    """A text as a string in a style sheet: all but letters and digits by its number.

    >>> css_text("M6, 1")
    Markup('"M6\\\\2c \\\\20 1"')
    """
    spelt = (char if char.isalnum() else f"\\{ord(char):x} " for char in text)
    return Markup('"' + "".join(spelt) + '"')


def _policy(scripts: Iterable[str]) -> str:
    """The content-security-policy: these scripts, inline styles, pictures made in the page."""
    hashes = " ".join(
        f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
        for text in dict.fromkeys(scripts)
    )
    return (
        f"default-src 'none'; script-src {hashes}; style-src 'unsafe-inline'; "
        "img-src data: blob:; connect-src 'none'; base-uri 'none'; form-action 'none'"
    )


@cache
def _static(name: str) -> str:
    if name == PLOTLY:
        from plotly.offline import get_plotlyjs

        return str(get_plotlyjs())
    text = (files("gearchest.reports") / name).read_text(encoding="utf-8")
    return lean_script(text) if name.endswith(".js") else lean_style(text)


@cache
def _environment() -> jinja2.Environment:
    made = environment("gearchest.reports", last_newline=True)
    filters: dict[str, Callable[..., Any]] = {
        "plural": numbers.plural,
        "lean": lean,
        "told": numbers.told,
        "css_text": css_text,
    }
    made.filters.update(filters)
    return made
