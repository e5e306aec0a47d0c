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


MEASURED = "/unknown?measured=10+threads+in+15.1+mm&diameter=11.9+mm"


@pytest.mark.parametrize(
    "path",
    ["/buy", "/setup?thread=M6", "/setup?thread=M6&load=x", "/chart", "/blanks?teeth=63",
     "/compare?with=american-12", MEASURED],
)  # fmt: skip
def test_a_document_fits_its_window_and_axe_finds_nothing(
    enter: Any, shop: Served, path: str
) -> None:
    page = enter(shop, "/lathe")
    page.wait_for_selector('#strip[data-state="done"]', state="attached")
    page.goto(shop.base + path)
    for details in page.locator(".asked details").all():
        details.evaluate("each => { each.open = true }")
    for width in (320, 390, 768, 1440):
        page.set_viewport_size({"width": width, "height": 800})
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, f"{over} too wide at {width}"
    assert axe(page) == []
    page.emulate_media(color_scheme="dark")
    assert axe(page, {"runOnly": ["color-contrast"]}) == []
    # In the dark axe takes the colour of text from before it is forced.
    page.emulate_media(color_scheme="light", forced_colors="active")
    assert axe(page, {"runOnly": ["color-contrast"]}) == []
    page.emulate_media(media="print", color_scheme="null", forced_colors="null")
    assert not page.locator("#doors").is_visible()
    assert page.locator(".asked:visible").count() == 0


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
