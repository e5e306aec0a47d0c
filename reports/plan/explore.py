"""Charts to explore, in a file of their own: what each set of gears brings for its price, and how
every thread's train stands between error and teeth. Drawn by plotly, which weighs ten times the
report; nothing else waits for it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan, Step
from gearchest.optimizer.search.result import Answer
from gearchest.reports.page import shell
from gearchest.reports.plan.advice_words import advice_line, for_price, gears_text
from gearchest.reports.words import numbers, wording

if TYPE_CHECKING:
    import pandas as pd

INK, SOFT, HAIR, BLUE = "#14212e", "#475562", "#d5d6d0", "#123f70"
PAPER_COLOURS = {INK: "--ink", SOFT: "--soft", HAIR: "--hair", BLUE: "--exact"}
"""Colours by the CSS property that holds the paper's own; `explore.js` puts that in their place."""

SYMBOLS = ("circle", "square", "diamond", "triangle-up", "cross", "star", "hexagon")
"""By number of gears: told apart without colour."""

WIDEST = 3.0
"""Errors and shares beyond so many times what is allowed are drawn at this edge."""

_CLEAR = "rgba(0,0,0,0)"


def explore_sheet(plan: Plan, facts: shell.Facts) -> str:
    """The page. Same input, same bytes."""
    figures = {"sets": sets_figure(plan), "trains": trains_figure(plan)}
    return shell.build(
        "plan/explore.html.j2",
        lathe=plan.lathe,
        facts=facts,
        scripts=(shell.PLOTLY, "page/constants.js", "plan/explore.js"),
        data={"constants": {"colours": PAPER_COLOURS}, "figures": figures},
        title=f"{plan.lathe.name}: charts to explore",
        verdict=advice_line(plan),
        priced=plan.priced,
        trains=bool(figures["trains"]["data"]),
        known=_shares_known(plan),
    )


def sets_figure(plan: Plan) -> dict[str, Any]:
    """Every step, and every other set of as many gears that no such set beats: covered weight
    against the price (the demerits, where nothing has one)."""
    spots = _spots(
        (count, *spot)
        for count, step in enumerate(plan.steps)
        for spot in (_step_spot(plan, step), *_other_spots(plan, step))
    )
    traces = [
        _dots(
            own,
            name=numbers.plural(count, "gear") if count else "as it is",
            symbol=SYMBOLS[count % len(SYMBOLS)],
            sizes=[15, *[9] * (len(own) - 1)],
        )
        for count in range(len(plan.steps))
        for own in (spots[spots["step"] == count],)
    ]
    layout = _layout("price" if plan.priced else "demerits", "weight covered")
    return _figure(traces, layout)


def trains_figure(plan: Plan) -> dict[str, Any]:
    """Each thread's train at a step, which a list chooses: tooth share against error share; the
    load on a tooth, where what it bears is not known of all."""
    known = _shares_known(plan)
    spots = _spots(
        (place, *_train_spot(want, state.answer, known=known))
        for place, states in enumerate(zip(*plan.states, strict=True))
        for want, state in zip(plan.wants, states, strict=True)
        if state.answer
    )
    spots["across"] = spots["across"].clip(-WIDEST, WIDEST)
    if known:
        spots["up"] = spots["up"].clip(upper=WIDEST)
    owners = [int(place) for place in spots["step"].unique()]
    traces = [_dots(spots[spots["step"] == one], name="", symbol="circle") for one in owners]
    if not traces:
        return {"data": [], "layout": {}}
    advised = owners.index(plan.advice.step) if plan.advice.step in owners else len(owners) - 1
    for number, trace in enumerate(traces):
        trace["visible"] = number == advised
    up = "load, in what the most loaded tooth bears"
    layout = _layout(
        "error, in allowances", up if known else "N on a tooth for 1 N m at the leadscrew"
    )
    layout["showlegend"] = False
    field = {"y0": 0, "y1": 1} if known else {"yref": "paper", "y0": 0, "y1": 1}
    layout["shapes"] = [
        {"type": "rect", "x0": -1, "x1": 1, **field, "layer": "below",
         "fillcolor": HAIR, "opacity": 0.5, "line": {"width": 0}}
    ]  # fmt: skip
    if len(owners) > 1:
        layout["updatemenus"] = [_chooser(plan, owners, advised)]
        layout["margin"]["t"] = 60
    return _figure(traces, layout)


def _shares_known(plan: Plan) -> bool:
    answers = [state.answer for states in plan.states for state in states if state.answer]
    return all(answer.merit.tooth_share is not None for answer in answers)


