"""The kinds of value files hold: each reads what was typed or says what is allowed.

Numbers may be TOML numbers or text; text may carry a decimal comma. Every reader raises
`NotationError`, which tells what is allowed and how to mend it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, PlainValidator

from gearchest.cli.faults import nearest
from gearchest.cli.files.limits import LONGEST_TEXT
from gearchest.cli.marks import MARKS
from gearchest.optimizer.domain.gear import LEAST_TEETH, MOST_TEETH
from gearchest.optimizer.domain.notation import (
    LENGTH_FORMS,
    RATIO_FORMS,
    SPEED_FORMS,
    TOLERANCE_FORMS,
    NotationError,
    parse_length,
    parse_number,
    parse_ratio,
    parse_speed,
    parse_tolerance,
)

T = TypeVar("T")

FINEST = 1000
"""The greatest denominator of a weight or a price."""


class Table(BaseModel):
    """A table of a file: keys it does not know are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


def exact(unit: str = "", **bounds: int | str) -> PlainValidator:
    """A number kept exact; bounds are `above`, `least` and `most`. Behind degrees their sign may
    stand."""
    return PlainValidator(_reader(unit, bounds))


def real(unit: str = "", **bounds: int | str) -> PlainValidator:
    """As `exact`, but a float."""
    read = _reader(unit, bounds)
    return PlainValidator(lambda value: float(read(value)))


def _reader(unit: str, bounds: dict[str, int | str]) -> Callable[[Any], Fraction]:
    allowed, check = in_bounds("a number", unit, bounds)

    def read(value: Any) -> Fraction:
        plain = value.strip().removesuffix("°") if isinstance(value, str) else value
        number = number_of(plain if unit == "degrees" else value, allowed)
        check(number, value)
        return number

    return read


def whole(unit: str = "", **bounds: int | str) -> PlainValidator:
    """A whole number; 24.0, as spreadsheets write it, is one."""
    allowed, check = in_bounds("a whole number", unit, bounds)

    def read(value: Any) -> int:
        number = number_of(value, allowed)
        if number.denominator != 1:
            raise refused("this is not a whole number", value, allowed, "count whole ones")
        check(number, value)
        return int(number)

    return PlainValidator(read)


def one_of(**choices: T) -> PlainValidator:
    """One of some words, whatever their case."""
    allowed = ", ".join(f'"{word}"' for word in choices)
    known = {word.casefold(): choice for word, choice in choices.items()}

    def read(value: Any) -> T:
        word = value.strip().casefold() if isinstance(value, str) else ""
        if word not in known:
            near = nearest(word, choices)
            fix = f'write "{near}"' if near else "use one of these"
            raise refused("this is not one of the words known here", value, allowed, fix)
        return known[word]

    return PlainValidator(read)


def _words(allowed: str, parse: Callable[[str], T]) -> PlainValidator:
    """Text in a notation of its own; a bare number is shown to the notation as typed."""

    def read(value: Any) -> T:
        if isinstance(value, bool) or not isinstance(value, (str, int, Decimal)):
            raise refused("this must be text in quotes", value, allowed, "write it in quotes")
        return parse(brief(str(value)))

    return PlainValidator(read)


