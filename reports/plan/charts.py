"""The charts of the plan page: plotly figures built here, drawn in the browser.

Colours are those of the light paper; `charts.js` puts the paper's own in their place.
Each chart carries its summary in words, which stands on the page whatever the browser can do.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from typing import Any

from gearchest.optimizer.domain.screw_turns import Effort, bands
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import WantStep
from gearchest.reports.words import numbers

INK, SOFT, LINE, HAIR = "#14212e", "#475562", "#7b8791", "#d5d6d0"
DEEP, MIDDLE, PALE = "#123f70", "#85aed6", "#cfe0ef"
PAPER_COLOURS = {
    INK: "--ink", SOFT: "--soft", LINE: "--line", HAIR: "--hair",
    DEEP: "--exact", MIDDLE: "--tolerance", PALE: "--off",
}  # fmt: skip
"""Colours by the CSS property that holds the paper's own."""

CLEAR = "rgba(0,0,0,0)"

ROW_HEIGHT = 19
"""Pixels for each thread of a chart that lists them."""

WIDEST = 1.6
"""Errors beyond so many allowances are drawn at this edge."""


@dataclass(frozen=True)
class Chart:
    """`ident` is the id of its place on the page; `figure` is plotly's data and layout."""

    ident: str
    title: str
    summary: str
    figure: dict[str, Any]


def plan_charts(plan: Plan) -> list[Chart]:
    """Every chart of a plan, in the order of the page."""
    found = [returns_by_gears(plan)]
    if plan.priced:
        found.append(returns_by_money(plan))
    if any(states[-1].answer for states in plan.states):
        found += [errors(plan), loads(plan), turns(plan)]
    return found


def plotly_source() -> str:
    """Plotly's own script, whole."""
    from plotly.offline import get_plotlyjs

    return str(get_plotlyjs())


def returns_by_gears(plan: Plan) -> Chart:
    """Covered weight against the number of gears added."""
    first, last = plan.steps[0], plan.steps[-1]
    now, wanted = numbers.weight(first.covered_weight), numbers.weight(first.wanted_weight)
    if last.gears:
        said = (
            f"From {now} of {wanted} covered as it is to {numbers.weight(last.covered_weight)} "
            f"with {numbers.plural(len(last.gears), 'gear')} added."
        )
    else:
        said = f"As it is {now} of {wanted} are covered; no gear is added."
    if plan.knee is not None:
        said += f" After {numbers.plural(plan.knee, 'gear')} a further one brings little."
    xs = [len(step.gears) for step in plan.steps]
    return Chart(
        "chart-gears",
        "What each further gear brings",
        said,
        _returns(plan, xs, "gears added", {"dtick": 1}),
    )


def returns_by_money(plan: Plan) -> Chart:
    """Covered weight against what the step's gears cost."""
    dearest = max(plan.steps, key=lambda step: step.price)
    said = (
        f"The dearest set costs {numbers.weight(dearest.price)} and covers "
        f"{numbers.weight(dearest.covered_weight)} of {numbers.weight(dearest.wanted_weight)}."
    )
    xs = [float(step.price) for step in plan.steps]
    return Chart("chart-money", "What the money brings", said, _returns(plan, xs, "price", {}))


def errors(plan: Plan) -> Chart:
    """Each want's error at the last step, as a share of its allowance."""
    rows = _shown(plan)
    shares = [
        math.copysign(w.allowance.share(s.answer.error), s.answer.error)
        for w, s in rows
        if s.answer
    ]
    inside = sum(abs(share) <= 1 for share in shares)
    said = (
        f"At the last step {inside} of {len(shares)} trains stay within their allowance; "
        f"{sum(share == 0 for share in shares)} have no error at all."
    )
    names = _names(rows)
    trace = _dots([max(-WIDEST, min(WIDEST, share)) for share in shares], names)
    trace["customdata"] = [
        numbers.error(s.answer.error, w.allowance.relative) for w, s in rows if s.answer
    ]
    trace["hovertemplate"] = "%{y}: %{customdata}<extra></extra>"
    layout = _listing(names, "error in allowances<br>(inside the band: enough)")
    layout["xaxis"] |= {"range": [-WIDEST * 1.05, WIDEST * 1.05], "zeroline": True}
    layout["shapes"] = [_band(-1, 1, PALE)]
    return Chart("chart-errors", "Error against allowance", said, _figure([trace], layout))


def loads(plan: Plan) -> Chart:
    """Tooth load of each want's train, as the lathe is and at the last step."""
    rows = _shown(plan)
    values = [float(s.answer.train.tooth_load) for _, s in rows if s.answer]
    hardest = max(range(len(values)), key=values.__getitem__)
    said = (
        f"The most loaded train is that of {rows[hardest][0].name}: {values[hardest]:.0f} N for "
        "1 N m at the leadscrew."
    )
    names = _names(rows)
    now = {want.name: states[0] for want, states in zip(plan.wants, plan.states, strict=True)}
    before = [
        float(answer.train.tooth_load) if (answer := now[want.name].answer) else None
        for want, _ in rows
    ]
    traces = [
        _dots(before, names) | {"name": "as it is"},
        _dots(values, names) | {"name": "last step"},
    ]
    traces[0]["marker"] = _marker(CLEAR)
    layout = _listing(names, "N on the most loaded mesh,<br>for 1 N m at the leadscrew")
    layout |= {"showlegend": True, "legend": {"orientation": "h", "y": 0.0, "yanchor": "top"}}
    layout["xaxis"] |= {"rangemode": "tozero"}
    return Chart("chart-loads", "Tooth load", said, _figure(traces, layout))


