"""The short form of a blank sheet, for the terminal."""

from __future__ import annotations

from gearchest.optimizer.making.sheet import BlankSheet
from gearchest.reports.blanks import dividing_view, measuring_view, view


def blank_lines(sheet: BlankSheet) -> list[str]:
    """A few lines for one gear: what to turn it to, cut it with, divide and measure it by."""
    title = f"{sheet.blank.teeth} teeth, {view.size_name(sheet)}"
    if sheet.refusal:
        return [f"{title}: not to be made", f"  {sheet.refusal}", ""]
    lines = [title]
    lines += [_line(row.label, row.value) for row in view.title_lines(sheet)[2:5]]
    if engraved := view.engraved_note(sheet):
        lines.append(_line("", engraved))
    for found in sheet.heads:
        best = found.best
        lines.append(
            _line(
                found.head.name,
                f"{dividing_view.method_name(best)}: {dividing_view.move_text(best)}",
            )
        )
        if best.gears:
            lines.append(_line("", dividing_view.gearing_text(best.gears)))
        if shafts := dividing_view.shafts_text(found, sheet.lathe.making):
            lines.append(_line("", shafts))
        lines.append(_line("", dividing_view.proof(best)))
        lines += [_line(row.label, row.value) for row in dividing_view.spacing_lines(found)]
    if view.only_change_gears_divide(sheet):
        lines.append(_line("Change gears", dividing_view.divider_text(sheet.dividers[0])))
    lines += [
        _line(row.how, f"{row.cut} as cut, {row.ideal} without backlash")
        for row in measuring_view.measure_rows(sheet)
    ]
    lines.append(_line("", measuring_view.pins_note(sheet)))
    lines += [_line("Caution", caution) for caution in sheet.cautions]
    return [*lines, ""]


def _line(label: str, value: str) -> str:
    return f"  {label:<18} {value}" if len(label) < 18 else f"  {label}: {value}"
