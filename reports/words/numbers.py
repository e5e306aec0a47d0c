"""Numbers as people read them: rounded, with units, mm or inch first as the lathe is.

Minus signs are real ones, figures group by nothing and decimals stand after a point.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import MM_PER_INCH, Pitch, format_fraction

MINUS = "\u2212"
NARROW_SPACE = "\u202f"
Number = float | Fraction | int

LEAST_ERROR, MOST_PPM = 0.5e-6, 1e-3
"""Errors below the one are shown as less than a ppm, those from the other on in per cent."""


def figure(value: Number, places: int = 1) -> str:
    """A number with a fixed count of decimals and a real minus sign."""
    text = f"{float(value):.{places}f}"
    if text.startswith("-"):
        text = MINUS + text[1:] if float(text) else text[1:]
    return text


def significant(value: Number, digits: int = 3) -> str:
    """A number with so many significant digits, never in exponent form; whole figures before
    the point all stay.

    >>> significant(0.01234), significant(9.996), significant(12345)
    ('0.0123', '10.0', '12345')
    """
    if value == 0:
        return "0"
    rounded = f"{float(value):.{digits - 1}e}"
    return figure(value, max(0, digits - 1 - int(rounded.partition("e")[2])))


def millimetres(value: Number, places: int = 1) -> str:
    """A length in mm, unit included."""
    return f"{figure(value, places)}{NARROW_SPACE}mm"


_MILLIMETRES = re.compile(r"(\d+(?:\.\d+)?) mm\b")


def told(text: str, *, inch: bool) -> str:
    """A sentence with its lengths in mm, in inches where those are asked for.

    >>> told("6 mm short", inch=True).replace(NARROW_SPACE, " "), told("6 mm short", inch=False)
    ('0.236 in short', '6 mm short')
    """
    return _MILLIMETRES.sub(_in_inches, text) if inch else text


def _in_inches(found: re.Match[str]) -> str:
    inches = float(found[1]) / 25.4
    digits = 4 if inches >= 1 else 3 if inches >= 0.01 else 2
    return f"{inches:.{digits}g}{NARROW_SPACE}in"


def degrees(value: Number, places: int = 1) -> str:
    """An angle, sign of degree included."""
    return f"{figure(value, places)}°"


def percent(value: Number, digits: int = 2) -> str:
    """A share as a percentage; more than a whole one never reads 100 %."""
    share = float(value) * 100
    text = significant(share, digits)
    while share > 100 and float(text) <= 100:
        digits += 1
        text = significant(share, digits)
    return f"{text}{NARROW_SPACE}%"


_SOON = 3
"""Ways to write an allowance so that all its decimals stand: the usual count and up to two more."""

_MOST_MORE = 12
"""Decimals beyond the usual; with more of them floats do not tell two shares apart."""


def error(value: Number, allowed: Number | None = None) -> str:
    """A relative error with its sign: none, in ppm below 0.1 %, else in per cent.

    Beside what is `allowed` it never stands on the wrong side of it: one within is written as no
    more than the allowance is, one beyond with as many decimals as it takes.

    >>> [error(e, 0.001).replace(NARROW_SPACE, " ") for e in (0.001, 0.00100002)]
    ['+0.10 %', '+0.100002 %']
    """
    if value == 0:
        return "no error"
    sign = "+" if value > 0 else MINUS
    size = value if value > 0 else -value
    if allowed is None:
        return sign + _share(size)
    limit = _limit(max(allowed, 0))
    if size <= allowed:
        return sign + min(_share(size), limit, key=_read)
    for more in range(_MOST_MORE):
        if _read(text := _share(size, more)) > _read(limit):
            return sign + text
    return f"{sign}>{limit}"


def allowance(value: Number) -> str:
    """An allowance as plus or minus, in the unit its errors are shown in; rounded down, so
    that no more is said to be allowed than is."""
    return f"±{_limit(value)}" if value > 0 else "none"


def _scale(share: float) -> tuple[float, int, str]:
    """What a share is multiplied by, its decimals and its unit."""
    return (1e6, 0, "ppm") if share < MOST_PPM else (100, 2, "%")


def _share(value: Number, more: int = 0) -> str:
    """A share greater than zero, with `more` decimals than usual."""
    share = float(value)
    if share < LEAST_ERROR and not more:
        return f"<1{NARROW_SPACE}ppm"
    factor, places, sign = _scale(share)
    return f"{share * factor:.{places + more}f}{NARROW_SPACE}{sign}"


def _limit(value: Number) -> str:
    """As `_share`, but rounded down, and never to nothing; decimals that end soon all stay."""
    share = float(value)
    factor, usual, sign = _scale(share)
    scaled = [share * factor * 10**places * (1 + 1e-12) for places in range(usual, _MOST_MORE)]
    ends = [n for n, size in enumerate(scaled[:_SOON]) if size % 1 < 1e-9 * size and size >= 1]
    more = next(iter(ends), next((n for n, size in enumerate(scaled) if size >= 1), 0))
    places = usual + more
    return f"{math.floor(scaled[more]) / 10**places:.{places}f}{NARROW_SPACE}{sign}"


def _read(text: str) -> float:
    """The share a reader takes from a text."""
    number, sign = text.split(NARROW_SPACE)
    return 0.0 if number.startswith("<") else float(number) / (1e6 if sign == "ppm" else 100)


def weight(value: Fraction) -> str:
    """A weight or a price: a whole number bare, else two decimals at most."""
    return str(value.numerator) if value.denominator == 1 else f"{float(value):.2f}"


def duration(minutes: float) -> str:
    """A stretch of time that nobody measures: `6 min`, `1.5 h`, `9 h`.

    >>> [duration(m).replace(NARROW_SPACE, " ") for m in (0.2, 6.4, 92, 551)]
    ['1 min', '6 min', '1.5 h', '9 h']
    """
    if minutes < 90:
        return f"{max(1, round(minutes))}{NARROW_SPACE}min"
    hours = minutes / 60
    return f"{hours:.1f}{NARROW_SPACE}h" if hours < 4 else f"{hours:.0f}{NARROW_SPACE}h"


def plural(count: int, one: str, many: str = "") -> str:
    """A count with its noun: `1 gear`, `2 gears`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def inch_first(lathe: Lathe) -> bool:
    """Whether inches come first: by the units of its file, else by those of the leadscrew."""
    return lathe.leadscrew.inch if lathe.inch is None else lathe.inch


