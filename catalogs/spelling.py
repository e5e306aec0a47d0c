"""Thread sizes as people write them, brought to one spelling.

`M10x1.5`, `m10 X 1,5` and `M10-1.5` are one size, and so are `1/2" Whit` and `Whit 1/2 in`.
A spelling keeps the words and the numbers of a size apart, so that their order does not
matter, and leaves out what says nothing (units of a plain inch size, the letter x).
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.pitch import Pitch

_SILENT = {"x", "xph", "in", "inch", "tpi", "no", "nr", "thread", "threads", "rh"}
_PLAIN = str.maketrans({
    "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u00d7": "x", "*": "x",
    "\u2044": "/", ",": ".", "(": " ", ")": " ",
})  # fmt: skip
_INCH_MARKS = '"\u2033\u201c\u201d'
_MIXED = re.compile(r"(?<![\d./])(\d+)[ -]+(\d+)/(\d+)")
_LEFT = re.compile(r"[\s-]*\b(lh|left|left[ -]?hand(ed)?)$|(?<=\d)lh$")
_CLASS = re.compile(r"[\s-]+([3-9][a-h]([3-9][a-h])?|[123][ab]|[2-5][gc])$")
_STARTS = re.compile(r"[\s,]*\b(\d{1,2})[ -]?starts?$")
_ONE_PITCH = re.compile(r"(?<=[\d.])[\s-]*p\s*(\d*\.?\d+)$")
_TOKEN = re.compile(r"#?\d+(?:/\d+)?(?:\.\d+)?|\.\d+|[a-z]+")

_LONGEST = 80
"""Characters; no size is written longer."""


@dataclass(frozen=True)
class Spelling:
    """What a written size says. `key` names the size in the catalog; where `one_pitch` is
    given (Tr40x14 P7), the second number of the key was a lead and `key` holds the pitch in
    its stead, `starts` the quotient of the two. `left` marks a left-hand thread, `inches` a
    size written with the inch mark."""

    key: str
    starts: Fraction = Fraction(1)
    left: bool = False
    inches: bool = False


def spell(text: str) -> Spelling:
    """The one spelling of a written size.

    >>> spell("m10 X 1,5").key == spell("M10x1.5").key, spell("Tr40x14 P7 LH")
    (True, Spelling(key='tr:40-7', starts=Fraction(2, 1), left=True, inches=False))
    """
    plain = _plain(text[:_LONGEST])
    unhanded = _LEFT.sub("", plain)
    unclassed = _CLASS.sub("", unhanded)
    starts = Fraction(1)
    if several := _STARTS.search(unclassed):
        starts, unclassed = Fraction(several[1]), unclassed[: several.start()]
    one_pitch = _ONE_PITCH.search(unclassed)
    words, numbers = _split(unclassed[: one_pitch.start()] if one_pitch else unclassed)
    if one_pitch:
        numbers, starts = _with_pitch(numbers, Fraction(one_pitch[1]))
    inches = any(mark in text for mark in _INCH_MARKS)
    return Spelling(f"{''.join(words)}:{'-'.join(numbers)}", starts, unhanded != plain, inches)


def name_of(base: str, pitch: Pitch, left: bool) -> str:
    """The name of a catalog size with more starts or the other hand."""
    several = f" {pitch.starts} starts" if pitch.starts > 1 else ""
    return f"{base}{several}{' LH' if left else ''}"


def _with_pitch(numbers: list[str], pitch: Fraction) -> tuple[list[str], Fraction]:
    """The numbers of a size whose pitch is written after a P: Tr40x14 P7, M10 P1.5.

    No size has the numbers that come of a P without sense.
    """
    if len(numbers) == 2 and pitch:
        return [numbers[0], str(pitch)], Fraction(numbers[1]) / pitch
    return ([*numbers, str(pitch)] if len(numbers) == 1 else []), Fraction(1)


def _plain(text: str) -> str:
    """Lower case, plain signs, vulgar fractions spelt out, inch marks gone."""
    spelt = "".join(
        f" {unicodedata.normalize('NFKC', char)}" if unicodedata.category(char) == "No" else char
        for char in text
    )
    spelt = re.sub(f"[{_INCH_MARKS}']", " ", spelt.translate(_PLAIN))
    return " ".join(spelt.lower().split())


def _split(plain: str) -> tuple[list[str], list[str]]:
    """Words and numbers, each in their order; numbers as exact fractions."""
    added = _MIXED.sub(lambda m: str(_mixed(m)) if int(m[3]) else m[0], plain)
    tokens = _TOKEN.findall(added)
    words = [token for token in tokens if token.isalpha() and token not in _SILENT]
    return words, [_number(token) for token in tokens if not token.isalpha()]


def _mixed(match: re.Match[str]) -> Fraction:
    return int(match[1]) + Fraction(int(match[2]), int(match[3]))


def _number(token: str) -> str:
    """A number in lowest terms; numbered sizes (#10) keep their sign."""
    mark, digits = ("#", token[1:]) if token.startswith("#") else ("", token)
    try:
        return f"{mark}{Fraction(digits)}"
    except (ValueError, ZeroDivisionError):
        return token
