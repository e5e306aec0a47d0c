"""Gears counted as people write them down: 20, "2x20", "20 20 30", "20T, 30T", "20 to 100 by 5"."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainValidator

from gearchest.cli.files.fields import brief, number_of, refused
from gearchest.cli.files.limits import LONGEST_LIST, MOST_GEARS
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.domain.typography import plain

FEWEST_TEETH, MOST_TEETH = 8, 500

ALLOWED = (
    f'tooth counts of {FEWEST_TEETH} to {MOST_TEETH}, as in [20, 20, 30] or "2x20, 30"; a gear '
    "owned twice stands twice"
)

_APART = re.compile(r"\s*[,;+&]\s*|\s+and\s+|\s+")
_RUN = re.compile(r"(\d{1,3}) to (\d{1,3})(?:,? (?:by|step|in steps of) (\d{1,3}))?")
_TIMES = re.compile(r"\s*[x*]\s*")
_BRACKETED = re.compile(r"\s*\(\s*x?\s*(\d+)\s*(?:x|off|pcs|times)?\s*\)")
_TEETH = re.compile(r"(?<=\d)\s*(?:t|z|teeth|tooth)\b\.?")
_COUNT = re.compile(r"(\d{1,4})(?:([x(])(\d{1,4}))?")


def counts(value: Any) -> tuple[int, ...]:
    """The tooth counts of one entry: a number, or text that lists some."""
    if not isinstance(value, str):
        number = number_of(value, ALLOWED)
        if number.denominator != 1:
            raise refused("this is not a whole number", value, ALLOWED, "count whole teeth")
        return (_in_range(int(number), value),)
    cleaned = _TEETH.sub("", plain(brief(value, LONGEST_LIST)))
    cleaned = _RUN.sub(_spelt_out, cleaned)
    cleaned = _TIMES.sub("x", _BRACKETED.sub(r"(\1", cleaned)).strip(" ,;")
    found = [count for part in _APART.split(cleaned) for count in _part(part, value)]
    return tuple(found)


def _part(part: str, value: str) -> list[int]:
    """One count, or one with how many there are of it."""
    if ends := re.fullmatch(r"(\d{1,3})-(\d{1,3})", part):
        raise _hyphen(int(ends[1]), int(ends[2]), value)
    match = _COUNT.fullmatch(part)
    if match is None:
        raise _unreadable(part, value)
    one, times, other = int(match[1]), match[2], int(match[3] or 1)
    teeth, count = (one, other) if times != "x" or other < FEWEST_TEETH else (other, one)
    if times == "x" and count >= FEWEST_TEETH:
        raise refused(
            f"{one} gears of {other} teeth, or {other} gears of {one} teeth?", value, ALLOWED,
            f'write "{other} ({one})" for {one} gears, or "{one} ({other})" for {other}',
        )  # fmt: skip
    if not 1 <= count <= MOST_GEARS:
        raise refused("nobody owns so many of a gear", value, ALLOWED, "check it")
    return [_in_range(teeth, value)] * count


def _hyphen(first: int, last: int, value: str) -> NotationError:
    fix = f'write "{first} {last}"'
    if not FEWEST_TEETH <= first < last:
        return refused("a hyphen does not part gears", value, ALLOWED, fix)
    return refused(
        f"this is two gears, {first} and {last}, or all those from {first} to {last}", value,
        ALLOWED, f'{fix} for two gears, or "{first} to {last}" for every one between',
    )  # fmt: skip


def _spelt_out(run: re.Match[str]) -> str:
    """Every count of a run such as "20 to 100 by 5"."""
    first, last, step = int(run[1]), int(run[2]), int(run[3] or 1)
    return " ".join(map(str, range(first, last + 1, max(1, step)))) or run[0]


def _unreadable(part: str, value: str) -> NotationError:
    size = re.search(r"dp|mod|m\d|\dm", part)
    if size or re.search(r"\d\s*(?:dp|mod)", value.casefold()):
        return refused(
            "gears of another module or DP stand in a table of their own", value, ALLOWED,
            'take them out here, and write [[gears.special]] with dp = 20 and teeth = "40 45"',
        )  # fmt: skip
    return refused(f'"{part}" is no tooth count', value, ALLOWED, 'write numbers, as in "20 20 30"')


def _in_range(teeth: int, value: Any) -> int:
    if FEWEST_TEETH <= teeth <= MOST_TEETH:
        return teeth
    size = "small" if teeth < FEWEST_TEETH else "large"
    raise refused(f"{teeth} teeth are too {size} a number", value, ALLOWED, "check it")


def _listed(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


Counted = Annotated[tuple[int, ...], PlainValidator(counts)]
"""One entry of a list of gears."""

GearList = Annotated[tuple[Counted, ...], BeforeValidator(_listed)]
"""Entries of a list of gears, or one text for all of them."""
