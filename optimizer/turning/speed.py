"""How fast the spindle may turn while the carriage must be stopped by hand."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Speed:
    """`highest_rpm` keeps the overrun within `allowed_overrun` (mm) when the hand needs
    `reaction` s. Speeds of the carriage are mm/min. `lowest_rpm` and what depends on it are
    None where the lathe file does not say. `slow_enough` None: unknown."""

    reaction: float
    allowed_overrun: float
    highest_rpm: float
    carriage_at_highest: float
    lowest_rpm: float | None = None
    overrun_at_lowest: float | None = None
    carriage_at_lowest: float | None = None
    slow_enough: bool | None = None


def overrun(lead: float, rpm: float, reaction: float) -> float:
    """mm the carriage runs on in the reaction time (s): lead (mm) x turns made in it."""
    return lead * rpm / 60.0 * reaction


def speed(lead: float, reaction: float, allowed_overrun: float, lowest_rpm: float | None) -> Speed:
    """Spindle speeds for a lead (mm > 0), an allowed overrun (mm > 0), a reaction (s > 0)."""
    highest = 60.0 * allowed_overrun / (lead * reaction)
    if lowest_rpm is None:
        return Speed(reaction, allowed_overrun, highest, lead * highest)
    return Speed(
        reaction,
        allowed_overrun,
        highest,
        lead * highest,
        lowest_rpm,
        overrun(lead, lowest_rpm, reaction),
        lead * lowest_rpm,
        lowest_rpm <= highest,
    )
