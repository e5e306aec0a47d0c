"""The sheet for making gears: one section a gear, each with a page to print at true size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gearchest.optimizer.making.sheet import BlankSheet
from gearchest.reports.blanks import dividing_view, measuring_view, view
from gearchest.reports.blanks.drawing import blank_drawing
from gearchest.reports.blanks.gear_files import cut_gear
from gearchest.reports.blanks.gear_template import page_window, true_size_svg
from gearchest.reports.page import shell


@dataclass(frozen=True)
class GearSection:
    """One gear as the template takes it; drawings empty where the gear is refused."""

    sheet: BlankSheet
    files: tuple[str, ...]
    drawing: Markup
    true_size: Markup
    quarter: bool

    @property
    def anchor(self) -> str:
        """Where links to this gear lead."""
        return f"gear-{self.sheet.blank.teeth}"


def blanks_sheet(
    sheets: Sequence[BlankSheet], facts: shell.Facts, files: Sequence[Sequence[str]] = ()
) -> str:
    """The HTML file; `files`: for each gear the names of the files beside it, to link to."""
    named = files or [()] * len(sheets)
    sections = [section(sheet, names) for sheet, names in zip(sheets, named, strict=True)]
    lathe = sheets[0].lathe
    counts = ", ".join(str(sheet.blank.teeth) for sheet in sheets)
    return shell.build(
        "blanks/sheet.html.j2",
        lathe=lathe,
        facts=facts,
        styles=("plan/steps.css", "blanks/sheet.css", "blanks/true_size.css"),
        title=f"Gears of {counts} teeth, {lathe.name}: blank sheet",
        counts=counts,
        verdict=view.verdict(sheets),
        sections=sections,
        blank_view=view,
        dividing_view=dividing_view,
        measuring_view=measuring_view,
    )


def section(sheet: BlankSheet, files: Sequence[str] = ()) -> GearSection:
    """The drawings of one gear; the true-size one shows a quarter where the whole is too big."""
    if sheet.refusal:
        return GearSection(sheet, tuple(files), Markup(""), Markup(""), False)
    gear = cut_gear(sheet.blank)
    window = page_window(sheet.blank)
    svg = true_size_svg(gear.blank, gear.outline, gear.bore, window, embedded=True)
    quarter = window.width < sheet.blank.tip_diameter
    return GearSection(sheet, tuple(files), blank_drawing(sheet.blank), Markup(svg), quarter)


def cut_gears_context(sheets: Sequence[BlankSheet]) -> dict[str, object]:
    """What `cut_gears.html.j2` needs; the page that includes it takes `blanks/sheet.css`."""
    return {
        "cut_gears": [section(sheet) for sheet in sheets],
        "blank_view": view,
        "dividing_view": dividing_view,
        "measuring_view": measuring_view,
    }
