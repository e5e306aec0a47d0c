"""Characters that are no text: what steers a terminal, ends a line, or turns reading round.

Terminal escapes, NUL and the other controls, line and paragraph separators, bidi controls,
halves of surrogate pairs (bytes of a file name that are no UTF-8) and what Unicode sets aside
as no characters. Joiners (Persian, joined emoji) and no-break spaces are text.
"""

from __future__ import annotations

import re

MARKS = re.compile(
    "[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u206f\ud800-\udfff"
    "\ufdd0-\ufdef\ufff9-\ufffb\ufffe\uffff"
    + "".join(f"{chr(plane << 16 | 0xFFFE)}{chr(plane << 16 | 0xFFFF)}" for plane in range(1, 17))
    + "]"
)

_USUAL = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}


def spelt_out(text: str) -> str:
    """The text with its marks written as escapes, so that they can be seen and do nothing.

    >>> spelt_out("red \\x1b[31m"), spelt_out("\\u202e"), spelt_out("caf\\udce9")
    ('red \\\\x1b[31m', '\\\\u202e', 'caf\\\\xe9')
    """
    return MARKS.sub(lambda mark: _escape(mark[0]), text)


def _escape(char: str) -> str:
    code = ord(char)
    if 0xDC80 <= code <= 0xDCFF:  # a byte that is no UTF-8, as Python carries it
        code -= 0xDC00
    short = _USUAL.get(char)
    return short or (f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}")
