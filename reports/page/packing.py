"""Text packed into the page, for saving or for later: a tenth of its size, unpacked by
`page/unpack.js`."""

from __future__ import annotations

import base64
import json
import zlib

SAFE = str.maketrans("<&", ".,")
"""Letters of base 85 that mean something in a page, and what stands for them."""


def packed(text: str) -> str:
    """Deflated and written in base 85 without `<` and `&`; the same text gives the same
    letters."""
    return base64.b85encode(zlib.compress(text.encode(), 9)).decode("ascii").translate(SAFE)


def packed_json(value: object) -> str:
    """A document, to be saved by a button."""
    return packed(json.dumps(value, ensure_ascii=False, separators=(",", ":")))
