"""Setups wait as text and trains of the steps between packed: both are there when asked for."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
import report_samples as samples
from pypdf import PdfReader

from gearchest.reports.page.shell import Facts
from gearchest.reports.plan.setups_view import thread_sheets
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.words import wording

pytestmark = pytest.mark.browser

SHOWN = ".setup.open .train-sheet:not([data-away])"

POINTED_AT_NOTHING = """
    [...document.querySelectorAll("use")].map((use) => use.getAttribute("href").slice(1))
        .filter((ident) => !document.getElementById(ident))
"""


def between() -> list[tuple[str, int, str]]:
    """(id of a want, step, train) of every sheet that comes packed."""
    return [
        (one.ident, step, sheet.title)
        for one in thread_sheets(samples.plan())
        for sheet in one.more
        for step in sheet.steps
    ]


VISIT_ALL = """
async ([asked, shown]) => {
  const all = (selector) => [...document.querySelectorAll(selector)];
  const seen = (selector) => all(selector).filter((node) => node.getClientRects().length);
  const found = [];
  for (const [want, step] of asked) {
    document.querySelector(`#map tr[data-want="${want}"] td[data-step="${step}"] a`).click();
    // A packed sheet comes a little later.
    for (let i = 0; i < 100 && !seen(`${shown} .gears, [data-no-train]`).length; i++) {
      await new Promise((done) => setTimeout(done, 10));
    }
    found.push({
      trains: seen(`${shown} .gears`).map((node) => node.textContent),
      heights: seen(`${shown} svg.train`).map((node) => node.getBoundingClientRect().height),
      told: seen("[data-no-train]").length,
      nowhere: NOWHERE,
    });
  }
  return found;
}
""".replace("NOWHERE", POINTED_AT_NOTHING.strip())
"""Every (want, step) asked for is opened in turn; what stands there then."""


def test_every_step_shows_its_train(visit: Any) -> None:
    """All threads at all steps, one after another in one page."""
    plan = samples.plan()
    page, heard = visit("plan")
    sheets = thread_sheets(plan)
    asked = [(one.ident, step) for one in sheets for step in range(len(plan.steps))]
    told = iter(page.evaluate(VISIT_ALL, [asked, SHOWN]))
    for one, states in zip(sheets, plan.states, strict=True):
        for state in states:
            found = next(told)
            if state.answer is None:
                assert found["trains"] == []
                assert found["told"] == (1 if one.sheets else 0)
                continue
            assert found["trains"] == [wording.gears_written(state.answer.train)]
            assert found["told"] == 0
            assert min(found["heights"]) > 50
    assert page.evaluate(POINTED_AT_NOTHING) == []
    assert heard.messages == []
    idents = page.evaluate("[...document.querySelectorAll('[id]')].map((node) => node.id)")
    assert len(idents) == len(set(idents))


def test_a_drawing_that_stands_in_another_setup_is_brought_along(
    browser: Any, tmp_path: Path
) -> None:
    """Threads of one pitch share drawings; the later of two is opened first, at every step."""
    plan = samples.twice(samples.plan())
    path = tmp_path / "twice.html"
    path.write_text(plan_sheet(plan, Facts(), charts=False), encoding="utf-8")
    later = thread_sheets(plan)[len(plan.wants) // 2 :]
    context = browser.new_context()
    page = context.new_page()
    page.goto(path.as_uri())
    asked = [(one.ident, step) for one in reversed(later) for step in range(len(plan.steps))]
    told = page.evaluate(VISIT_ALL, [asked, SHOWN])
    assert [found["nowhere"] for found in told] == [[]] * len(asked)
    assert sum(len(found["trains"]) for found in told) > len(later)
    context.close()


def test_an_address_opens_a_step_between(visit: Any) -> None:
    ident, step, train = between()[0]
    page, _ = visit("plan", f"#{ident}~step={step}")
    page.wait_for_selector(SHOWN)
    assert page.locator(f"{SHOWN} .gears").inner_text() == train


def test_a_browser_that_cannot_unpack_says_so_and_keeps_the_table(visit: Any) -> None:
    ident, step, train = between()[0]
    page, heard = visit("plan")
    page.evaluate("delete globalThis.DecompressionStream")
    page.locator(f"#map tr[data-want={ident}] td[data-step='{step}'] a").dispatch_event("click")
    page.wait_for_selector("[data-no-train]:visible")
    assert "too old to unpack" in page.locator("[data-no-train]:visible").inner_text()
    assert train in page.locator(".setup.open .trains").inner_text()
    assert heard.messages == []


def test_setups_nobody_opened_are_printed(visit: Any) -> None:
    page, _ = visit("plan")
    assert page.locator(".setup").count() == 0
    page.evaluate("document.documentElement.dataset.print = 'setups'")
    text = " ".join(
        sheet.extract_text() for sheet in PdfReader(BytesIO(page.pdf(format="A4"))).pages
    )
    assert text.count("Allowed error") == len(samples.plan().wants)
