"""The thread that is open: how one comes to it, goes on from it and leaves it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from report_samples import plan, wants
from waiting import until

from gearchest.reports.page.shell import part
from gearchest.reports.plan.setups_view import thread_sheets

pytestmark = pytest.mark.browser


def shown(page: Any) -> str:
    """The name of the thread that is open; empty where the map is."""
    found = page.locator(".setup.open h3:visible").all_inner_texts()
    assert page.locator("#map").is_visible() != bool(found)
    return found[0] if found else ""


def press(page: Any, way: str) -> None:
    """Go on from the open thread by the keyboard."""
    page.locator(f"[data-go={way}]").focus()
    page.keyboard.press("Enter")


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
    press(page, "next")
    press(page, "next")
    names = [want.name for want in wants()]
    assert shown(page) == names[names.index("M6") + 2]
    page.evaluate("history.back()")
    until(
        page,
        f"document.querySelector('.setup.open h3').innerText === {names[names.index('M6') + 1]!r}",
    )
    press(page, "previous")
    assert shown(page) == "M6"
    page.keyboard.press("Escape")
    until(page, "!document.documentElement.classList.contains('thread-open')")
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


SHEET = ".setup.open .train-sheet:not([data-away])"


def test_each_train_of_the_table_can_be_taken(visit: Any) -> None:
    """The heading, the one verdict and the drawing are those of the train chosen, and the link
    keeps it; those of the page's own making among them."""
    page, heard = visit("plan", "#w-m8~step=4")
    buttons = page.locator(".setup.open .trains button")
    simple = page.locator(".setup.open .trains tr", has_text="63/(20)/80")
    assert "fewest gears" in simple.inner_text()
    simple.locator("button").click()
    page.wait_for_selector(f"{SHEET}[data-steps='1 2 3']")
    # Without what the plan brought of it the page makes that train itself.
    page.evaluate(f'() => document.querySelector("{SHEET}").remove()')
    simple.evaluate("(row) => row.remove()")
    page.evaluate("location.hash = 'w-m8~step=4'")
    page.wait_for_selector(".setup.open tbody.made button")
    assert buttons.count() == 3
    for i in range(buttons.count()):
        key = buttons.nth(i).inner_text()
        buttons.nth(i).click()
        until(page, f"document.querySelector({SHEET + ' .gears'!r})?.textContent === {key!r}")
        row = page.locator(".setup.open .trains tr.chosen")
        sheet = page.locator(SHEET)
        assert (row.count(), sheet.count()) == (1, 1)
        assert row.locator("button").inner_text() == key
        assert sheet.locator(".state").inner_text() == row.locator(".state").inner_text()
        teeth = [part.strip("()") for part in key.replace(" × ", "/").split("/")]
        assert sheet.locator(".way b").all_inner_texts() == teeth
        drawn = sheet.locator("svg.train use:not(.hidden)[href^='#g']")
        hrefs = drawn.evaluate_all("(uses) => uses.map((use) => use.getAttribute('href'))")
        assert hrefs == [f"#g{tooth}-1" for tooth in teeth]
    page.reload()
    page.wait_for_selector(f"{SHEET} svg.train")
    assert page.locator(f"{SHEET} .gears").inner_text() == key
    assert heard.messages == []


def test_lengths_and_drawings_turn_to_the_other_unit_and_back(visit: Any) -> None:
    page, _ = visit("plan", "#w-m8")
    facts, drawing = page.locator(f"{SHEET} .numbers"), page.locator(f"{SHEET} svg.train")
    own = facts.inner_text(), drawing.inner_html()
    stud = page.locator(f"{SHEET} dt:text-is('Stud') + dd").inner_text()
    inches, mm = re.match(r"([\d.]+)\u202fin \(([\d.]+)\u202fmm\)", stud).groups()  # type: ignore[union-attr]
    assert f">{inches}<" in own[1]
    page.locator("[name=unit][value=mm]").check()
    assert f"{mm}\u202fmm ({inches}\u202fin)" in facts.inner_text()
    assert f">{mm}<" in drawing.inner_html()
    assert f">{inches}<" not in drawing.inner_html()
    page.locator("[name=unit][value=in]").check()
    assert facts.inner_text() == own[0]
    page.locator("[name=dimensions]").uncheck()
    assert page.locator(f"{SHEET} .dims:visible").count() == 0
    assert page.locator(f"{SHEET} .callouts > text:visible").count() > 0


def test_why_a_train_does_not_hang_is_told_in_the_unit_chosen(visit: Any) -> None:
    """As the page comes, in inches on this lathe; in mm, and back, to the letter."""
    said = "the gears span 86 mm, but the shafts are 92.5 mm apart: 6 mm short"
    sheet = thread_sheets(plan())[0].sheets[0]
    markup = str(part("trains/sheet.html.j2", sheet=replace(sheet, reasons=(said,), cures=(said,))))
    page, _ = visit("plan", "#w-m8")
    page.locator(SHEET).evaluate(
        """(sheet, markup) => {
          const made = new DOMParser().parseFromString(markup, "text/html");
          sheet.querySelector(".ruling").after(made.querySelector(".reasons"));
        }""",
        markup,
    )
    reasons = page.locator(f"{SHEET} .reasons")
    inches = said.replace("86 mm", "3.386\u202fin").replace("92.5 mm", "3.642\u202fin")
    inches = inches.replace("6 mm", "0.236\u202fin")
    assert reasons.locator("li").all_inner_texts() == [inches, f"To cure it: {inches}"]
    page.locator("[name=unit][value=mm]").check()
    assert reasons.locator("li").all_inner_texts() == [said, f"To cure it: {said}"]
    page.locator("[name=unit][value=in]").check()
    assert reasons.locator("li").all_inner_texts() == [inches, f"To cure it: {inches}"]
