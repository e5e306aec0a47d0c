"""What a person measures on an unknown thread: threads over a length, or a pitch as read.

Lengths are exact, in mm; errors are what a measurement is seldom off by more (two standard
deviations), in mm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.notation import (
    UNREADABLE,
    NotationError,
    parse_length,
    parse_pitch,
)
from gearchest.optimizer.domain.pitch import MM_PER_INCH
from gearchest.optimizer.domain.typography import plain

MEASURED_FORMS = (
    '"10 threads in 15.2 mm", "11 in 1 in", "20 tpi", "pitch 1.5 mm" or "5 turns in 70 mm"'
)

RULE = Fraction(1, 10)
"""mm: what a count's length is off by at most, read from a rule. Common practice, no source."""

CALIPER = Fraction(1, 20)
"""mm: what a diameter is off by at most, read from a caliper. Common practice, no source."""

GAUGE = Fraction(1, 100)
"""Share: leaves of a pitch gauge nearer than twice this are hard to tell. Common practice, no
source."""

MOST_THREADS = 1000

_NOUN = r"(?:threads?|thr\b\.?|pitches|pitch|grooves)"
_TURN = r"(?:turns?|revolutions?|revs?\b\.?)"
_RIDGE = r"(?:crests?|ridges?|peaks?|tips?)"
_OVER = r"(?:in|over|on|across|make|measure|are|is|=)"
_NUMBER = r"(\d+(?:[.,]\d+)?|\d+[ -]\d+/\d+)"
_FORWARD = re.compile(
    rf"{_NUMBER} ?({_NOUN}|{_TURN}|{_RIDGE})? ?{_OVER} ?(?:an? |the |one )?(\S.*)"
)
_BACKWARD = re.compile(
    rf"(\S.*?(?:mm|cm|in|inch|inches|\"))(?: ?(?:for|over|per|in|on|is|are|=|/) ?| )"
    rf"{_NUMBER} ?({_NOUN}|{_TURN}|{_RIDGE})?"
)
_SHARED = re.compile(rf"(\d+[.,]\d+) ?/ ?{_NUMBER} ?(mm|in|\")")
_PREFIX = re.compile(r"(pitch|p|lead|l)\b ?(?:of|is|=|:)? ?(.*)")
_PER_INCH = re.compile(r"(?<=\d) ?(?:(?:threads? )?(?:per|to the|an) inch\b|t\.p\.i\b\.?)")


@dataclass(frozen=True)
class Count:
    """`threads` > 0 along `length`, both exact; `error` > 0 of the length. `turned`: turns of a
    nut or a screw were counted, so that length / threads is the lead. `starts`: 0 where not
    said. `counted` is False for a pitch as read."""

    threads: Fraction
    length: Fraction
    error: float
    turned: bool = False
    starts: int = 0
    counted: bool = True

    @property
    def each(self) -> tuple[float, float]:
        """Least and most of pitch (or lead, where turned), mm."""
        return (
            (float(self.length) - self.error) / float(self.threads),
            (float(self.length) + self.error) / float(self.threads),
        )


@dataclass(frozen=True)
class Measured:
    """A count, and what else was measured: the `diameter` (mm, over the crests; `inside` between
    them, a nut's bore) with its `error`, the `angle` between the flanks in degrees; `left` where it
    was seen to climb to the left."""

    count: Count
    diameter: Fraction | None = None
    error: float = float(CALIPER)
    inside: bool = False
    angle: float | None = None
    left: bool = False


