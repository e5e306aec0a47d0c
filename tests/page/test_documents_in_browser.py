"""Documents between the page's head and foot, in a real browser: they work as they do alone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from accessible import axe
from page_server import Served, served

pytestmark = pytest.mark.browser

PITCHES = "M6\n11 tpi\n0.8 module\n19 tpi"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("shop"), solver=True) as running:
        client = running.client()
        client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
        client.post("/edit", data={"sheet": "threads", "do": "add:pitches", "a:pitches": PITCHES})
        yield running


@pytest.mark.parametrize("path", ["/buy", "/setup?thread=M6", "/chart"])
def test_a_document_fits_its_window_and_axe_finds_nothing(
    enter: Any, shop: Served, path: str
) -> None:
    page = enter(shop, path)
    page.wait_for_selector('#strip[data-state="done"]', state="attached")
    for width in (320, 1440):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    assert axe(page) == []
    page.emulate_media(media="print")
    assert not page.locator("#doors").is_visible()


def test_what_to_buy_follows_an_edit_made_in_another_tab(enter: Any, shop: Served) -> None:
    page = enter(shop, "/buy")
    other = enter(shop, "/lathe", tab_of=page)
    page.wait_for_selector('body[data-whole="true"]', state="attached")
    was = page.get_attribute("body", "data-version")
    field = other.locator('[id="gears.owned"]')
    field.fill("20 30 40 50 60 63 70")
    field.press("Tab")
    page.wait_for_selector(f'body[data-whole="true"]:not([data-version="{was}"])', state="attached")
    assert "7 gears" in page.inner_text("body")


def test_gears_can_be_ticked_there_as_in_the_report(enter: Any, shop: Served) -> None:
    page = enter(shop, "/buy")
    page.wait_for_selector('body[data-whole="true"]', state="attached")
    assert page.locator("html.js").count() == 1
    assert page.locator("#what-if input, #what-if button").count() > 5
