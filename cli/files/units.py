"""Bare lengths that were meant in another unit: how to ask, and what to write."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from fractions import Fraction
from typing import Any

from gearchest.cli.files.document import Document, KeyPath
from gearchest.cli.files.lengths import MM, NAMES
from gearchest.optimizer.domain.notation import NotationError, parse_number
from gearchest.optimizer.domain.pitch import MM_PER_INCH

WORDS = {MM: "millimetres", Fraction(10): "centimetres", MM_PER_INCH: "inches"}

LIKELY = (MM_PER_INCH, Fraction(10), MM)
"""The units that bare lengths are in, those first in which a number is a longer one."""

_MOST: dict[str, int] = {
    "axis_distance": 600, "start": 600, "end": 600, "offset": 600, "largest_tip_diameter": 600,
    "gap": 5, "driver_hub": 100, "stud_hub": 100, "screw_hub": 100, "bore": 80, "face_width": 60,
    "carriage_travel": 6000, "between_centres": 6000, "top_slide_travel": 600,
}  # fmt: skip
"""mm: more than these no lathe with loose change gears has (common practice, no source)."""


def asked(paths: Collection[KeyPath], document: Document, units: Collection[Fraction]) -> str:
    """What to write if bare lengths are in one of these units, and keep them company."""
    return f"write {', or '.join(_cure(document, paths, unit) for unit in units)}"


def _cure(document: Document, paths: Collection[KeyPath], unit: Fraction) -> str:
    """The unit at the top of the file, where every bare length bears it; else with each."""
    if all(number * unit <= most for number, most in _bare_lengths(document)):
        return f'units = "{NAMES[unit]}" at the top of the file'
    told = ((path[-1], str(document.value(*path)).strip()) for path in paths)
    return ", ".join(f'{key} = "{text} {NAMES[unit]}"' for key, text in told)


def _bare_lengths(document: Document) -> Iterator[tuple[Fraction, int]]:
    """Every bare length of a lathe file, with what it is at most."""
    for path in document.spots:
        number = bare(document.value(*path)) if path and path[-1] in _MOST else None
        if number is not None:
            yield number, _MOST[str(path[-1])]


def bare(value: Any) -> Fraction | None:
    """A length without its unit, as a number; None for any other."""
    if isinstance(value, bool) or value is None:
        return None
    try:
        return parse_number(str(value))
    except NotationError:
        return None
