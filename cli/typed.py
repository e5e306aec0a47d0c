"""Values typed on the command line: each read, or refused in the words of its option."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from gearchest.cli.faults import COMMAND_LINE, Fault, FaultsError, nearest
from gearchest.cli.files.amounts import Amount, amount
from gearchest.optimizer.domain.notation import (
    NotationError,
    parse_distance,
    parse_length,
    parse_number,
)


def option_fault(option: str, value: str, problem: str, allowed: str = "", fix: str = "") -> Fault:
    """A fault of the command line."""
    return Fault(COMMAND_LINE, problem, where=option, value=value, allowed=allowed, fix=fix)


def refused(option: str, value: str, problem: str, allowed: str = "", fix: str = "") -> FaultsError:
    """One fault of the command line, to be raised."""
    return FaultsError([option_fault(option, value, problem, allowed, fix)])


def unknown(option: str, value: str, problem: str, known: Iterable[str]) -> FaultsError:
    """A word that is none of those known, to be raised; the nearest of them is the cure."""
    words = list(known)
    near = nearest(value, words)
    fix = f'"{near}" may be meant' if near else "take one of these"
    return refused(option, value, problem, allowed=", ".join(words), fix=fix)


def length(text: str | None, option: str) -> Fraction | None:
    """A length greater than zero, mm."""
    try:
        return None if text is None else parse_length(text)
    except NotationError as error:
        raise refused(option, error.value, error.problem, error.allowed, error.fix) from None


def distance(text: str | None, option: str) -> float | None:
    """A distance of either sign, mm where it bears no unit."""
    try:
        return None if text is None else float(parse_distance(text, Fraction(1)))
    except NotationError as error:
        raise refused(option, text or "", error.problem, error.allowed, error.fix) from None


def number(text: str, option: str) -> Fraction:
    """A plain number."""
    try:
        return parse_number(text)
    except NotationError as error:
        raise refused(option, text, error.problem, fix=error.fix) from None


def positive(text: str | None, option: str) -> float | None:
    """A number greater than zero."""
    if text is None:
        return None
    value = number(text, option)
    if value <= 0:
        raise refused(option, text, "this must be greater than zero")
    return float(value)


def money(text: str | None, option: str) -> Amount | None:
    """An amount, at least nothing: "40", "40,00", "€40"."""
    if text is None:
        return None
    try:
        found = amount(text)
    except NotationError as error:
        raise refused(option, text, error.problem, error.allowed, error.fix) from None
    if found.value < 0:
        raise refused(option, text, "money cannot be negative")
    return found
