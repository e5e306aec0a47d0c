"""Pages enlarged to twice and four times their size, with scripts and without: accessible, and to
be scrolled one way only."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from accessible import axe
from sights import KINDS, check

pytestmark = pytest.mark.browser

# What a window of 1366 by 768 and one of 1280 by 1024 leave of themselves.
ZOOMED = {"200 %": (683, 384, 2), "400 %": (320, 256, 4)}
NO_COLOURS = {"rules": {"color-contrast": {"enabled": False}}}  # they are the same at every size


@pytest.fixture(scope="module", params=ZOOMED)
def enlarged(request: Any, browser: Any) -> Iterator[Any]:
    """A page of a window so enlarged."""
    width, height, scale = ZOOMED[request.param]
    context = browser.new_context(
        viewport={"width": width, "height": height}, device_scale_factor=scale
    )
    yield context.new_page()
    context.close()


def bare(path: Path, folder: Path) -> Path:
    """A page as a browser without scripts has it, for one that needs them to look at it: its own
    are left out, and what stands in their place is put in."""
    text = re.sub(r"<script>.*?</script>", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    made = folder / path.name
    made.write_text(re.sub(r"</?noscript>", "", text), encoding="utf-8")
    return made


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
@pytest.mark.parametrize("name", KINDS)
def test_enlarged_nothing_is_lost(
    enlarged: Any, pages: dict[str, Path], tmp_path: Path, name: str, scripts: bool
) -> None:
    if not scripts and enlarged.viewport_size["width"] > 320:
        pytest.skip("without scripts the narrower window asks for more")
    path = pages[name] if scripts else bare(pages[name], tmp_path)
    enlarged.goto(path.as_uri())
    assert enlarged.evaluate("document.documentElement.classList.contains('js')") == scripts
    assert axe(enlarged, NO_COLOURS) == []
    assert check(enlarged, "overflow") == []
    assert check(enlarged, "scrollers") == []
    wide, window = enlarged.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide <= window


def test_enlarged_four_times_rows_of_the_map_show(browser: Any, pages: dict[str, Path]) -> None:
    """No bar takes what little room there is: a row scrolled to stands whole on the screen."""
    width, height, scale = ZOOMED["400 %"]
    context = browser.new_context(
        viewport={"width": width, "height": height}, device_scale_factor=scale
    )
    page = context.new_page()
    page.goto(pages["plan"].as_uri())
    page.locator('[data-preset="1"]').click()
    page.locator("#ticked").wait_for()
    row = page.locator("#map tr[data-want]:visible").nth(3)
    row.evaluate("(row) => row.scrollIntoView({ block: 'center' })")
    box = row.bounding_box()
    middle = [box["x"] + box["width"] / 4, box["y"] + box["height"] / 2]
    hit = "([x, y]) => document.elementFromPoint(x, y).closest('tr')?.dataset.want"
    assert page.evaluate(hit, middle) == row.get_attribute("data-want")
    context.close()
