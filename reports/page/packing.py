"""Text packed into the page, for saving or for later: a tenth of its size, unpacked by
`page/unpack.js`."""

from __future__ import annotations

import base64
import json
import re
import zlib
from collections.abc import Mapping, Sequence

SAFE = str.maketrans("<&", ".,")
"""Letters of base 85 that mean something in a page, and what stands for them."""


def packed(text: str) -> str:
    """Deflated and written in base 85 without `<` and `&`; the same text gives the same
    letters."""
    return base64.b85encode(zlib.compress(text.encode(), 9)).decode("ascii").translate(SAFE)


def packed_json(value: object) -> str:
    """A document, to be saved by a button."""
    return packed(json.dumps(value, ensure_ascii=False, separators=(",", ":")))


_PIECE = re.compile(
    r"(?=<(?:article|div|dl|dt|figure|h\d|header|li|ol|p|section|table|tr|ul)\b|\{\")|(?<=\n)"
)
"""Where the pieces of markup, JSON and tables begin."""
_NUMBER = re.compile(r"([0-9]+(?:\.[0-9]+)?)")


def packed_forms(texts: Mapping[str, Sequence[str]]) -> str:
    """Texts by name that say nearly the same with other numbers, as the setups of a plan do: of
    each piece the words once, and its numbers gap by gap, over all texts as they come; fewest bytes
    where texts of like numbers follow one another. Read by `page/forms.js`."""
    forms: dict[tuple[str, ...], int] = {}
    orders: dict[tuple[int, ...], int] = {}
    gaps: list[list[list[str]]] = []
    made: list[tuple[str, list[int]]] = []
    for name, some in texts.items():
        made.append((name, []))
        for text in some:
            order = []
            for piece in _PIECE.split(text):
                parts = _NUMBER.split(piece)
                form = forms.setdefault(tuple(parts[::2]), len(forms))
                if form == len(gaps):
                    gaps.append([[] for _ in parts[1::2]])
                for gap, number in zip(gaps[form], parts[1::2], strict=True):
                    gap.append(number)
                order.append(form)
            made[-1][1].append(orders.setdefault(tuple(order), len(orders)))
    return packed_json(
        {
            "forms": list(forms),
            "orders": list(orders),
            "gaps": [[" ".join(gap) for gap in some] for some in gaps],
            "texts": made,
        }
    )
