"""The thread that is open: how one comes to it, goes on from it and leaves it."""

from __future__ import annotations

from typing import Any

import pytest
from report_samples import wants

pytestmark = pytest.mark.browser


def shown(page: Any) -> str:
    """The name of the thread that is open; empty where the map is."""
    found = page.locator(".setup.open h3:visible").all_inner_texts()
    assert page.locator("#map").is_visible() != bool(found)
    return found[0] if found else ""


def test_every_opening_is_an_entry_of_the_history(visit: Any) -> None:
    """Back goes back thread by thread; Escape returns to the map and to the cell."""
    page, heard = visit("plan")
    assert shown(page) == ""
    page.locator("#step-1").check()
    page.locator("#map-order").select_option("series")
    cell = page.locator("#map tr[data-want=w-m6] td[data-step='0'] a")
    cell.scroll_into_view_if_needed()
    left_at = page.evaluate("scrollY")
    cell.click()
    assert shown(page) == "M6"
    assert page.url.endswith("#w-m6~with=1&step=0&order=series")
    assert page.evaluate("[scrollY, document.activeElement.id]") == [0, "w-m6"]
    page.locator("[data-go=next]").click()
    page.locator("[data-go=next]").click()
    names = [want.name for want in wants()]
    assert shown(page) == names[names.index("M6") + 2]
    page.go_back()
    assert shown(page) == names[names.index("M6") + 1]
    page.locator("[data-go=previous]").click()
    assert shown(page) == "M6"
    page.keyboard.press("Escape")
    page.wait_for_function("!document.documentElement.classList.contains('thread-open')")
    assert shown(page) == ""
    assert page.evaluate("scrollY") == pytest.approx(left_at, abs=2)
    assert page.evaluate("document.activeElement.closest('tr').dataset.want") == "w-m6"
    page.go_forward()
    assert shown(page) == "M6"
    assert heard.messages == []


def test_a_link_to_a_thread_opens_it_and_the_map_is_behind_it(visit: Any) -> None:
    page, _ = visit("plan", "#w-m6~step=1&show=gained")
    assert shown(page) == "M6"
    assert page.locator(".setup.open .train-sheet:not([data-away])").count() == 1
    page.locator("[data-go=map]").click()
    assert shown(page) == ""
    rows = page.locator("#map tr[data-want]:not([hidden])").count()
    assert 0 < rows < page.locator("#map tr[data-want]").count()
    assert page.evaluate("document.activeElement.closest('tr').dataset.want") == "w-m6"
    page.go_back()
    assert shown(page) == "M6"
    page.reload()
    assert shown(page) == "M6"
