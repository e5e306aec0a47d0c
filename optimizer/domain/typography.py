"""Signs as people, books and word processors set them, brought to those of a keyboard.

Lower case; hyphens, dashes and the minus sign are -, primes and quotation marks after a
number are ", fraction glyphs are spelt out (1\u00bd is 1 1/2), the multiplication sign is x, and
whatever separates is one space.
"""

from __future__ import annotations

import unicodedata

_SIGNS = str.maketrans({
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d", "-"),
    **dict.fromkeys("\u2044\u2215\u29f8", "/"),
    **dict.fromkeys("\u2033\u201c\u201d\u201e\u201f\u02ba\u02dd\u3003\uff02", '"'),
    **dict.fromkeys("\u2032\u2018\u2019\u02b9\u00b4\u02bc`", "'"),
    **dict.fromkeys("\u00d7\u2715\u2716\u2a2f\u0445\u0425", "x"),  # the last two: Cyrillic
    **dict.fromkeys("\u043c\u041c", "m"),  # Cyrillic
})  # fmt: skip


def plain(text: str) -> str:
    """The text in plain signs.

    >>> plain("11\u00bd\u00a0TPI"), plain("1\u20131/4\u2033 \u00d7 8"), plain("1/2'' BSP")
    ('11 1/2 tpi', '1-1/4" x 8', '1/2" bsp')
    """
    return " ".join(_glyphs(text).translate(_SIGNS).replace("''", '"').lower().split())


def _glyphs(text: str) -> str:
    """Fraction glyphs and raised figures as digits; signs that cannot be seen left out."""
    parts: list[str] = []
    for char in text:
        match unicodedata.category(char):
            case "Cf":
                continue
            case "No":
                apart = " " if parts and parts[-1][-1].isdecimal() else ""
                parts.append(apart + unicodedata.normalize("NFKC", char))
            case _:
                parts.append(char)
    return "".join(parts)
