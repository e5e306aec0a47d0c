"""A chart as a JSON document."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.chart.result import Change, ChartRow, ChartSetup, GearChart
from gearchest.optimizer.turning.half_nuts import HalfNuts, How
from gearchest.reports.chart import view
from gearchest.reports.trains.document import Json, hung_document

_HOW = {How.ANYWHERE: "any", How.DIAL: "dial", How.STANDING: "standing", How.CLOSED: "closed"}


def chart_document(chart: GearChart) -> Json:
    """Setups as they follow one another, rows in the order of the wants. Errors are signed
    fractions, lengths mm."""
    before, after = chart.demerits
    return {
        "kind": "chart",
        "version": 1,
        "lathe": chart.lathe.name,
        "with": [gear.teeth for gear in chart.added],
        "setups": [_setup(chart, number, setup) for number, setup in enumerate(chart.setups)],
        "rows": [_row(row) for row in chart.rows],
        "back": _changes(chart, chart.back),
        "changes": chart.changes,
        "changes_alone": chart.changes_alone,
        "setups_alone": chart.setups_alone,
        "bound": chart.bound,
        "proven": chart.proven,
        "demerits": after,
        "demerits_alone": before,
        "least_demerits": chart.least_demerits,
        "stopped_by": chart.stopped_by,
    }


def _setup(chart: GearChart, number: int, setup: ChartSetup) -> Json:
    return {
        "name": view.setup_name(number),
        "train": hung_document(setup.train, setup.fit, setup.missing),
        "changed": _changes(chart, setup.changed),
        "put_on": setup.put_on,
        "pitches": [chart.rows[row].want.name for row in setup.rows],
    }


def _changes(chart: GearChart, changed: Sequence[Change]) -> list[Json]:
    """Place by place; planes count from 1, and from the first driver's."""
    return [
        {
            "shaft": view.shaft_name(chart, change.shaft),
            "plane": change.plane + 1,
            "off": change.off and change.off.teeth,
            "on": change.on and change.on.teeth,
        }
        for change in changed
    ]


def _row(row: ChartRow) -> Json:
    found: Json = {
        "name": row.want.name,
        "pitch_mm": row.want.pitch.mm,
        "setup": None if row.setup is None else view.setup_name(row.setup),
        "gearbox": None,
        "verdict": row.verdict.value,
        "error": None,
        "half_nuts": None,
    }
    if row.answer is None or row.alone is None:
        return found
    train = row.answer.train
    return {
        **found,
        "gearbox": train.setting.gearbox,
        "error": float(row.answer.error),
        "half_nuts": None if row.half_nuts is None else _HOW[row.half_nuts.how],
        "lead_mm": row.want.pitch.lead_mm,
        "first_driver_turns": str(train.setting.first_driver_turns),
        "ratio": f"{train.ratio.numerator}/{train.ratio.denominator}",
        "dials": _dials(row.half_nuts),
        "working": None if row.working is None else row.working.turned.value,
        "demerits": row.answer.merit.demerits,
        "demerits_alone": row.alone.merit.demerits,
    }


def _dials(nuts: HalfNuts | None) -> list[Json]:
    return [
        {
            "teeth": use.dial.teeth,
            "lines": use.dial.lines,
            "usable": use.lines if isinstance(use.lines, str) else list(use.lines),
        }
        for use in (nuts.dials if nuts else ())
    ]
