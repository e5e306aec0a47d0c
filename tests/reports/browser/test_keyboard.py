"""A report read, asked and printed with the keyboard alone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from waiting import until

pytestmark = pytest.mark.browser

MOST_TABS = 160
PANEL = ".setup.open .train-sheet:not([data-away])"
# What has the focus matches a selector, is on the screen, and shows that it has it.
HELD = """(selector) => {
  const held = document.activeElement;
  if (!held?.matches(selector) || !held.checkVisibility()) return false;
  const { outlineStyle } = getComputedStyle(held);
  return outlineStyle !== "none" && outlineStyle !== "";
}"""


@pytest.fixture
def page(visit: Any) -> Iterator[Any]:
    made, heard = visit("plan")
    made.evaluate(
        "window.print = () => { window.printed = document.documentElement.dataset.print; }"
    )
    yield made
    assert heard.messages == []


def to(page: Any, selector: str, key: str = "Tab") -> None:
    """Press a key until the focus is there."""
    for _ in range(MOST_TABS):
        if page.evaluate(HELD, selector):
            return
        page.keyboard.press(key)
    raise AssertionError(f"{selector} is not reached by {key}")


def press(page: Any, selector: str, key: str = "Enter") -> None:
    to(page, selector)
    page.keyboard.press(key)


def test_from_the_verdict_to_another_set_and_back(page: Any) -> None:
    """Cards by arrow keys; what else could be bought; try it, see it, take it back, close it."""
    press(page, ".skip")
    to(page, "input[name=step]")
    page.keyboard.press("ArrowLeft")
    assert page.locator("input[name=step]:checked").get_attribute("value") == "2"
    assert page.locator("#map thead [data-step='2']").is_visible()
    to(page, ".others-of summary", "Shift+Tab")
    page.keyboard.press("Enter")
    press(page, ".others-of [data-try]")
    until(page, "document.documentElement.dataset.ticked")
    assert "with 66" in page.locator("#ticked").inner_text()
    page.keyboard.press("Control+z")
    until(page, "!document.documentElement.dataset.ticked")
    page.keyboard.press("Enter")  # the button still has the focus
    until(page, "document.documentElement.dataset.ticked")
    to(page, "nav a[href='#cautions']", "Shift+Tab")  # past all that lies between
    page.keyboard.press("Enter")
    press(page, "#ticked [data-undo]")
    until(page, "!document.documentElement.dataset.ticked")
    assert page.evaluate("document.activeElement.matches('[data-try]')")
    page.keyboard.press("Enter")
    until(page, "document.documentElement.dataset.ticked")
    to(page, "nav a[href='#cautions']", "Shift+Tab")
    page.keyboard.press("Enter")
    press(page, "#ticked [data-close]")
    until(page, "document.getElementById('ticked').hidden")


def test_the_map_a_thread_and_all_that_its_panel_offers(page: Any) -> None:
    to(page, "#map a")
    for key in ("ArrowDown", "ArrowRight", "ArrowDown"):
        page.keyboard.press(key)
    want = page.evaluate("document.activeElement.closest('tr').dataset.want")
    page.keyboard.press("Enter")
    assert page.locator(".setup.open").get_attribute("id") == want
    press(page, "[data-go=next]")
    assert page.locator(".setup.open").get_attribute("id") != want
    press(page, "[data-go=previous]")
    assert page.locator(".setup.open").get_attribute("id") == want
    to(page, ".setup.open .trains button[aria-pressed=false]")
    key = page.evaluate("document.activeElement.textContent")
    page.keyboard.press("Enter")
    until(page, f"document.querySelector({PANEL!r} + ' .gears')?.textContent === {key!r}")
    to(page, ".own-sheet button")
    to(page, "[data-print=thread]", "Shift+Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("window.printed") == "thread"
    press(page, "[name=dimensions]", "Space")
    assert page.locator(f"{PANEL} .dims:visible").count() == 0
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowUp")
    assert page.locator("[name=unit][value=mm]").is_checked()
    page.keyboard.press("Escape")
    until(page, "!document.documentElement.classList.contains('thread-open')")
    assert page.evaluate("document.activeElement.closest('tr').dataset.want") == want


def test_what_is_found_and_saved(page: Any) -> None:
    to(page, "#map-find")
    page.keyboard.type("63")
    rows = page.locator("#map tr[data-want]:visible").count()
    assert 0 < rows < page.locator("#map tr[data-want]").count()
    press(page, "#map-clear")
    assert page.evaluate("document.activeElement.id") == "map-find"
    to(page, "#map-show")
    page.keyboard.press("ArrowDown")
    assert page.locator("#map-show").input_value() == "gained"
    page.keyboard.press("ArrowUp")
    to(page, "[data-csv=coverage-map]")
    with page.expect_download() as saved:
        page.keyboard.press("Enter")
    assert saved.value.suggested_filename == "coverage-map.csv"
    to(page, "#map .fold")
    page.keyboard.press("Enter")
    assert page.locator("#map tr.settled:visible").count() > 0


def test_gears_ticked_charts_and_links(page: Any) -> None:
    to(page, ".ticks input")
    page.keyboard.press("Space")
    until(page, "document.documentElement.dataset.ticked")
    assert page.locator("#what-if-count").inner_text().startswith("With these gears")
    press(page, "#what-if-next button")
    to(page, "#what-if-copy")
    to(page, "#buying [data-gears] a")
    page.keyboard.press("Enter")
    until(page, "document.getElementById('map-find').value !== ''")
    assert page.evaluate("document.activeElement.id") == "map-find"
    to(page, "#spread a")
    page.keyboard.press("Enter")
    until(page, "document.querySelector('.setup.open')")
    page.keyboard.press("Escape")


def test_printing_and_the_paper(page: Any) -> None:
    press(page, ".tools summary")
    press(page, "[data-print=map]")
    assert page.evaluate("window.printed") == "map"
    to(page, ".theme input")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    page.keyboard.press("ArrowUp")
    to(page, "nav a[href='#charts']", "Shift+Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "charts"