def _text(value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise refused("this must be text", value, 'text in "quotes"', "write some text")
    if MARKS.search(brief(value)):
        raise refused("this is more than one line", value, "one line of text", "type it again")
    return value.strip()


def _name(value: Any) -> str:
    """A key that is somebody's own name for a thing; told apart by every character."""
    name = _text(value)
    if name != value:
        raise refused("this name begins or ends with a space", value, "a name", "take it out")
    return name


def brief(value: str, most: int = LONGEST_TEXT) -> str:
    """The text itself, if it is no longer than anybody would write it."""
    if len(value) > most:
        problem = f"this has {len(value):,} characters"
        raise refused(problem, value, f"at most {most} characters", "shorten it")
    return value


def _yes_or_no(value: Any) -> bool:
    word = str(value).strip().casefold()
    if not isinstance(value, (bool, int, str)) or word not in _ANSWERS:
        raise refused("this is a question of yes or no", value, "true or false",
                      "write true, or false")  # fmt: skip
    return _ANSWERS[word]


_ANSWERS = {
    **dict.fromkeys(("true", "yes", "y", "on", "x", "1"), True),
    **dict.fromkeys(("false", "no", "n", "off", "none", "0", ""), False),
}


def refused(problem: str, value: Any, allowed: str, fix: str) -> NotationError:
    """A value refused, to be raised."""
    return NotationError(problem, value=str(value), allowed=allowed, fix=fix)


def number_of(value: Any, allowed: str) -> Fraction:
    """A number, or text that holds one."""
    if isinstance(value, bool) or not isinstance(value, (str, int, Decimal, Fraction)):
        raise refused("this is not a number", value, allowed, "write a number")
    if isinstance(value, Decimal) and not value.is_finite():
        raise refused("this is not a number", value, allowed, "write a number")
    if isinstance(value, Decimal) and not -30 < value.adjusted() < 30:
        raise refused("this number is out of all proportion", value, allowed, "check it")
    if isinstance(value, str):
        try:
            return parse_number(brief(value))
        except NotationError as error:
            alone = re.fullmatch(r"([-+]?\d[\d.,]*)\s*[^\W\d].*", value.strip())
            fix = f"write {alone[1].replace(',', '.')}" if alone else error.fix
            raise refused(error.problem, value, allowed, fix) from None
    return Fraction(value)


def round_enough(number: Fraction) -> Fraction:
    """Weights and prices are added up exactly: very fine ones leave no room for the rest."""
    if number.denominator > FINEST:
        raise refused("this number is finer than can be added up exactly", number,
                      "three decimals, or a fraction such as 1/3", "round it")  # fmt: skip
    return number


def in_bounds(
    kind: str, unit: str, bounds: dict[str, int | str]
) -> tuple[str, Callable[[Fraction, Any], None]]:
    """What is allowed, in words, and the check of it."""
    limits = {name: Fraction(limit) for name, limit in bounds.items()}
    names = {"above": "greater than", "least": "at least", "most": "at most"}
    ranges = " and ".join(f"{names[name]} {limit}" for name, limit in bounds.items())
    noun = f"{kind} of {unit}" if unit else kind
    allowed = f"{noun}, {ranges}" if ranges else noun

    def check(number: Fraction, typed: Any) -> None:
        low = "above" in limits and number <= limits["above"]
        low = low or ("least" in limits and number < limits["least"])
        if low or ("most" in limits and number > limits["most"]):
            raise refused(f"this is too {'small' if low else 'large'}", typed, allowed, "check it")

    return allowed, check


Text = Annotated[str, PlainValidator(_text)]
Name = Annotated[str, PlainValidator(_name)]
YesNo = Annotated[bool, PlainValidator(_yes_or_no)]
Length = Annotated[Fraction, _words(LENGTH_FORMS, parse_length)]
Tolerance = Annotated[Fraction, _words(TOLERANCE_FORMS, parse_tolerance)]
Ratio = Annotated[Fraction, _words(RATIO_FORMS, parse_ratio)]
CuttingSpeed = Annotated[float, _words(SPEED_FORMS, parse_speed)]
Teeth = Annotated[int, whole("teeth", least=LEAST_TEETH, most=MOST_TEETH)]
Count = Annotated[int, whole(least=1, most=1000)]
Module = Annotated[Fraction, exact("mm", least="0.1", most=20)]
DiametralPitch = Annotated[Fraction, exact("teeth per inch of diameter", least=1, most=300)]
PressureAngle = Annotated[Fraction, exact("degrees", least=10, most=35)]
Degrees = Annotated[float, real("degrees", least=-360, most=360)]
Positive = Annotated[float, real(above=0, most=1_000_000)]
Weight = Annotated[Fraction, exact(above=0, most=1_000_000), AfterValidator(round_enough)]
