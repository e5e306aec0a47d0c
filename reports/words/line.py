"""One line of a sheet."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Line:
    """What, how much, and what that means."""

    label: str
    value: str
    note: str = ""
