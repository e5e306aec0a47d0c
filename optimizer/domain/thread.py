"""A thread of a standard or of the trade: name, form, diameter, pitch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.pitch import Pitch


@dataclass(frozen=True)
class Thread:
    """`major_mm` is the nominal major diameter; `form` names the thread form's entry;
    `series` the catalog; `standard` the standard its tolerance comes from; `use` what the
    series is for where that is not a fastener ("wood", "worm"), "" otherwise."""

    name: str
    pitch: Pitch
    major_mm: Fraction | None = None
    form: str = ""
    series: str = ""
    standard: str = ""
    left: bool = False
    use: str = ""
