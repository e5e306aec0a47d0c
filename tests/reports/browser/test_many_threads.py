"""The page of very many threads: its setups come packed, and open as those of any plan do."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import report_samples as samples
from waiting import until

from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import bare_view, setups_view
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.words import wording

pytestmark = pytest.mark.browser

OPENED = """(ident) => {
  const setup = document.querySelector(`#${ident}.setup.open`);
  if (!setup?.querySelector(".train-sheet:not([data-away]) svg.train, .nothing")) return "";
  const copy = setup.cloneNode(true);
  for (const put of copy.querySelectorAll(".definitions, .unscripted")) put.remove();
  return copy.outerHTML.replaceAll(" </figcaption>", "</figcaption>");
}"""


@pytest.fixture(scope="module")
def usual(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample's plan, with no more trains standing in it than with a great many threads."""
    path = tmp_path_factory.mktemp("many") / "usual.html"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(setups_view, "MOST_DRAWN", 0)
        path.write_text(plan_sheet(samples.plan(), Facts(), charts=False), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def many(usual: Path) -> Path:
    """The same as that of a great many threads is written."""
    path = usual.with_name("many.html")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(setups_view, "MOST_WHOLE", 0)
        patch.setattr(bare_view, "SAID_OFTEN", 2)
        path.write_text(plan_sheet(samples.plan(), Facts(), charts=False), encoding="utf-8")
    return path


def test_setups_open_as_those_that_stand_in_the_page(browser: Any, usual: Path, many: Path) -> None:
    idents = [wording.anchors([want.name])[0] for want in samples.plan().wants]
    context = browser.new_context(viewport={"width": 1366, "height": 768})
    page, other = context.new_page(), context.new_page()
    heard = list[str]()
    for tab, path in ((page, usual), (other, many)):
        tab.on("pageerror", lambda error: heard.append(str(error)))
        tab.goto(path.as_uri())
    for ident in idents:
        found = []
        for tab in (page, other):
            tab.evaluate("(place) => { location.hash = place; }", ident)
            until(tab, f"() => ({OPENED})('{ident}')")
            found.append(tab.evaluate(OPENED, ident))
        assert found[0] == found[1]
    assert heard == []
    context.close()


def test_without_scripts_and_in_old_browsers_what_stands_there_is_read(
    browser: Any, many: Path
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(many.as_uri() + "#w-m8")
    told = page.locator("#w-m8").inner_text()
    assert page.locator("#w-m8 svg.train").is_visible()
    assert page.locator("#w-m8").get_by_role("link", name="Back to the map").is_visible()
    assert "Tooth load" in told
    context.close()
    context = browser.new_context()
    page = context.new_page()
    page.add_init_script("delete globalThis.DecompressionStream")
    page.goto(many.as_uri() + "#w-m8")
    until(page, "() => document.querySelector('.setup.open [data-no-train]:not([hidden])')")
    assert page.locator("#w-m8").inner_text().startswith(told.split("Tooth load")[0])
    assert "too old to unpack" in page.locator("[data-no-train]").inner_text()
    context.close()
