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


_PIECE = re.compile(r"(?=<(?:article|div|dl|dt|figure|h\d|header|li|ol|p|section|table|tr|ul)\b)")
_NUMBER = re.compile(r"([0-9]+(?:\.[0-9]+)?)")


def packed_forms(texts: Mapping[str, Sequence[str]]) -> str:
    """Texts by name that say nearly the same with other numbers, as the setups of a plan do: of
    each piece the words once, and then the numbers alone. Read by `page/forms.js`."""
    forms: dict[tuple[str, ...], int] = {}
    orders: dict[tuple[int, ...], int] = {}
    made: dict[str, list[list[object]]] = {}
    for name, some in texts.items():
        made[name] = []
        for text in some:
            pieces = [_NUMBER.split(piece) for piece in _PIECE.split(text)]
            order = tuple(forms.setdefault(tuple(one[::2]), len(forms)) for one in pieces)
            said = " ".join(number for one in pieces for number in one[1::2])
            made[name].append([orders.setdefault(order, len(orders)), said])
    return packed_json({"forms": list(forms), "orders": list(orders), "texts": made})