def turns(plan: Plan) -> Chart:
    """Leadscrew turns per spindle turn, over the bands of what they ask of the lathe."""
    rows = _shown(plan)
    crank = float(plan.lathe.policy.hand_crank_above)
    values = [float(s.answer.train.ratio) for _, s in rows if s.answer]
    by_hand = [want.name for (want, _), turn in zip(rows, values, strict=True) if turn > crank]
    said = (
        f"To be cranked from the screw end: {', '.join(by_hand)}."
        if by_hand
        else f"None turns the screw more than {numbers.significant(crank, 2)} times a spindle "
        "turn: no thread needs cranking by hand."
    )
    names = _names(rows)
    layout = _listing(names, "leadscrew turns per spindle turn")
    top = max([*values, crank]) * 1.1
    layout["xaxis"] |= {"range": [0, top]}
    above = {asked: float(least) for least, asked in bands(plan.lathe.policy.hand_crank_above)}
    usual, heavy = min(crank, above[Effort.USUAL]), min(crank, above[Effort.HEAVY])
    layout["shapes"] = [
        _band(usual, heavy, HAIR), _band(heavy, crank, PALE), _band(crank, top, MIDDLE),
    ]  # fmt: skip
    return Chart("chart-turns", "Screw turns", said, _figure([_dots(values, names)], layout))


def _shown(plan: Plan) -> list[tuple[Want, WantStep]]:
    """Wants with a train at the last step, listed from the top."""
    return [
        (want, states[-1])
        for want, states in zip(plan.wants, plan.states, strict=True)
        if states[-1].answer
    ]


def _names(rows: list[tuple[Want, WantStep]]) -> list[str]:
    """Names as plotly shall show them: its own markup is switched off."""
    return [
        want.name.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        for want, _ in rows
    ]


def _returns(plan: Plan, xs: list[Any], title: str, axis: dict[str, Any]) -> dict[str, Any]:
    ys = [float(step.covered_weight) for step in plan.steps]
    wanted = float(plan.steps[0].wanted_weight)
    trace = {
        "type": "scatter",
        "mode": "lines+markers",
        "x": xs,
        "y": ys,
        "line": {"color": INK, "width": 1.5, "shape": "hv"},
        "marker": _marker(DEEP),
        "hovertemplate": f"%{{x}} {title}: weight %{{y}}<extra></extra>",
        "cliponaxis": False,
    }
    layout = _layout(300)
    layout["xaxis"] = _axis(title) | {"rangemode": "tozero"} | axis
    layout["yaxis"] = _axis("weight covered") | {"range": [0, wanted * 1.06]}
    layout["shapes"] = [
        {"type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": wanted, "y1": wanted,
         "line": {"color": LINE, "width": 1, "dash": "dot"}}
    ]  # fmt: skip
    if plan.knee is not None:
        layout["annotations"] = [
            {"x": xs[plan.knee], "y": ys[plan.knee], "text": "knee", "showarrow": True,
             "arrowcolor": SOFT, "arrowwidth": 1, "ax": 28, "ay": 30, "font": {"color": INK}}
        ]  # fmt: skip
    return _figure([trace], layout)


def _dots(values: list[float] | list[float | None], names: list[str]) -> dict[str, Any]:
    return {
        "type": "scatter",
        "mode": "markers",
        "x": values,
        "y": names,
        "marker": _marker(DEEP),
        "hovertemplate": "%{y}: %{x:.3g}<extra></extra>",
    }


def _marker(fill: str) -> dict[str, Any]:
    return {"color": fill, "size": 9, "line": {"color": INK, "width": 1.2}}


def _listing(names: list[str], title: str) -> dict[str, Any]:
    """The layout of a chart with one row a thread, the first at the top."""
    layout = _layout(110 + ROW_HEIGHT * len(names))
    layout["xaxis"] = _axis(title) | {"side": "top"}
    layout["yaxis"] = _axis("") | {
        "range": [len(names) - 0.4, -0.6],
        "type": "category",
        "dtick": 1,
        "tickfont": {"size": 11, "color": INK},
    }
    return layout


def _layout(height: int) -> dict[str, Any]:
    return {
        "height": height,
        "margin": {"l": 10, "r": 16, "t": 12, "b": 10},
        "paper_bgcolor": CLEAR,
        "plot_bgcolor": CLEAR,
        "font": {"color": INK, "size": 13},
        "showlegend": False,
        "hovermode": "closest",
        "dragmode": False,
    }


def _axis(title: str) -> dict[str, Any]:
    return {
        "title": {"text": title, "font": {"size": 13, "color": SOFT}, "standoff": 8},
        "automargin": True,
        "gridcolor": HAIR,
        "linecolor": INK,
        "showline": True,
        "ticks": "outside",
        "tickcolor": LINE,
        "zeroline": False,
        "zerolinecolor": LINE,
        "fixedrange": True,
    }


def _band(first: float, last: float, fill: str) -> dict[str, Any]:
    return {"type": "rect", "yref": "paper", "x0": first, "x1": last, "y0": 0, "y1": 1,
            "fillcolor": fill, "opacity": 0.45, "line": {"width": 0}, "layer": "below"}  # fmt: skip


def _figure(data: list[dict[str, Any]], layout: dict[str, Any]) -> dict[str, Any]:
    """Checked by plotly, without its bulky template."""
    import plotly.graph_objects as go

    figure = go.Figure(data=data, layout={**layout, "template": None})
    made: dict[str, Any] = json.loads(figure.to_json())
    made["layout"].pop("template", None)
    return made
