"""Names lead somewhere: gears to the threads whose trains use them, threads to their panel, and
links from elsewhere to a row that is on the screen."""

from __future__ import annotations

import re
from typing import Any

import pytest
from waiting import until

pytestmark = pytest.mark.browser

SIZES = {"laptop": (1366, 768), "phone": (390, 844), "zoomed": (320, 256)}
ROWS = "#map tr[data-want]:not([hidden])"
# What a row says at the columns on the screen.
TOLD = """() => {
  const shown = (selector, from) =>
    [...from.querySelectorAll(selector)].filter((one) => one.offsetParent);
  return shown("#map tr[data-want]", document).map((row) => [
    row.querySelector("th").innerText,
    ...shown("td", row).map((cell) => cell.querySelector("b")?.innerText ?? ""),
  ]);
}"""


def has(told: list[str], gear: str) -> bool:
    """Whether a row's head or one of its trains names a gear."""
    return any(gear in re.split(r"[^\d.]+", text) for text in told)


@pytest.mark.parametrize("where", ["#answer .others-of", "#answer .turns", "#buying", "#proof"])
def test_every_gear_leads_to_the_threads_whose_trains_use_it(visit: Any, where: str) -> None:
    page, heard = visit("plan")
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    links = page.locator(f"{where} [data-gears] a")
    assert links.count() >= 1
    sure = 0
    for link in links.all():
        page.locator(where).last.evaluate("(part) => part.scrollIntoView()")
        if not link.is_visible():
            continue
        gear = link.inner_text().split(" ")[0]
        link.click()
        until(page, f"document.getElementById('map-find').value === {gear!r}")
        told = page.evaluate(TOLD)
        assert told
        assert all(has(row, gear) for row in told)
        assert page.locator("#map").evaluate("(map) => map.getBoundingClientRect().top < 700")
        sure += 1
    assert sure >= 1
    assert heard.messages == []


def test_a_gear_of_another_set_is_ticked_with_its_set(visit: Any) -> None:
    page, _ = visit("plan")
    other = page.locator(".others-of").first
    other.locator("summary").click()
    other.locator("[data-gears] a").first.click()
    until(page, "document.documentElement.dataset.ticked")
    gears = page.locator("#ticked b").inner_text()
    assert gears == "Your ticks: with 66."
    assert page.locator("#map td.what-if-column:visible b", has_text="66").count() >= 1


def test_threads_named_in_what_if_open(visit: Any) -> None:
    """Those one gear more would unlock, and those a tick has won."""
    page, _ = visit("plan")
    page.locator("#what-if-next a").first.wait_for(state="attached")
    link = page.locator("#what-if-next a").first
    name = link.inner_text()
    link.click()
    assert page.locator(".setup.open h3").inner_text() == name
    page.keyboard.press("Escape")
    until(page, "!document.documentElement.classList.contains('thread-open')")
    page.locator("#what-if-next button").first.click()
    won = page.locator("#ticked a").first
    name = won.inner_text()
    won.click()
    assert page.locator(".setup.open h3").inner_text() == name
    sheet = page.locator(".setup.open .train-sheet.what-if")
    sheet.wait_for()
    assert "your ticks" in sheet.inner_text()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("place", ["~step=1", "~with=1&show=left", "~find=nothing+like+it"])
def test_a_link_to_a_thread_has_its_row_on_the_screen(visit: Any, size: str, place: str) -> None:
    """Of the first row, the last and one that was folded away, past a filter that hides it."""
    wide, high = SIZES[size]
    page, _ = visit("plan", viewport={"width": wide, "height": high})
    wants = page.locator("#map tr[data-want]").evaluate_all(
        "(all) => all.map((r) => r.dataset.want)"
    )
    address = page.url
    folded = page.locator("#map tr.settled").first.get_attribute("data-want")
    for want in (wants[0], folded, wants[-1]):
        page.goto("about:blank")
        page.goto(f"{address}#{want}{place}")
        panel = page.locator(f"#{want}")
        assert panel.bounding_box()["y"] < high
        page.keyboard.press("Escape")
        row = page.locator(f'#map tr[data-want="{want}"]')
        row.wait_for(state="visible")
        top, bottom = row.evaluate(
            "(row) => [row.getBoundingClientRect().top, row.getBoundingClientRect().bottom]"
        )
        head = page.locator("#map thead").evaluate("(head) => head.getBoundingClientRect().bottom")
        assert max(0, min(head, 60)) <= top + 1
        assert bottom <= high + 1
        assert page.evaluate("document.activeElement.closest('tr')?.dataset.want") == want


def test_after_going_on_the_row_that_is_returned_to_is_on_the_screen(visit: Any) -> None:
    page, _ = visit("plan")
    page.locator("#map-order").select_option("series")
    page.locator("#map td a:visible").first.click()
    while page.locator("[data-go=next]").is_enabled():
        page.locator("[data-go=next]").click()
    want = page.locator(".setup.open").get_attribute("id")
    page.keyboard.press("Escape")
    row = page.locator(f'#map tr[data-want="{want}"]')
    row.wait_for(state="visible")
    box = row.bounding_box()
    assert 0 <= box["y"] <= 768 - box["height"]


@pytest.mark.parametrize("name", ["plan", "compare"])
def test_every_cell_leads_where_its_row_does(visit: Any, name: str) -> None:
    page, _ = visit(name)
    rows = page.locator("#map tr[data-want]").evaluate_all(
        "(rows) => rows.map((row) => [...row.querySelectorAll('a')].map((a) => a.hash))"
    )
    assert len(rows) > 5
    for head, *cells in rows:
        assert len(cells) >= 2
        assert {*cells} == {head}
