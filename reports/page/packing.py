"""Text packed into the page, for saving or for later: a tenth of its size, unpacked by
`page/unpack.js`."""

from __future__ import annotations

import base64
import json
import zlib


def packed(text: str) -> str:
    """Deflated and written in base 64; the same text gives the same letters."""
    return base64.b64encode(zlib.compress(text.encode(), 9)).decode("ascii")


def packed_json(value: object) -> str:
    """A document as the text that will be saved."""
    return packed(json.dumps(value, ensure_ascii=False, indent=1) + "\n")
