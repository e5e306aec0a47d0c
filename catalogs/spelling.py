"""Thread sizes as people write them, brought to one spelling.

`M10x1.5`, `m10 X 1,5` and `M10-1.5` are one size, and so are `1/2" Whit` and `Whit 1/2 in`.
A spelling keeps the words and the numbers of a size apart, so that their order does not
matter, and leaves out what says nothing of the size: the standard it is from, its tolerance
class, the letter x.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from gearchest.optimizer.domain.typography import plain

_SILENT = {
    "x", "xph", "ph", "in", "inch", "mm", "tpi", "thread", "threads", "gewinde", "pitch", "pas",
    "de", "paso", "passo", "steigung", "fit", "class", "tap", "die", "bolt", "nut",
}  # fmt: skip
_NUMBERED = re.compile(r"(?:\bn[or]\b[.:\u00b0]*|\bn[\u00b0\u00ba]|\u2116) ?(?=\d)")
_PER_INCH = re.compile(r"\bt\.? ?p\.? ?i\b\.?|\b(threads? )?(per|to the|an) in(ch)?\b")
_MIXED = re.compile(r"(?<![\d./#])(\d+)[ -]+(\d+)/(\d+)")
_OVER = re.compile(r"(?<=\d)/(?=\d*\.\d)")
"""A slash before a decimal parts diameter and pitch: M8/1.25."""

_STANDARD = re.compile(
    r"\b(?:(?:din|iso|en|bs|ansi|asme|jis|uni)\b[ -]*)+"
    r"(?:b ?\d+(?:\.\d+)+|b ?\d{3,4}|\d{2,5}(?:[-./]\d{1,2})?(?![\d./]| ?x))?[ :-]*"
)
_LEFT = re.compile(
    r"[ -]*(?<![a-z])(?:l\.? ?h\b\.?|left(?:[ -]*hand(?:ed)?)?|links(?:gewinde)?|gauche|"
    r"sinistr[ao]|izquierda)(?![a-z])"
)
_RIGHT = re.compile(r"[ -]*(?<![a-z])(?:r\.? ?h\b\.?|right(?:[ -]*hand(?:ed)?)?|rechts)(?![a-z])")
_GRADE = r"[3-9][a-h](?:[3-9][a-h])?"
_CLASS = re.compile(
    rf"[ -]+(?:{_GRADE}(?:/{_GRADE})?|(?:class |cl\.? ?)?[123][ab]|[2-5][gc]|free|medium|close)"
    r"(?: fit)?$"
)
_PIPE_CLASS = re.compile(r"^(g ?\d[\d /]*)[ -]?[ab]$")
_STARTS = re.compile(
    r"[ ,-]*(?<![\d./])\b(\d{1,2}|single|double|twin|two|triple|three|four)[ -]?"
    r"(?:starts?|g(?:\u00e4|ae)ngig)\b"
)
_STARTS_SAID = {"single": 1, "double": 2, "twin": 2, "two": 2, "triple": 3, "three": 3, "four": 4}
_ONE_PITCH = re.compile(
    r"(?<=[\d.])[ x-]*(p|pitch|pas(?: de)?|paso|passo|steigung)[ =:]*(\d+/\d+|\d*\.?\d+)"
    r"(?: ?mm)?$"
)
_UNIT = r'"|mm\b|in(?:s|ch|ches)?\b|zoll\b|tpi\b'
_TOKEN = re.compile(rf"(#?\d+(?:/\d+)?(?:\.\d+)?|\.\d+)(?:[ -]?({_UNIT}))?|([a-z]+)")

_LONGEST = 80
"""Characters; no size is written longer."""

_HUNDREDTHS = 20
"""A French "pas" of more than so much is in hundredths of a mm: pas 150 (from memory)."""


@dataclass(frozen=True)
class Spelling:
    """What a written size says. `words` and `numbers` name the size, the pitch last; `units`
    stand beside the numbers, "" where none is written. Where one pitch is given besides the
    lead (Tr40x14 P7), the pitch stands among the numbers and `starts` is the quotient of the
    two. `left` marks a left-hand thread.
    """

    words: tuple[str, ...]
    numbers: tuple[str, ...]
    units: tuple[str, ...]
    starts: Fraction = Fraction(1)
    left: bool = False

    @property
    def key(self) -> str:
        """What names the size in the catalog; a spelling of it is itself."""
        return f"{''.join(self.words)}:{'x'.join(self.numbers)}"

    @property
    def turned(self) -> tuple[str, ...]:
        """The key, and those with the words in another order of turning."""
        turns = range(max(1, len(self.words)))
        words = [self.words[turn:] + self.words[:turn] for turn in turns]
        return tuple(replace(self, words=each).key for each in words)

    @property
    def inches(self) -> bool:
        """Whether the diameter is written in inches."""
        return self.units[:1] == ("in",)

    @property
    def metric(self) -> bool:
        """Whether any of it is written in mm."""
        return "mm" in self.units


def spell(text: str) -> Spelling:
    """The one spelling of a written size.

    >>> spell("m10 X 1,5").key == spell("M10x1.5").key, spell("Tr40x14 P7 LH").key
    (True, 'tr:40x7')
    >>> spell('24 tpi x 1"').numbers, spell('W 20x1/14"').numbers
    (('1', '24'), ('20', '14'))
    """
    said = _said(plain(text[:_LONGEST]))
    unhanded = _LEFT.sub(" ", said)
    bare, starts = _without_starts(_RIGHT.sub(" ", unhanded).strip())
    unclassed = _PIPE_CLASS.sub(r"\1", _CLASS.sub("", bare)).strip(" -")
    one_pitch = _ONE_PITCH.search(unclassed)
    found = _split(unclassed[: one_pitch.start()] if one_pitch else unclassed)
    if one_pitch:
        pitch = _hundredths(Fraction(one_pitch[2]), one_pitch[1])
        numbers, several = _with_pitch(found.numbers, pitch)
        found = replace(found, numbers=numbers, units=("",) * len(numbers))
        starts = several if several != 1 else starts
    return replace(found, starts=starts, left=unhanded != said)


def _said(text: str) -> str:
    """Without brackets, signs for diameter and names of standards; one sign for each thing."""
    text = re.sub(r"[()\u00f8\u2300]", " ", text.replace("*", "x"))
    text = re.sub(r"(?<=[\dx ]),(?=\d)", ".", text)
    text = _PER_INCH.sub(" tpi ", _NUMBERED.sub("#", text.replace(",", " ").replace("'", " ")))
    return " ".join(_STANDARD.sub(" ", _OVER.sub("x", text)).split())


def _without_starts(text: str) -> tuple[str, Fraction]:
    several = _STARTS.search(text)
    if several is None:
        return text, Fraction(1)
    count = _STARTS_SAID.get(several[1]) or int(several[1])
    return text[: several.start()] + text[several.end() :], Fraction(count)


def _hundredths(pitch: Fraction, word: str) -> Fraction:
    french = word.startswith("pas") and not word.startswith("passo")
    return pitch / 100 if french and pitch > _HUNDREDTHS else pitch


def _with_pitch(numbers: tuple[str, ...], pitch: Fraction) -> tuple[tuple[str, ...], Fraction]:
    """The numbers of a size whose pitch is written after a P: Tr40x14 P7, M10 P1.5.

    No size has the numbers that come of a P without sense.
    """
    if len(numbers) == 2 and pitch:
        return (numbers[0], str(pitch)), Fraction(numbers[1]) / pitch
    return ((*numbers, str(pitch)) if len(numbers) == 1 else ()), Fraction(1)


def _split(said: str) -> Spelling:
    """Words and numbers, each in their order but the pitch last; numbers as exact fractions."""
    added = _MIXED.sub(lambda m: str(_mixed(m)) if int(m[3]) else m[0], said)
    words: list[str] = []
    numbers: list[str] = []
    units: list[str] = []
    for number, unit, word in _TOKEN.findall(added):
        if number:
            numbers.append(_number(number))
            units.append(unit if unit in ("", "mm", "tpi") else "in")
        elif word not in _SILENT:
            words.append(word)
    if units[:1] == ["tpi"] and len(units) == 2:
        numbers.reverse()
        units.reverse()
    if units[1:2] == ["in"] and numbers[1].startswith("1/"):  # 1/14 in is 14 to the inch
        numbers[1], units[1] = numbers[1].removeprefix("1/"), "tpi"
    return Spelling(tuple(words), tuple(numbers), tuple(units))


def _mixed(match: re.Match[str]) -> Fraction | str:
    """A whole number and its fraction added; a fraction above 1 is a number of its own."""
    whole, over, under = int(match[1]), int(match[2]), int(match[3])
    return whole + Fraction(over, under) if over < under else match[0]


def _number(token: str) -> str:
    """A number in lowest terms; numbered sizes (#10) keep their sign."""
    mark, digits = ("#", token[1:]) if token.startswith("#") else ("", token)
    try:
        return f"{mark}{Fraction(digits)}"
    except (ValueError, ZeroDivisionError):
        return token
