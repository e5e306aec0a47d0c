"""Threads asked for by the names they have in a wants file, else as they are typed."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TypedDict, Unpack

from gearchest.cli.faults import FaultsError, nearest
from gearchest.cli.files.wants import load_wants, want_from
from gearchest.cli.typed import refused
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want


class Said(TypedDict, total=False):
    """Options that say what is wanted, as `want_from` takes them."""

    use: str | None
    tolerance: str | None
    diameter: str | None
    engaged: str | None
    grade: str | None
    left: bool
    inside: bool
    mating: bool


def known_wants(file: Path | None, lathe: Lathe) -> tuple[Want, ...]:
    """The threads of a wants file, none without one. Raises `FaultsError`."""
    return load_wants(file, lathe) if file else ()


def named(text: str, wants: Sequence[Want]) -> Want | None:
    """The want of a name, whatever its capitals and spaces."""
    plain = _plain(text)
    return next((want for want in wants if _plain(want.name) == plain), None)


def wanted(text: str, wants: Sequence[Want], lathe: Lathe, **said: Unpack[Said]) -> Want:
    """What is asked for. A thread of the file is taken as it stands there: options that would
    have it otherwise are refused. Raises `FaultsError`."""
    found = named(text, wants)
    if found is None:
        return _typed(text, wants, lathe, said)
    for name, value in said.items():
        if value:
            raise refused(
                f"--{name}", "" if value is True else str(value),
                f'"{found.name}" is wanted as it stands in the wants file',
                fix="leave the option out, or write the pitch instead of the name",
            )  # fmt: skip
    return found


def _typed(text: str, wants: Sequence[Want], lathe: Lathe, said: Said) -> Want:
    try:
        return want_from(text, lathe=lathe, **said)
    except FaultsError:
        near = nearest(text, [want.name for want in wants])
        if near is None:
            raise
        raise refused(
            "PITCH", text, "no thread of the wants file has this name, and it is no pitch",
            fix=f'"{near}" may be meant',
        ) from None  # fmt: skip


def _plain(name: str) -> str:
    return "".join(name.casefold().split())