def parse_count(text: str, error: Fraction | None = None) -> Count:
    """Read what was counted or read; `error` (mm) as said by the person, of the length counted
    along, or of the pitch where that alone was read.

    Unsaid it is a rule's for a length; for a pitch half of its last digit, at least 1 %.

    >>> parse_count("10 threads in 15.2 mm").length, parse_count("11 in 1 in").length
    (Fraction(76, 5), Fraction(127, 5))
    """
    cleaned = _PER_INCH.sub(" tpi", plain(text))
    if found := _FORWARD.fullmatch(cleaned):
        return _counted(text, found[1], found[2], _unit_length(found[3]), error)
    if found := _BACKWARD.fullmatch(cleaned):
        return _counted(text, found[2], found[3], found[1], error)
    if found := _SHARED.fullmatch(cleaned):
        return _counted(text, found[2], None, f"{found[1]} {found[3]}", error)
    turned, said = False, cleaned
    if found := _PREFIX.fullmatch(cleaned):
        turned, said = found[1][0] == "l", _in_mm(found[2])
    try:
        pitch = parse_pitch(said)
    except NotationError as fault:
        raise _told(fault, text) from None
    if pitch.pi:
        raise NotationError(
            "modules and DP are not measured but worked out", value=text, allowed=MEASURED_FORMS,
            fix="write the length of some threads",
        )  # fmt: skip
    own = _read_error(said, pitch.rational)
    starts = pitch.starts if pitch.starts > 1 else 0
    return Count(
        Fraction(1), pitch.rational, float(own if error is None else error), turned, starts, False
    )


def _counted(
    text: str, number: str, noun: str | None, length: str, error: Fraction | None
) -> Count:
    threads = _threads(number)
    if noun and re.fullmatch(_RIDGE, noun):
        fewer = threads - 1
        raise NotationError(
            "from the first crest to the last there is one thread less than crests", value=text,
            allowed=MEASURED_FORMS,
            fix=f'write "{fewer} threads in {length}" if the length runs from the first crest to '
            f'the last, else "{threads} threads in {length}"',
        )  # fmt: skip
    if not 0 < threads <= MOST_THREADS:
        raise NotationError(
            "so many threads cannot be counted", value=text, allowed=f"1 to {MOST_THREADS} threads",
            fix="check the number",
        )  # fmt: skip
    try:
        along = parse_length(length)
    except NotationError as fault:
        raise _told(fault, text) from None
    turned = bool(noun and re.fullmatch(_TURN, noun))
    return Count(threads, along, float(RULE if error is None else error), turned)


def _in_mm(said: str) -> str:
    """A bare pitch with its unit where it can have one only: threads per inch are written in
    eighths at the finest, so 1.52 is in mm and 1.5 might be either."""
    bare = re.fullmatch(r"\d+[.,]\d+", said)
    if bare and (8 * Fraction(said.replace(",", "."))).denominator != 1:
        return f"{said} mm"
    return said


def _told(fault: NotationError, text: str) -> NotationError:
    """A part that cannot be read, told of the whole."""
    fix = 'write it like "10 threads in 15.2 mm"' if fault.problem == UNREADABLE else fault.fix
    return NotationError(fault.problem, value=text, allowed=MEASURED_FORMS, fix=fix)


def _unit_length(text: str) -> str:
    """ "an inch" is 1 in."""
    return f"1 {text}" if re.fullmatch(r"in(?:ch)?", text) else text


def _threads(number: str) -> Fraction:
    whole, _, part = number.replace(",", ".").replace("-", " ").partition(" ")
    return Fraction(whole) + (Fraction(part) if part else 0)


def _read_error(said: str, pitch: Fraction) -> Fraction:
    """Half of the last digit written, at least 1 % of the pitch; mm. Fractions of a mm or an inch
    are taken at their word."""
    least = pitch * GAUGE
    if said.endswith("tpi"):
        threads = MM_PER_INCH / pitch
        step = Fraction(1, 2 * threads.denominator) if "/" in said else _half_digit(said)
        return max(least, pitch * step / threads)
    if "/" in said or "start" in said:
        return least
    return max(least, _half_digit(said) * (1 if said.endswith("mm") else MM_PER_INCH))


def _half_digit(said: str) -> Fraction:
    digits = re.search(r"[.,](\d+)", said)
    return Fraction(1, 2 * 10 ** (len(digits[1]) if digits else 0))
