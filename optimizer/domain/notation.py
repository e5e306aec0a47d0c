"""The written notation of pitches, lengths, tolerances and ratios. Values are exact.

One grammar for files, command line and reports. Case and spaces do not matter, except that
a space (or a hyphen) between a whole number and its fraction adds the two.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from gearchest.optimizer.domain.pitch import MM_PER_INCH, Pitch
from gearchest.optimizer.domain.typography import plain

PITCH_FORMS = '"1.25 mm", "8 tpi", "0.2 in", "0.8 module", "20 dp" or "3 starts of 2 mm"'
LENGTH_FORMS = '"50 mm", "2.5 cm" or "1 1/2 in"'
TOLERANCE_FORMS = '"0.4 %", "500 ppm" or "0.05 mm/300 mm"'
SPEED_FORMS = '"10 m/min" or "35 ft/min"'
RATIO_FORMS = '"1", "1/2" or "0.5"'

MOST_DIGITS = 9
"""Longer numbers are slips of the keyboard, and would make exact arithmetic unwieldy."""

LONGEST_LEAD = Fraction(10_000)
SHORTEST_PITCH = Fraction(1, 1000)
"""mm: what a pitch can reasonably be, from optical to impossible."""

MOST_STARTS = 100

FASTEST = 1000
"""m/min: what a cutting speed can reasonably be."""

_DECIMAL = r"(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
_MIXED = r"([0-9]+)(?: | ?- ?)([0-9]+) ?/ ?([0-9]+)"
_NUMBER = rf"(?:[0-9]+(?: | ?- ?)[0-9]+ ?/ ?[0-9]+|[0-9]+ ?/ ?[0-9]+|{_DECIMAL})"
_MEASURE = rf"({_NUMBER}) ?([a-z%\"]*)"
_QUOTIENT = rf"({_NUMBER}) ?([a-z\"]+) ?/ ?({_NUMBER}) ?([a-z\"]+)"
_STARTS = r"([0-9]+) ?starts? ?of ?(.*)"

_Convert = Callable[[Fraction], Fraction]
_LENGTH_UNITS: dict[str, _Convert] = {
    "mm": lambda number: number,
    "in": lambda number: number * MM_PER_INCH,
    "cm": lambda number: number * 10,
    "thou": lambda number: number * MM_PER_INCH / 1000,
    **dict.fromkeys(("inch", "inches", '"'), lambda number: number * MM_PER_INCH),
}
_PITCH_UNITS: dict[str, _Convert] = {
    "mm": lambda number: number,
    "tpi": lambda number: MM_PER_INCH / number,
    **{unit: _LENGTH_UNITS[unit] for unit in ("in", "inch", "inches", '"')},
    "module": lambda number: number,
    "dp": lambda number: MM_PER_INCH / number,
}
_PITCH_WORDS = re.compile(r"(?:threads? ?(?:per|/) ?inch|t\.p\.i\.?|tpi\.)")
_PI_UNITS = {"module", "dp"}
_METRIC_UNITS = {"mm", "module"}
_OTHER_WORDS = {"inch", "inches", '"'}
_SPEEDS = {"m/min": Fraction(1), "ft/min": Fraction(3048, 10_000)}
_SHARES = {"%": Fraction(1, 100), "ppm": Fraction(1, 1_000_000)}


UNREADABLE = "this cannot be read"
"""The problem of a text that has not even the shape of a measure."""

UNKNOWN_UNIT = "is not known here"
"""How the problem of a measure in another unit ends."""


class NotationError(ValueError):
    """A value that cannot be read: the value as typed, what is allowed, and the fix."""

    def __init__(self, problem: str, *, value: str, allowed: str, fix: str) -> None:
        super().__init__(problem)
        self.problem = problem
        self.value = value
        self.allowed = allowed
        self.fix = fix


def parse_pitch(text: str) -> Pitch:
    """Read a pitch; thread sizes such as "M10" are not pitches (see the thread catalogs).

    >>> parse_pitch("11-1/2 tpi").rational, parse_pitch("3 starts of 2 mm").lead_mm
    (Fraction(254, 115), 6.0)
    """
    cleaned = _PITCH_WORDS.sub("tpi", plain(text)).removeprefix("pitch ").removesuffix(" pitch")
    if starts := re.fullmatch(_STARTS, cleaned):
        return _several_starts(text, starts[1], starts[2])
    number, unit = _measure(text, cleaned, PITCH_FORMS, _PITCH_UNITS, example="8 tpi")
    if number == 0:
        raise NotationError(
            "a pitch must be greater than zero", value=text, allowed=PITCH_FORMS,
            fix="write the pitch to cut",
        )  # fmt: skip
    pitch = Pitch(
        _PITCH_UNITS[unit](number), pi=unit in _PI_UNITS, written=text.strip(),
        inch=unit not in _METRIC_UNITS,
    )  # fmt: skip
    _check_size(text, pitch)
    return pitch


def parse_length(text: str) -> Fraction:
    """Read a length greater than zero, in mm.

    >>> parse_length("1 1/2 in")
    Fraction(381, 10)
    """
    number, unit = _measure(text, plain(text), LENGTH_FORMS, _LENGTH_UNITS, example="50 mm")
    if number == 0:
        raise NotationError(
            "a length must be greater than zero", value=text, allowed=LENGTH_FORMS,
            fix="write the length, or leave it out",
        )  # fmt: skip
    return _LENGTH_UNITS[unit](number)


def parse_distance(text: str, bare: Fraction | None = None) -> Fraction:
    """Read a distance in mm, of either sign or none. A number without a unit counts units of
    `bare` mm, where that is given; but nobody measures whole mm in fractions.

    >>> parse_distance("-7 1/4 in"), parse_distance("18,4", Fraction(10))
    (Fraction(-3683, 20), Fraction(184, 1))
    """
    cleaned = plain(text)
    sign = -1 if cleaned.startswith("-") else 1
    size = cleaned.removeprefix("-").strip()
    if bare is not None and re.fullmatch(_NUMBER, size):
        if bare == 1 and "/" in size:
            raise NotationError(
                "a fraction needs its unit", value=text, allowed=LENGTH_FORMS,
                fix=f'write "{text.strip()} in"',
            )  # fmt: skip
        return sign * _number(text, size, LENGTH_FORMS) * bare
    number, unit = _measure(text, size, LENGTH_FORMS, _LENGTH_UNITS, example="50 mm")
    return sign * _LENGTH_UNITS[unit](number)


def parse_tolerance(text: str) -> Fraction:
    """Read an allowed lead error as a fraction of the lead, at least 0 and below 1.

    >>> parse_tolerance("0.4 %"), parse_tolerance("0.05 mm/300 mm")
    (Fraction(1, 250), Fraction(1, 6000))
    """
    cleaned = plain(text)
    if (share := _error_over_length(cleaned)) is None:
        number, unit = _measure(text, cleaned, TOLERANCE_FORMS, _SHARES, example="0.1 %")
        share = number * _SHARES[unit]
    if share >= 1:
        raise NotationError(
            "a tolerance must be less than 100 %", value=text, allowed=TOLERANCE_FORMS,
            fix="check the unit and the decimal point",
        )  # fmt: skip
    return share


def parse_ratio(text: str) -> Fraction:
    """Read a ratio greater than zero: "1", "1/2", "0.5".

    >>> parse_ratio("1/2"), parse_ratio("1,5")
    (Fraction(1, 2), Fraction(3, 2))
    """
    ratio = _number(text, plain(text), RATIO_FORMS)
    if ratio == 0:
        raise NotationError(
            "a ratio must be greater than zero", value=text, allowed=RATIO_FORMS,
            fix="write turns of the driven shaft per turn of the driving one",
        )  # fmt: skip
    return ratio


def parse_speed(text: str) -> float:
    """Read a cutting speed greater than zero, in m/min.

    >>> parse_speed("10 m/min"), parse_speed("35 ft/min")
    (10.0, 10.668)
    """
    match = re.fullmatch(rf"({_NUMBER}) ?(m|ft) ?/ ?min\.?", plain(text))
    if match is None:
        raise NotationError(
            UNREADABLE, value=text, allowed=SPEED_FORMS, fix='write it like "10 m/min"'
        )
    speed = _number(text, match[1], SPEED_FORMS) * _SPEEDS[f"{match[2]}/min"]
    if not 0 < speed <= FASTEST:
        raise NotationError(
            "no thread is turned at such a speed", value=text,
            allowed=f"above 0 and at most {FASTEST} m/min", fix="check the number and its unit",
        )  # fmt: skip
    return float(speed)


def parse_number(text: str) -> Fraction:
    """Read a plain number, decimal point or comma, sign allowed."""
    cleaned = plain(text)
    sign = -1 if cleaned.startswith("-") else 1
    return sign * _number(text, cleaned.removeprefix("-"), '"1.5" or "1,5"')


def _several_starts(text: str, starts: str, rest: str) -> Pitch:
    if re.fullmatch(_STARTS, rest) or not 1 <= _bounded_int(starts) <= MOST_STARTS:
        raise NotationError(
            "the number of starts cannot be read", value=text,
            allowed=f"1 to {MOST_STARTS} starts of one pitch", fix='write "3 starts of 2 mm"',
        )  # fmt: skip
    single = parse_pitch(rest)
    pitch = replace(single, starts=_bounded_int(starts), written=text.strip())
    _check_size(text, pitch)
    return pitch


def _check_size(text: str, pitch: Pitch) -> None:
    if not SHORTEST_PITCH <= pitch.rational <= pitch.lead.rational <= LONGEST_LEAD:
        raise NotationError(
            "no lathe cuts such a pitch", value=text,
            allowed=f"a pitch of at least {float(SHORTEST_PITCH)} mm and "
            f"a lead of at most {int(LONGEST_LEAD)} mm",
            fix="check the unit and the decimal point",
        )  # fmt: skip


def _error_over_length(cleaned: str) -> Fraction | None:
    """The quotient of two lengths ("0.05 mm/300 mm"); None where it is not of that form."""
    match = re.fullmatch(_QUOTIENT, cleaned)
    if match is None or not {match[2], match[4]} <= _LENGTH_UNITS.keys():
        return None
    try:
        return parse_length(f"{match[1]} {match[2]}") / parse_length(f"{match[3]} {match[4]}")
    except NotationError:
        return None


def _measure(
    text: str, cleaned: str, allowed: str, units: dict[str, _Convert] | dict[str, Fraction],
    *, example: str,
) -> tuple[Fraction, str]:  # fmt: skip
    """The number and the unit of a measure; errors say which units there are."""
    match = re.fullmatch(_MEASURE, cleaned)
    if match is None:
        raise NotationError(
            UNREADABLE, value=text, allowed=allowed, fix=f'write it like "{example}"'
        )
    number = _number(text, match[1], allowed)
    if not match[2]:
        choices = " or ".join(f'"{text.strip()} {unit}"' for unit in list(units)[:2])
        raise NotationError("the unit is missing", value=text, allowed=allowed,
                            fix=f"write {choices}, whichever is meant")  # fmt: skip
    if match[2] not in units:
        known = ", ".join(unit for unit in units if unit not in _OTHER_WORDS)
        raise NotationError(f'the unit "{match[2]}" {UNKNOWN_UNIT}', value=text,
                            allowed=allowed, fix=f"use one of {known}")  # fmt: skip
    return number, match[2]


def _number(text: str, cleaned: str, allowed: str) -> Fraction:
    if not re.fullmatch(_NUMBER, cleaned):
        raise NotationError(
            "this is not a number", value=text, allowed=allowed, fix="write digits, as in 1.5"
        )
    if any(len(re.sub("[.,]", "", part)) > MOST_DIGITS for part in re.split("[-/ ]+", cleaned)):
        raise NotationError(
            "the number has too many digits", value=text,
            allowed=f"at most {MOST_DIGITS} digits", fix="round it, or write a fraction",
        )  # fmt: skip
    try:
        return _exact(cleaned.replace(",", "."))
    except ZeroDivisionError:
        raise NotationError(
            "a fraction cannot have 0 below the line", value=text, allowed=allowed,
            fix="check the fraction",
        ) from None  # fmt: skip


def _exact(cleaned: str) -> Fraction:
    if mixed := re.fullmatch(_MIXED, cleaned):
        return int(mixed[1]) + Fraction(int(mixed[2]), int(mixed[3]))
    numerator, _, denominator = cleaned.partition("/")
    return Fraction(numerator.strip()) / Fraction(denominator.strip() or "1")


def _bounded_int(digits: str) -> int:
    return int(digits) if len(digits) <= MOST_DIGITS else 0
