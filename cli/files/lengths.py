"""Lengths as files give them: with their unit, or bare in the unit the file names at its top."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationInfo

from gearchest.cli.files.document import Document, Reading
from gearchest.cli.files.fields import brief, in_bounds, number_of, refused
from gearchest.optimizer.domain.notation import NotationError, parse_distance
from gearchest.optimizer.domain.pitch import MM_PER_INCH

MM = Fraction(1)

UNITS: dict[str, Fraction] = {
    **dict.fromkeys(("mm", "millimetres", "millimeters", "metric"), MM),
    **dict.fromkeys(("cm", "centimetres", "centimeters"), Fraction(10)),
    **dict.fromkeys(("in", "inch", "inches", "imperial", '"'), MM_PER_INCH),
}
"""mm that a bare length counts, by what a file calls its unit."""

NAMES = {MM: "mm", Fraction(10): "cm", MM_PER_INCH: "in"}


def unit_of(document: Document) -> Fraction:
    """mm that a bare length of this document counts; mm where it does not say."""
    units = document.value("units")
    return UNITS.get(units.strip().casefold(), MM) if isinstance(units, str) else MM


def length_of(value: Any, bare: Fraction, allowed: str = "a length") -> Fraction:
    """A length in mm: a number in units of `bare` mm, or text."""
    if isinstance(value, str):
        return parse_distance(brief(value), bare)
    return number_of(value, allowed) * bare


def exact_length(**bounds: int | str) -> PlainValidator:
    """A length in mm, kept exact; bounds in mm are `above`, `least` and `most`."""
    return PlainValidator(_reader(bounds))


def length(**bounds: int | str) -> PlainValidator:
    """A length in mm, as a float."""
    read = _reader(bounds)
    return PlainValidator(lambda value, info: float(read(value, info)))


def _reader(bounds: dict[str, int | str]) -> Callable[[Any, ValidationInfo], Fraction]:
    allowed, check = in_bounds("a length", "mm", bounds)

    def read(value: Any, info: ValidationInfo) -> Fraction:
        bare = _reading(info).bare
        told = f'{allowed}: in {NAMES[bare]} where bare, or with its unit as in "4 5/16 in"'
        try:
            mm = length_of(value, bare, told)
            check(mm, value)
        except NotationError as error:
            raise refused(error.problem, value, told, error.fix) from None
        return mm

    return read


def _reading(info: ValidationInfo) -> Reading:
    return info.context or Reading()


_TIMES = re.compile(r"\s*(?:[x×*]|by)\s*", re.IGNORECASE)
KEYWAY_FORM = '"3x1.4"'

LEAST_KEYWAY, MOST_KEYWAY = Fraction(1, 10), 100
"""mm, of its width and its depth."""


def _keyway(value: Any, info: ValidationInfo) -> str:
    """Width x depth in mm; "" where there is none."""
    text = value.strip() if isinstance(value, str) else value
    if text in ("", False) or str(text).casefold() in ("none", "no", "-"):
        return ""
    allowed = f'{KEYWAY_FORM}, width x depth, or "" where there is none'
    measure = f"measure both, the depth from the wall of the bore, and write {KEYWAY_FORM}"
    parts = _TIMES.split(brief(text)) if isinstance(text, str) else []
    if len(parts) != 2:
        raise refused("this is not the width and the depth of a keyway", value, allowed, measure)
    if unit := re.search(r"[a-z\"]+\s*$", parts[1], re.IGNORECASE):
        parts[0] += "" if re.search(r"[a-z\"]\s*$", parts[0], re.IGNORECASE) else f" {unit[0]}"
    try:
        width, depth = (parse_distance(part, _reading(info).bare) for part in parts)
    except NotationError as error:
        raise refused(error.problem, value, allowed, measure) from None
    if not (LEAST_KEYWAY <= width <= MOST_KEYWAY and LEAST_KEYWAY <= depth <= MOST_KEYWAY):
        raise refused("no keyway is of this size", value, allowed, measure)
    return f"{float(width):g}x{float(depth):g}"


def _units(value: Any) -> str:
    if not isinstance(value, str) or value.strip().casefold() not in UNITS:
        fix = 'write units = "mm", or the one you measure in'
        raise refused("this is not a unit of length", value, '"mm", "cm" or "in"', fix)
    return value


Units = Annotated[str, PlainValidator(_units)]
Keyway = Annotated[str, PlainValidator(_keyway)]
PositiveMm = Annotated[float, length(least="0.001", most=100_000)]
FaceWidth = Annotated[Fraction, exact_length(least="0.1", most=1000)]
NonNegativeMm = Annotated[float, length(least=0, most=100_000)]
Mm = Annotated[float, length(least=-100_000, most=100_000)]
