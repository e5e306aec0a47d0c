"""A pitch or a thread size as written anywhere: in a file, a cell or on the command line."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationInfo

from gearchest.cli.files.document import Patience, Reading
from gearchest.cli.files.fields import brief
from gearchest.optimizer.domain.notation import (
    PITCH_FORMS,
    UNKNOWN_UNIT,
    UNREADABLE,
    NotationError,
    parse_number,
    parse_pitch,
)
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.thread import Thread

PITCH_OR_SIZE = f'{PITCH_FORMS}, or a size such as "M10", "1/4-20 UNC" or "2 BA"'

_LEFT_HAND = re.compile(r"[\s-]*\b(?:l\.?h\.?|left(?:[ -]hand(?:ed)?)?)\s*$", re.IGNORECASE)


@dataclass(frozen=True)
class Named:
    """What a text names: a pitch, and where it is a size its thread; and its hand."""

    text: str
    pitch: Pitch
    thread: Thread | None = None
    left: bool = False


def read_pitch(text: str, patience: Patience) -> Named:
    """Read a pitch or a catalog size, either with LH after it; `NotationError` if neither.

    Where there is no such size, those that may be meant are looked for as patience allows.
    """
    plain = _LEFT_HAND.sub("", brief(text))
    left = plain != text
    try:
        return Named(text.strip(), parse_pitch(plain), left=left)
    except NotationError as error:
        thread = _size(text, plain, error, patience)
    return Named(text.strip(), thread.pitch, thread, left or thread.left)


def _size(text: str, plain: str, error: NotationError, patience: Patience) -> Thread:
    """The size `text` names; raises what keeps it from being a pitch if it names none."""
    from gearchest.catalogs.threads import UnknownSize, find_size

    problem, fix = error.problem, error.fix
    if not _is_number(plain):  # 11-1/2 lacks its unit, whatever else it may look like
        try:
            return find_size(text)
        except UnknownSize as unknown:
            if problem == UNREADABLE:
                problem, fix = str(unknown), unknown.cure if patience.spent() else ""
            elif problem.endswith(UNKNOWN_UNIT):
                problem = f"{problem}, and {unknown}"
                fix = f"{fix}; {unknown.cure}" if patience.spent() else fix
    raise NotationError(problem, value=text, allowed=PITCH_OR_SIZE, fix=fix) from None


def _is_number(text: str) -> bool:
    try:
        parse_number(text)
    except NotationError:
        return False
    return True


def _pitch_field(value: Any, info: ValidationInfo) -> Named:
    if isinstance(value, bool) or not isinstance(value, str):
        raise NotationError(
            "a pitch is text with its unit", value=str(value), allowed=PITCH_OR_SIZE,
            fix=f'write "{value} mm" or "{value} tpi", whichever is meant',
        )  # fmt: skip
    return read_pitch(" ".join(value.split()), (info.context or Reading()).patience)


PitchField = Annotated[Named, PlainValidator(_pitch_field)]
