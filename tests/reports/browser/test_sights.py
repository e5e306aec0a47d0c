"""Every kind of page at every size, on every paper: accessible, legible, nothing cut off."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from accessible import axe
from sights import KINDS, PAPERS, SIDEWAYS, SIGHTS, WIDTHS, Sight, check, look
from waiting import until

pytestmark = pytest.mark.browser

PLANS = ("plan", "plan-bare", "plan-gears")
MODES = ("map", "setups", "gears", "chart")
ONLY_COLOURS: dict[str, Any] = {"runOnly": ["color-contrast"]}
NO_COLOURS: dict[str, Any] = {"rules": {"color-contrast": {"enabled": False}}}


@pytest.mark.parametrize("sight", SIGHTS)
@pytest.mark.parametrize("name", KINDS)
def test_every_page_in_every_sight(kept: Any, name: str, sight: str) -> None:
    """All that is asked of a page, while it stands as it is looked at.

    axe: colours are most of its work, and the same in every sight but on dark paper; `contrast`
    and `ink` are told in print and forced colours too, where the same says that nothing vanishes:
    WCAG 2.2, 1.4.3 and 1.4.11, text 4.5 to 1, lines that carry meaning 3 to 1. `targets`: 2.5.8,
    24 by 24 pixels. `labels`: in every drawing, of each thread at each step.
    """
    page = look(kept(name), SIGHTS[sight])
    colours = {"light": {}, "dark": ONLY_COLOURS}.get(sight, NO_COLOURS)
    found = {"axe": axe(page, colours)}
    if sight != "phone":
        found |= {"contrast": check(page, "contrast"), "ink": check(page, "ink")}
    else:
        found["targets"] = check(page, "targets")
    if sight not in ("phone", "print"):
        found["focus"] = check(page, "focus")
    if sight in ("light", "phone"):
        found["labels"] = check(page, "labels", "labels.js")
        if page.locator("#map").count():
            found["cells"], drawings = check(page, "cells", "labels.js")
            assert drawings >= page.locator("#map td a:visible").count() / 2
    assert {what: faults for what, faults in found.items() if faults} == {}


@pytest.mark.parametrize("mode", MODES)
def test_axe_finds_nothing_in_print_modes(kept: Any, mode: str) -> None:
    sight = Sight(width=PAPERS["A4"], media="print", mode=mode)
    assert axe(look(kept("plan-gears"), sight), NO_COLOURS) == []


@pytest.mark.parametrize("sight", ["light", "dark", "phone"])
def test_all_holds_with_gears_ticked(ticked: Any, sight: str) -> None:
    page = look(ticked, SIGHTS[sight])
    assert page.locator("#map td.what-if-column:visible").count() > 0
    assert check(page, "overflow") == []
    assert check(page, "contrast") == []
    if sight == "light":
        assert axe(page, NO_COLOURS) == []
        assert check(page, "cells", "labels.js")[0] == []


@pytest.fixture(scope="module")
def ticked(browser: Any, pages: Any) -> Iterator[Any]:
    """A plan with the gears of a step ticked."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(pages["plan"].as_uri())
    page.locator('[data-preset="1"]').click()
    until(page, "document.documentElement.dataset.ticked")
    yield page
    context.close()


@pytest.mark.parametrize("name", KINDS)
def test_no_text_is_cut_at_any_width(kept: Any, name: str) -> None:
    """Nor is there anything to scroll but the map, the setups beside it and true sizes."""
    for width in WIDTHS:
        page = look(kept(name), Sight(width=width))
        assert (width, check(page, "overflow")) == (width, [])
        assert (width, check(page, "scrollers")) == (width, [])


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", KINDS)
def test_no_text_is_cut_on_paper(kept: Any, name: str, paper: str) -> None:
    """Nor does any lie over another in a drawing."""
    for mode in ("", *MODES) if name in PLANS else ("",):
        widths = SIDEWAYS if "chart" in (name, mode) else PAPERS
        page = look(kept(name), Sight(width=widths[paper], media="print", mode=mode))
        assert (mode, check(page, "overflow")) == (mode, [])
        assert (mode, check(page, "scrollers")) == (mode, [])
        if paper == "A4":
            assert (mode, check(page, "labels", "labels.js")) == (mode, [])


@pytest.mark.parametrize("name", KINDS)
def test_nothing_runs_over_without_scripts(visit: Any, name: str) -> None:
    page, _ = visit(name, java_script_enabled=False, viewport={"width": 320, "height": 640})
    assert check(page, "overflow") == []
