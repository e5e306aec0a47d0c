"""How verdicts look."""

from __future__ import annotations

import re
from importlib.resources import files

from gearchest.reports.words.verdicts import MARKS


def test_a_verdict_has_its_symbol_and_its_lightness_by_its_class() -> None:
    """The word is text; the style sheet puts the symbol before it."""
    css = (files("gearchest.reports") / "words" / "verdicts.css").read_text(encoding="utf-8")
    for one in MARKS.values():
        assert re.search(rf'\.{one.slug} {{[^}}]*--fill:[^}}]*--sym: "{one.symbol}"', css), one.word