def _chooser(plan: Plan, owners: list[int], advised: int) -> dict[str, Any]:
    buttons = []
    for number, place in enumerate(owners):
        gears = [added.offer.gear for added in plan.steps[place].gears]
        label = f"with {gears_text(plan.lathe, gears)}" if gears else "as it is"
        seen = [other == number for other in range(len(owners))]
        buttons.append({"label": label, "method": "restyle", "args": [{"visible": seen}]})
    return {
        "buttons": buttons, "active": advised, "x": 0, "xanchor": "left", "y": 1.02,
        "yanchor": "bottom", "bgcolor": _CLEAR, "bordercolor": SOFT, "font": {"color": INK},
    }  # fmt: skip


def _spots(rows: Iterable[tuple[int, float, float, str]]) -> pd.DataFrame:
    """Dots of a figure: the step they belong to, where they stand, what is said of them."""
    import pandas as pd

    return pd.DataFrame.from_records(list(rows), columns=["step", "across", "up", "words"])


def _step_spot(plan: Plan, step: Step) -> tuple[float, float, str]:
    gears = gears_text(plan.lathe, [added.offer.gear for added in step.gears])
    words = _set_words(plan, gears, step.price, step.covered_weight, step.demerits, step.proven)
    return float(step.price if plan.priced else step.demerits), float(step.covered_weight), words


def _other_spots(plan: Plan, step: Step) -> Iterator[tuple[float, float, str]]:
    for one in step.others:
        gears = gears_text(plan.lathe, one.gears)
        words = _set_words(plan, gears, one.price, one.covered_weight, one.demerits, one.proven)
        yield float(one.price if plan.priced else one.demerits), float(one.covered_weight), words


def _set_words(plan: Plan, gears: str, price: Any, weight: Any, demerits: Any, proven: bool) -> str:
    wanted = numbers.weight(plan.steps[0].wanted_weight)
    return (
        f"{gears or 'as it is'}{for_price(plan, price) if gears else ''}<br>weight "
        f"{numbers.weight(weight)} of {wanted}, {numbers.weight(demerits)} demerits<br>"
        f"{'proven' if proven else 'not proven'}"
    )


def _train_spot(want: Want, answer: Answer, *, known: bool) -> tuple[float, float, str]:
    share = math.copysign(answer.merit.error_share, answer.error)
    load = float(answer.train.tooth_load)
    tooth = answer.merit.tooth_share
    teeth = f"{load:.0f} N" if tooth is None else f"{tooth:.0%} of what they bear"
    words = (
        f"<b>{_plain(want.name)}</b><br>{_plain(wording.gears_written(answer.train))}<br>"
        f"{answer.verdict.value}, {numbers.error(answer.error, want.allowance.relative)}<br>"
        f"teeth {teeth}, screw turns {numbers.significant(answer.train.ratio)}"
    )
    return share, tooth if known and tooth is not None else load, words


def _plain(text: str) -> str:
    """Text as plotly shall show it: its own markup is switched off."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _dots(
    spots: pd.DataFrame, *, name: str, symbol: str, sizes: list[int] | int = 10
) -> dict[str, Any]:
    xs, ys, words = (spots[column].tolist() for column in ("across", "up", "words"))
    line = {"color": INK, "width": 1.2}
    return {
        "type": "scatter", "mode": "markers", "x": xs, "y": ys, "text": words, "name": name,
        "hovertemplate": "%{text}<extra></extra>", "cliponaxis": False,
        "marker": {"color": BLUE, "opacity": 0.75, "symbol": symbol, "size": sizes, "line": line},
    }  # fmt: skip


def _layout(across: str, up: str) -> dict[str, Any]:
    def axis(title: str) -> dict[str, Any]:
        return {
            "title": {"text": title, "font": {"size": 13, "color": SOFT}}, "automargin": True,
            "gridcolor": HAIR, "linecolor": INK, "showline": True, "zerolinecolor": SOFT,
            "ticks": "outside", "tickcolor": SOFT,
        }  # fmt: skip

    return {
        "height": 560, "margin": {"l": 10, "r": 16, "t": 30, "b": 10}, "hovermode": "closest",
        "paper_bgcolor": _CLEAR, "plot_bgcolor": _CLEAR, "font": {"color": INK, "size": 13},
        "xaxis": axis(across), "yaxis": axis(up), "legend": {"orientation": "h", "y": 1.08},
        "hoverlabel": {"align": "left"},
    }  # fmt: skip


def _figure(data: list[dict[str, Any]], layout: dict[str, Any]) -> dict[str, Any]:
    """Checked by plotly, without its bulky template."""
    import plotly.graph_objects as go

    figure = go.Figure(data=data, layout={**layout, "template": None})
    made: dict[str, Any] = json.loads(figure.to_json())
    made["layout"].pop("template", None)
    return made
