"""Text in cells of a table: never a formula to a spreadsheet, and read back as it was.

A spreadsheet takes a cell that begins with =, +, -, @ (or their wide forms), a tab or a line's
end for a formula, and a formula can fetch and send things. A leading apostrophe makes it text
(advice of OWASP on CSV injection). A sign and digits alone are a number and stay.
"""

from __future__ import annotations

import re

FORMULA = r"[=+\-@\t\r\n＝＋－＠]"
"""What a formula can begin with."""

_FORMULA = re.compile(rf"(?![+-]?[0-9.]+\Z){FORMULA}")
_QUOTED = re.compile(rf"'+{FORMULA}")


def harmless(text: str) -> str:
    """As text to every spreadsheet. What already looks so treated is treated once more, so that
    `as_meant` gives every text back."""
    return f"'{text}" if _FORMULA.match(text) or _QUOTED.match(text) else text


def as_meant(cell: str) -> str:
    """What `harmless` was given."""
    return cell[1:] if _QUOTED.match(cell) else cell
