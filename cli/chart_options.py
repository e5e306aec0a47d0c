"""What `gearchest chart` can be asked beyond files: gears not there yet, this evening's threads."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.gear_lists import ALLOWED, counts
from gearchest.cli.files.reading import read_text
from gearchest.cli.files.wants import want_from
from gearchest.cli.typed import refused
from gearchest.cli.wanted import named
from gearchest.optimizer.domain.gear import LEAST_TEETH, MOST_TEETH, Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.domain.want import Want

_BARE = re.compile(r"\d+")


def added_gears(
    lathe: Lathe, listed: Sequence[str], plan: Path | None, step: int | None
) -> tuple[Gear, ...]:
    """The gears of `--with` and of a plan's step, ordinary gears of the lathe. Raises
    `FaultsError`."""
    teeth = [count for text in listed for count in _teeth(text)]
    if plan is not None:
        teeth += _of_step(lathe, plan, step)
    elif step is not None:
        raise refused(
            "--step", str(step), "a step of which plan?",
            fix="name what `gearchest plan --json plan.json` wrote, with --plan plan.json",
        )  # fmt: skip
    return tuple(lathe.making.gear(count) for count in sorted(teeth))


def _teeth(text: str) -> tuple[int, ...]:
    try:
        found = counts(text)
    except NotationError as error:
        raise refused("--with", error.value, error.problem, error.allowed, error.fix) from None
    if not found:
        raise refused("--with", text, "no gear stands here", ALLOWED, "write 43,84")
    return found


def _of_step(lathe: Lathe, plan: Path, step: int | None) -> list[int]:
    """Tooth counts of a step of a plan's document."""
    document = _plan_document(plan)
    if document["lathe"] != lathe.name:
        raise _unfit(plan, f"this plan is for another lathe: {document['lathe']}",
                     "name the lathe file it was made from")  # fmt: skip
    steps = document["steps"]
    number = document["advice"]["step"] if step is None else step
    if not 0 <= number < len(steps):
        raise refused(
            "--step", str(number), "the plan has no such step", f"0 to {len(steps) - 1}",
            "take one of these",
        )  # fmt: skip
    return [gear["teeth"] for gear in steps[number]["gears"]]


def _plan_document(path: Path) -> dict[str, Any]:
    """A plan's document, as far as it is needed here all there."""
    try:
        document = json.loads(read_text(path))
        whole = document["kind"] == "plan" and isinstance(document["lathe"], str)
        whole = whole and isinstance(document["advice"]["step"], int)
        whole = whole and all(
            isinstance(gear["teeth"], int) and LEAST_TEETH <= gear["teeth"] <= MOST_TEETH
            for one in document["steps"]
            for gear in one["gears"]
        )
    except json.JSONDecodeError as error:
        raise FaultsError(
            [Fault(str(path), "this is no JSON", line=error.lineno, fix=_WRITE)]
        ) from None
    except (KeyError, TypeError, IndexError, RecursionError, ValueError):
        whole = False
    if not whole:
        raise _unfit(path, "this is no plan", _WRITE)
    found: dict[str, Any] = document
    return found


_WRITE = "name what `gearchest plan LATHE --json FILE` wrote"


def _unfit(path: Path, problem: str, fix: str) -> FaultsError:
    return FaultsError([Fault(str(path), problem, fix=fix)])


def this_evening(asked: Sequence[str], wants: Sequence[Want], lathe: Lathe) -> tuple[Want, ...]:
    """The threads asked for, each once: wants by their names, else sizes and pitches as typed.
    Raises `FaultsError`."""
    found: dict[str, Want] = {}
    for text in (part for texts in asked for part in listed_threads(texts)):
        want = named(text, wants) or _typed(text, lathe)
        found.setdefault(want.name, want)
    if not found:
        raise refused("--only", ",".join(asked), "no thread stands here", fix="write M6,M8")
    return tuple(found.values())


def _typed(text: str, lathe: Lathe) -> Want:
    try:
        return want_from(text, lathe=lathe)
    except FaultsError as error:
        raise FaultsError([replace(fault, where="--only") for fault in error.faults]) from None


def listed_threads(text: str) -> list[str]:
    """The threads of a list: parted by semicolons, else by commas that are no decimal commas.

    >>> listed_threads("M6, M10x1,25, 1,25 mm,8 mm")
    ['M6', 'M10x1,25', '1,25 mm', '8 mm']
    """
    text = text.replace('"', "")
    if ";" in text:
        return [part.strip() for part in text.split(";") if part.strip()]
    parts: list[str] = []
    for part in text.split(","):
        if parts and _BARE.fullmatch(parts[-1].strip()) and part[:1].isdigit():
            parts[-1] += f",{part}"  # 1,25 mm
        elif parts and _BARE.fullmatch(part.rstrip()) and _may_go_on(parts[-1]):
            parts[-1] += f",{part}"  # M10x1,25: no decimal comma has a space behind it
        else:
            parts.append(part)
    return [part.strip() for part in parts if part.strip()]


def _may_go_on(part: str) -> bool:
    return part[-1:].isdigit() and "," not in part
