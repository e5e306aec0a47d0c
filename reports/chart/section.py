"""The charts of a plan as a section of its page: one shown, the other packed until it is asked
for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gearchest.optimizer.chart.of_plan import StepChart
from gearchest.reports.chart import words
from gearchest.reports.chart.document import chart_document
from gearchest.reports.chart.sheet import SCRIPTS, chart_wall
from gearchest.reports.page import shell
from gearchest.reports.page.lean import lean
from gearchest.reports.page.packing import packed_json
from gearchest.reports.trains.document import Json
from gearchest.reports.words import wording

__all__ = ["SCRIPTS", "STYLES", "chart_section", "charts_document", "more_charts"]

STYLES = ("chart/wall.css", "chart/evening.css")


@dataclass(frozen=True)
class Choice:
    """A chart that can be shown: what it is called, and what it comes to."""

    number: int
    name: str
    summary: str


def chart_section(charts: Sequence[StepChart], facts: shell.Facts) -> Markup:
    """The section; empty where there is no chart."""
    if not charts:
        return Markup("")
    choices = [Choice(number, _name(one), _said(one)) for number, one in enumerate(charts)]
    shown = chart_wall(charts[0].chart, facts, links=True)
    page = shell.part("chart/section.html.j2", choices=choices, shown=shown)
    return lean(str(page))


def more_charts(charts: Sequence[StepChart], facts: shell.Facts) -> dict[str, object]:
    """The blocks of data that the section needs: the charts that are not shown."""
    rest = [lean(str(chart_wall(one.chart, facts, links=True))) for one in charts[1:]]
    return {"more-charts": packed_json(rest)} if rest else {}


def charts_document(charts: Sequence[StepChart]) -> list[Json]:
    """What a plan's document says of its charts."""
    return [{"step": one.step, **chart_document(one.chart)} for one in charts]


def _said(one: StepChart) -> str:
    said = words.summary(one.chart), words.proof(one.chart), words.cost(one.chart)
    return " ".join(filter(None, said))


def _name(one: StepChart) -> str:
    added = wording.teeth(one.chart.added)
    return f"step {one.step}: with {added}" if one.step else "the gears owned"