def unit(lathe: Lathe) -> str:
    """The lathe's unit of length, in words of a caption."""
    return "inches" if inch_first(lathe) else "mm"


def pitch_pair(pitch: Pitch, *, inch: bool) -> tuple[str, str]:
    """A lead as (the lathe's own unit, the other one)."""
    lead = pitch.lead
    metric = f"{_trimmed(lead.mm, 5)}{NARROW_SPACE}mm"
    threads = 25.4 / lead.mm
    exact = None if lead.pi else MM_PER_INCH / lead.rational
    if exact is not None and exact.denominator in (1, 2, 4, 8):
        imperial = f"{format_fraction(exact)}{NARROW_SPACE}tpi"
    else:
        imperial = f"{_trimmed(threads, 4)}{NARROW_SPACE}tpi"
    return (imperial, metric) if inch else (metric, imperial)


def _trimmed(value: float, digits: int) -> str:
    """Significant digits without trailing zeros behind the point."""
    text = significant(value, digits)
    return text.rstrip("0").rstrip(".") if "." in text else text


def bare_length(value: Number, *, inch: bool, places: int = 1) -> str:
    """A length in the lathe's unit where that is named elsewhere; inches to two places more."""
    return figure(float(value) / 25.4, places + 2) if inch else figure(value, places)


def length_pair(value: float, *, inch: bool, places: int = 1) -> str:
    """A length in the lathe's unit with the other behind it."""
    metric = millimetres(value, places)
    imperial = f"{figure(value / 25.4, places + 2)}{NARROW_SPACE}in"
    return f"{imperial} ({metric})" if inch else f"{metric} ({imperial})"


def constants() -> dict[str, object]:
    """What `figures.js` writes numbers with."""
    return {
        "minus": MINUS,
        "space": NARROW_SPACE,
        "inch": float(MM_PER_INCH),
        "least": LEAST_ERROR,
        "ppm": MOST_PPM,
        "soon": _SOON,
        "more": _MOST_MORE,
    }
