"""Why there is no document, in the words of the page: fields in place of options."""

from __future__ import annotations

import re
from typing import Any

from gearchest.cli.page.setup_form import LABELS

MOST_TOLD = 5
"""Faults told at once."""


def why(found: dict[str, Any]) -> list[str]:
    """A line for each fault of an answer that is none; none where it is one."""
    if found["kind"] == "faults":
        return [_line(fault) for fault in found["faults"][:MOST_TOLD]]
    return [str(found["why"])] if found["kind"] == "sorry" else []


def unwanted(found: dict[str, Any]) -> bool:
    """Whether all that keeps a document away is that no thread is wanted yet."""
    return found["kind"] == "faults" and all(map(_nothing_wanted, found["faults"]))


def _nothing_wanted(fault: dict[str, Any]) -> bool:
    return str(fault["where"]) == "want" and str(fault["value"]) in ("", "[]")


def _line(fault: dict[str, Any]) -> str:
    if _nothing_wanted(fault):
        return "no thread is wanted yet: name some on the sheet of threads"
    where, value, cure = str(fault["where"]), str(fault["value"]), str(fault["cure"])
    named = " ".join(filter(None, (_fields(where), f"“{value}”" if value else "")))
    said = f"{named}: {fault['why']}" if named else str(fault["why"])
    if fault["allowed"]:
        said += f"; allowed: {fault['allowed']}"
    return _fields(f"{said}; {cure}" if cure else said)


def _fields(text: str) -> str:
    """The text with the labels of fields for the names of options."""
    return re.sub(r"--([a-z]+(?:-[a-z]+)*)", _label, text)


def _label(option: re.Match[str]) -> str:
    name = option[1].replace("-", "_")
    return LABELS.get(name, option[1].replace("-", " "))
