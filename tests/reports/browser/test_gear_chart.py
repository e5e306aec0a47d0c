"""The chart on the screen: ticked for an evening, sorted by setup, another step's."""

from __future__ import annotations

import datetime
import random
from typing import Any

import numpy as np
import pytest
from waiting import until

from gearchest.optimizer.chart.order import best_order
from gearchest.optimizer.chart.question import EMPTY, ChartQuestion

pytestmark = pytest.mark.browser

BEST = """(questions) => questions.map(({setups, usual}) => {
  const hung = (gears) => new Map(Object.entries(gears));
  return chartOrder.best(setups.map(hung), usual && hung(usual));
})"""


def test_the_page_orders_setups_as_the_program_does(visit: Any) -> None:
    """With a usual train and without: as few gears put on, each setup once."""
    chance = random.Random(3)
    questions, asked = [], []
    for number in range(40):
        gears = np.array(
            [[chance.choice([EMPTY, 0, 1, 2]) for _ in range(4)] for _ in range(1 + number % 7)]
        )
        back = bool(number % 2)
        start = np.array([chance.choice([EMPTY, 0, 1]) if back else EMPTY for _ in range(4)])
        questions.append(ChartQuestion(gears, start, back, ()))
        told = [{f"p{k}": str(g) for k, g in enumerate(row) if g != EMPTY} for row in gears]
        usual = {f"p{k}": str(g) for k, g in enumerate(start) if g != EMPTY}
        asked.append({"setups": told, "usual": usual if back else None})
    page, _ = visit("chart")
    for question, found in zip(questions, page.evaluate(BEST, asked), strict=True):
        order = best_order(question, list(range(len(question))))
        assert found["changes"] == question.changes(order) == question.changes(found["order"])
        assert sorted(found["order"]) == list(range(len(question)))


def test_threads_ticked_are_told_in_the_order_with_the_fewest_changes(visit: Any) -> None:
    page, heard = visit("chart")
    rows = page.locator("tr[data-no]")
    for at in (0, 5, 9):
        rows.nth(at).locator("input").check()
    told = page.locator(".evening").inner_text()
    for at in (0, 5, 9):
        assert rows.nth(at).locator("th").inner_text().strip() in told
        assert f"Setup {rows.nth(at).get_attribute('data-no')}, for" in told
    assert "gears put on" in told
    assert "--only" in told
    for at in (0, 5, 9):
        rows.nth(at).locator("input").uncheck()
    assert "Tick this evening's threads" in page.locator(".evening").inner_text()
    assert heard.messages == []


def test_rows_by_setup_and_on_paper_by_series_again(visit: Any) -> None:
    page, _ = visit("chart")
    numbers = "[...document.querySelectorAll('tr[data-no]')].map((row) => +row.dataset.no)"
    stood = page.evaluate(numbers)
    page.locator('[name="chart-order"][value="setup"]').check()
    assert page.evaluate(numbers) == sorted(stood) != stood
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.evaluate(numbers) == stood


def test_a_plans_page_has_the_charts_of_two_steps(visit: Any) -> None:
    """The gears owned, and those with the step advised; rows lead to the threads' panels."""
    page, heard = visit("plan")
    first = page.locator('[data-wall="0"] tr[data-no]')
    assert first.count() > 3
    assert page.locator('[data-wall="1"] tr[data-no]').count() == 0
    page.locator('[name="chart-of"][value="1"]').check()
    page.wait_for_selector('[data-wall="1"] tr[data-no] input')
    assert first.first.is_hidden()
    second = page.locator('[data-wall="1"] tr[data-no]')
    assert second.count() >= first.count()
    assert page.locator('[data-wall="1"] td.to-get').count() > 0
    link = second.nth(1).locator("a")
    thread = link.get_attribute("href").removeprefix("#")
    link.click()
    until(page, f"document.getElementById('{thread}')?.checkVisibility()")
    assert heard.messages == []


@pytest.mark.parametrize(
    ("zone", "hours"), [("Pacific/Kiritimati", 14), ("Pacific/Pago_Pago", -11)]
)
def test_the_chart_bears_the_day_it_is_opened_on_where_it_is_opened(
    visit: Any, zone: str, hours: int
) -> None:
    """No two of these places have the same day; on paper it stands as well."""

    def today() -> str:
        ahead = datetime.timezone(datetime.timedelta(hours=hours))
        return datetime.datetime.now(ahead).date().isoformat()

    before = today()
    page, _ = visit("chart", timezone_id=zone)
    days = page.locator(".wall .today").all_inner_texts()
    assert days
    assert set(days) <= {before, today()}
    page.evaluate("for (const day of document.querySelectorAll('.today')) day.textContent = ''")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator(".wall .today").all_inner_texts() == days
