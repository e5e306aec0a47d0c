"""Charts to explore: marks where the plan puts them, nothing asked of a network."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import report_samples as samples

from gearchest.optimizer.search.result import Answer
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan.explore import WIDEST, explore_sheet, sets_figure, trains_figure

PLAN = samples.plan()


@pytest.mark.parametrize("priced", [True, False])
def test_every_set_stands_at_its_price_and_weight(priced: bool) -> None:
    plan = replace(PLAN, priced=priced)
    figure = sets_figure(plan)
    assert len(figure["data"]) == len(plan.steps)
    for trace, step in zip(figure["data"], plan.steps, strict=True):
        sets = [step, *step.alternatives]
        costs = [float(one.price if priced else one.demerits) for one in sets]
        assert trace["x"] == costs
        assert trace["y"] == [float(one.covered_weight) for one in sets]
        assert all((", for " in words) == (priced and bool(step.gears)) for words in trace["text"])


def shared(answer: Answer | None) -> Answer | None:
    """A train whose teeth are known to carry half of what they bear."""
    return answer and replace(answer, merit=replace(answer.merit, tooth_share=0.5))


@pytest.mark.parametrize("known", [True, False])
def test_every_train_stands_between_its_error_and_its_teeth(known: bool) -> None:
    plan = PLAN
    if known:
        states = [[replace(s, answer=shared(s.answer)) for s in row] for row in plan.states]
        plan = replace(plan, states=tuple(map(tuple, states)))
    (trace,) = [trace for trace in trains_figure(plan)["data"] if trace["visible"]]
    answers = [row[plan.advice.step].answer for row in plan.states]
    shown = {
        (
            round(max(-WIDEST, min(WIDEST, math.copysign(a.merit.error_share, a.error))), 9),
            0.5 if known else round(float(a.train.tooth_load), 9),
        )
        for a in answers
        if a
    }
    spots = zip(trace["x"], trace["y"], strict=True)
    assert {(round(x, 9), round(y, 9)) for x, y in spots} == shown


def test_names_are_no_markup() -> None:
    figure = trains_figure(samples.plan("</script><b>x"))
    assert not any(
        re.search(r"<(?!br>|b>|/b>)", words) for trace in figure["data"] for words in trace["text"]
    )


@pytest.mark.browser
def test_the_charts_are_drawn_and_ask_for_nothing(browser: Any, tmp_path: Path) -> None:
    sheet = tmp_path / "charts.html"
    sheet.write_text(explore_sheet(PLAN, Facts()), encoding="utf-8")
    page = browser.new_page()
    heard: list[str] = []
    page.on("request", lambda request: heard.append(request.url))
    page.on("console", lambda message: heard.append(message.text))
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.goto(sheet.as_uri())
    page.wait_for_selector("#chart-sets .points path")
    marks = page.locator("#chart-sets .points path").count()
    assert marks == sum(1 + len(step.alternatives) for step in PLAN.steps)
    assert page.locator("#chart-trains .points path").count()
    assert [line for line in heard if not line.startswith("file:")] == []
