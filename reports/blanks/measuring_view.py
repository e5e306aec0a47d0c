"""Measuring the teeth in words: span, pins, tooth caliper."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.making.pins import PREFERRED_PIN
from gearchest.optimizer.making.sheet import BlankSheet
from gearchest.reports.blanks.view import in_inches, length
from gearchest.reports.words.numbers import NARROW_SPACE


@dataclass(frozen=True)
class MeasureRow:
    """One way of measuring: ideal, as cut, and what one dial division takes off."""

    how: str
    ideal: str
    cut: str
    division: str


def measure_rows(sheet: BlankSheet) -> list[MeasureRow]:
    """Span, pins and tooth caliper."""
    found = sheet.measures
    if found is None:
        return []
    inch = in_inches(sheet)

    def show(value: float) -> str:
        return f"{value / 25.4:.4f}" if inch else f"{value:.3f}"

    rows = [
        MeasureRow(
            f"Over {found.span.teeth} teeth",
            show(found.span.ideal),
            show(found.span.with_backlash),
            show(found.span.per_division),
        )
    ]
    for pins in ([found.pins] if found.pins else []) + list(found.at_hand):
        preferred = " (preferred)" if pins is found.pins else ""
        rows.append(
            MeasureRow(
                f"Over two pins of {_pin(sheet, pins.pin)}{preferred}",
                show(pins.ideal),
                show(pins.with_backlash),
                show(pins.per_division),
            )
        )
    chord = found.chordal
    rows.append(
        MeasureRow(
            f"Tooth thickness, caliper set {show(chord.height)} below the tip",
            show(chord.ideal),
            show(chord.thickness),
            show(chord.per_division),
        )
    )
    return rows


def measure_note(sheet: BlankSheet) -> str:
    """Backlash chosen and what a division is."""
    found = sheet.measures
    if found is None:
        return ""
    unit = "inches" if in_inches(sheet) else "millimetres"
    return (
        f"In {unit}. As cut: {length(sheet, sheet.pair_backlash, 3)} of backlash in the pair, half "
        f"of it on this gear. One division: {length(sheet, found.division, 3)} deeper on the dial. "
        f"{pins_note(sheet)} Preferred pins "
        f"are {PREFERRED_PIN} modules; an odd count is measured over the two spaces nearest "
        "opposite."
    )


def pins_note(sheet: BlankSheet) -> str:
    """Which pins measure the gear; "" where nothing is measured."""
    if sheet.measures is None:
        return ""
    pins = sheet.measures.pin_range
    if pins is None:
        return "No pin rests on the flanks and stands proud of the tips: measure the span."
    # Inwards: a pin of the size that is printed measures.
    least, most = math.ceil(pins.least * 100) / 100, math.floor(pins.most * 100) / 100
    told = f"{least:.2f} to {most:.2f}{NARROW_SPACE}mm"
    if in_inches(sheet):
        low, high = (
            math.ceil(pins.least / 25.4 * 1e4) / 1e4,
            math.floor(pins.most / 25.4 * 1e4) / 1e4,
        )
        told = f"{low:.4f} to {high:.4f}{NARROW_SPACE}in ({told})"
    return f"Pins from {told} measure this gear."


def _pin(sheet: BlankSheet, size: float) -> str:
    """A pin's diameter in the gear's own unit; beside inches the mm that rods come in."""
    mm = f"{size:.4g}{NARROW_SPACE}mm"
    return f"{size / 25.4:.4f}{NARROW_SPACE}in ({mm})" if in_inches(sheet) else mm
