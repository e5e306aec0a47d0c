"""The chart as one HTML file: on paper a sheet for the wall."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from gearchest.optimizer.chart.result import GearChart
from gearchest.reports.chart import view, words
from gearchest.reports.chart.text import change_words
from gearchest.reports.chart.wall import foot, provenance, wall
from gearchest.reports.page import shell
from gearchest.reports.words import wording

STYLES = ("chart/wall.css", "chart/evening.css", "chart/sheet.css")
SCRIPTS = ("chart/order.js", "chart/evening.js")


def chart_sheet(
    chart: GearChart,
    facts: shell.Facts,
    *,
    free: bool = False,
    document: Mapping[str, object] | None = None,
) -> str:
    """The page. Same input, same bytes: the day is filled in where it is opened. `free` rows stand
    as their setups follow one another."""
    return shell.build(
        "chart/sheet.html.j2",
        lathe=chart.lathe,
        facts=facts,
        styles=STYLES,
        scripts=SCRIPTS,
        data={} if document is None else {"chart-json": document},
        title=f"{chart.lathe.name}: gear chart",
        choices=(),
        chart_wall=chart_wall(chart, facts, free=free),
        document=document,
        **chart_context(chart),
    )


def chart_context(chart: GearChart) -> dict[str, Any]:
    """What the templates of a chart need beside its wall."""
    usual = chart.lathe.usual_train
    return {
        "chart": chart,
        "words": words,
        "usual_places": [] if usual is None else view.usual_places(chart),
        "usual": "" if usual is None else wording.gears_written(usual),
        "gears_written": wording.gears_written,
        "change_words": change_words,
    }


def chart_wall(
    chart: GearChart,
    facts: shell.Facts,
    *,
    free: bool = False,
    links: bool = False,
) -> Markup:
    """The chart for the wall; `links`: threads lead to their panels on the same page."""
    return shell.part(
        "chart/wall.html.j2",
        wall=wall(chart, free=free),
        notes=foot(chart),
        cautions=wording.CAUTIONS,
        made=provenance(chart, facts.version, facts.inputs),
        links=links,
        **chart_context(chart),
    )
