"""Every kind of page at every size, on every paper: accessible, legible, nothing cut off."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
from need import missing
from sights import KINDS, PAPERS, SIGHTS, WIDTHS, Sight, check, look

pytestmark = pytest.mark.browser

PLANS = ("plan", "plan-bare", "plan-gears")
MODES = ("map", "setups", "gears")


@pytest.mark.parametrize("sight", SIGHTS)
@pytest.mark.parametrize("name", KINDS)
def test_axe_finds_nothing(kept: Any, name: str, sight: str) -> None:
    assert axe(look(kept(name), SIGHTS[sight])) == []


@pytest.mark.parametrize("mode", MODES)
def test_axe_finds_nothing_in_print_modes(kept: Any, mode: str) -> None:
    sight = Sight(width=PAPERS["A4"], media="print", mode=mode)
    assert axe(look(kept("plan-gears"), sight)) == []


@pytest.mark.parametrize("sight", ["light", "dark", "phone"])
def test_all_holds_with_gears_ticked(ticked: Any, sight: str) -> None:
    page = look(ticked, SIGHTS[sight])
    assert page.locator("#map td.what-if-column:visible").count() > 0
    assert axe(page) == []
    assert check(page, "overflow") == []
    assert check(page, "contrast") == []
    assert check(page, "cells", "labels.js")[0] == []


@pytest.fixture(scope="module")
def ticked(browser: Any, pages: Any) -> Iterator[Any]:
    """A plan with the gears of a step ticked."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(pages["plan"].as_uri())
    page.locator('[data-preset="1"]').click()
    page.wait_for_function("document.documentElement.dataset.ticked")
    yield page
    context.close()


def axe(page: Any) -> list[str]:
    """axe-core, the accessibility checks packed with axe-playwright-python."""
    try:
        source = (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
    except ModuleNotFoundError:
        missing("axe-playwright-python")
    if not page.evaluate("'axe' in window"):
        page.evaluate(source)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{v['id']}: {[node['html'][:200] for node in v['nodes']]}" for v in found["violations"]
    ]


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
    for mode in ("", *MODES) if name in PLANS else ("",):
        page = look(kept(name), Sight(width=PAPERS[paper], media="print", mode=mode))
        assert (mode, check(page, "overflow")) == (mode, [])
        assert (mode, check(page, "scrollers")) == (mode, [])


@pytest.mark.parametrize("name", KINDS)
def test_labels_in_drawings_keep_apart(kept: Any, name: str) -> None:
    """In every drawing: of each thread at each step, at each size, and on paper."""
    for sight in ("light", "phone"):
        page = look(kept(name), SIGHTS[sight])
        assert (sight, check(page, "labels", "labels.js")) == (sight, [])
        if page.locator("#map").count():
            faults, drawings = check(page, "cells", "labels.js")
            assert (sight, faults) == (sight, [])
            assert drawings >= page.locator("#map td a:visible").count() / 2
    modes = ("", *MODES) if name in PLANS else ("",)
    for mode in modes:
        page = look(kept(name), Sight(width=PAPERS["A4"], media="print", mode=mode))
        assert (mode, check(page, "labels", "labels.js")) == (mode, [])


@pytest.mark.parametrize("sight", ["light", "dark", "forced colours", "print"])
@pytest.mark.parametrize("name", KINDS)
def test_contrast(kept: Any, name: str, sight: str) -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11: text 4.5 to 1, lines that carry meaning 3 to 1.

    In forced colours the same says that nothing vanishes.
    """
    page = look(kept(name), SIGHTS[sight])
    assert check(page, "contrast") == []
    assert check(page, "ink") == []


@pytest.mark.parametrize("sight", ["light", "dark", "forced colours"])
@pytest.mark.parametrize("name", KINDS)
def test_the_focus_is_seen(kept: Any, name: str, sight: str) -> None:
    assert check(look(kept(name), SIGHTS[sight]), "focus") == []


@pytest.mark.parametrize("name", KINDS)
def test_targets_are_big_enough(kept: Any, name: str) -> None:
    """WCAG 2.2, 2.5.8: 24 by 24 pixels."""
    assert check(look(kept(name), SIGHTS["phone"]), "targets") == []


@pytest.mark.parametrize("name", KINDS)
def test_nothing_runs_over_without_scripts(visit: Any, name: str) -> None:
    page, _ = visit(name, java_script_enabled=False, viewport={"width": 320, "height": 640})
    assert check(page, "overflow") == []
