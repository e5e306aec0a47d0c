"""Drawings that come again on a page are drawn once and pointed at from then on."""

from __future__ import annotations

import re

from markupsafe import Markup

_SVG = re.compile(r"(<svg [^>]*>)(.*)</svg>", re.DOTALL)


class Shared:
    """Call it with every drawing of a page, in order.

    What stands inside a drawing gets an id where it first comes; later ones hold a `use` of
    it, so that threads of one pitch cost one drawing of each train.
    """

    def __init__(self) -> None:
        self._places: dict[str, str] = {}

    def pointed(self, svg: Markup) -> Markup:
        """A drawing outside the order of the page: points at one that stands there, if any."""
        parts = _SVG.fullmatch(svg)
        if parts is None or parts[2] not in self._places:
            return svg
        return self._pointing(*parts.groups())

    def _pointing(self, frame: str, content: str) -> Markup:
        return Markup(f'{frame}<use href="#{self._places[content]}"/></svg>')

    def __call__(self, svg: Markup) -> Markup:
        """The drawing to put here: the same picture, its own frame and its own label."""
        parts = _SVG.fullmatch(svg)
        if parts is None:
            return svg
        frame, content = parts.groups()
        if content in self._places:
            return self._pointing(frame, content)
        ident = self._places[content] = f"d{len(self._places)}"
        return Markup(f'{frame}<g id="{ident}">{content}</g></svg>')
