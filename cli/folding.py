"""Lines folded for whoever reads them in a window."""

from __future__ import annotations

import textwrap

_NARROWEST = 20
"""Characters: narrower windows break lines as they like."""


def folded(line: str, width: int | None) -> list[str]:
    """A line in parts that a terminal `width` wide shows whole, broken at spaces and set in below
    its beginning; as it is where that is None, and nobody looks."""
    if width is None or len(line) <= width or width < _NARROWEST:
        return [line]
    indent = line[: len(line) - len(line.lstrip())]
    return textwrap.wrap(
        line, width, subsequent_indent=f"{indent}  ", break_long_words=False,
        break_on_hyphens=False, drop_whitespace=True,
    )  # fmt: skip
