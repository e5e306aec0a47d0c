"""What to buy while its answer is on its way, in a real browser, part by part."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from typing import Any

import pytest
from accessible import axe
from page_server import Served, served
from stepwise import Stepwise
from waiting import until

from gearchest.cli.page.session import DONE

pytestmark = pytest.mark.browser

PITCHES = "M6\n11 tpi\n0.8 module\n19 tpi\n0.3 mm\n27 tpi"

WHOLE = "document.body?.dataset.whole === 'true' && document.readyState === 'complete'"


@pytest.fixture(scope="module")
def solver() -> Stepwise:
    return Stepwise()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory, solver: Stepwise) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("shop"), solver=solver) as running:
        client = running.client()
        client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
        client.post("/edit", data={"sheet": "threads", "do": "add:pitches", "a:pitches": PITCHES})
        yield running


@pytest.fixture
def page(enter: Any, shop: Served, solver: Stepwise) -> Iterator[Any]:
    """What to buy, whole; then every part waits to be told."""
    solver.freely = True
    solver.go = threading.Semaphore(0)
    answered(shop)
    page = enter(shop, "/buy")
    until(page, WHOLE)
    solver.freely = False
    yield page
    solver.freely = True


def answered(shop: Served) -> None:
    """Return once all is known of the files as they are."""
    end, session = time.monotonic() + 60, shop.session
    while (session.answer.version, session.answer.state) != (session.version, DONE):
        assert time.monotonic() < end, session.answer.state
        time.sleep(0.02)


def edit(shop: Served, ident: str, text: str) -> None:
    was = shop.client().get("/lathe").text.partition(f'name="w:{ident}" value="')[2]
    form = {"sheet": "lathe", f"v:{ident}": text, f"w:{ident}": was.partition('"')[0]}
    shop.client().post("/edit", data=form)


def heads(page: Any) -> list[str]:
    """The names of the map's columns that show a step."""
    return list(page.eval_on_selector_all(
        "#map thead [data-step]:not(.what-if-column) .column-name",
        "all => all.map(one => one.textContent)",
    ))  # fmt: skip


def told(page: Any, words: str) -> None:
    until(page, f"document.getElementById('coming')?.textContent.includes({words!r})")


def test_each_step_stands_there_as_it_comes_and_the_whole_at_the_end(
    page: Any, shop: Served, solver: Stepwise
) -> None:
    edit(shop, "gears.owned", "20 30 40 60 65")
    told(page, "looking")
    page.evaluate("window.same = true")
    solver.go.release()
    told(page, "The lathe as it is")
    assert heads(page) == ["now"]
    covered = page.inner_text("#map thead [data-step='0'] .column-sum")
    assert page.locator(".card.looking").inner_text() == "looking…"
    solver.go.release(2)
    told(page, "1 step known")
    assert len(heads(page)) == 2
    assert "proven" in page.inner_text(".card >> nth=1")
    solver.go.release()
    told(page, "2 steps known")
    assert len(heads(page)) == 3
    assert page.evaluate("window.same") is True  # it is the same page still
    assert "5 gears" in page.inner_text(".particulars")
    for part, covered_there in (("left", False), ("gained", True)):
        cells = page.locator(f"#map [data-part={part}] tr[data-want] > [data-step='2']")
        for cell in cells.all():
            said = cell.get_attribute("class")
            assert ("missing" in said.split()) is not covered_there
    second = "#map tr[data-want] > [data-step='2']:not(.what-if-column)"
    assert page.locator("#map tr[data-want]").count() == page.locator(second).count() == 6
    assert page.locator("#map tr[data-want] td a:not([href])").count() == 0
    assert axe(page) == []
    solver.freely = True
    until(page, f"window.same === undefined && {WHOLE}")
    assert page.locator(".card.looking, #coming").count() == 0
    assert page.inner_text("#map thead [data-step='0'] .column-sum") == covered


def test_the_place_where_one_was_is_kept(page: Any, shop: Served, solver: Stepwise) -> None:
    """Scroll, focus and what is marked in it, open parts, filter and gears ticked."""
    page.set_viewport_size({"width": 900, "height": 500})
    page.locator("#answer details summary").first.click()
    page.locator("#what-if label.new input").first.check()
    page.fill("#map-find", "M")
    page.evaluate("document.getElementById('map-find').setSelectionRange(0, 1)")
    page.evaluate("scrollTo(0, 260)")  # the box found in is in sight still
    ticked = page.eval_on_selector_all("#what-if input:checked", "all => all.length")
    edit(shop, "policy.screw_torque", "1.75")
    told(page, "looking")
    solver.go.release(2)
    told(page, "The lathe as it is")
    assert page.evaluate("document.activeElement.id") == "map-find"
    top = page.evaluate("window.same = true, scrollY")
    assert top > 100
    solver.freely = True
    until(page, f"window.same === undefined && {WHOLE}")
    until(page, f"Math.abs(scrollY - {top}) < 5")
    until(page, "document.activeElement.id === 'map-find'")
    assert page.input_value("#map-find") == "M"
    assert page.evaluate(
        "[document.activeElement.selectionStart, document.activeElement.selectionEnd]"
    ) == [0, 1]
    assert page.locator("#answer details[open]").count() == 1
    until(page, "document.documentElement.dataset.ticked === 'yes'")
    assert page.eval_on_selector_all("#what-if input:checked", "all => all.length") == ticked


def test_what_is_of_the_files_before_is_not_asked(
    page: Any, shop: Served, solver: Stepwise
) -> None:
    """A setup, and gears to tick: they answer nothing until they are made anew."""
    edit(shop, "gears.owned", "20 30 40 60")
    told(page, "looking")
    page.locator("#map tr[data-want]:visible a:visible").first.click()
    told(page, "as soon as all steps")
    assert page.locator(".setup.open").count() == 0
    assert page.evaluate("document.getElementById('what-if').inert")
    solver.freely = True
    until(page, WHOLE)
    page.locator("#map tr[data-want]:visible a:visible").first.click()
    page.wait_for_selector(".setup.open")


def test_threads_come_and_go_while_it_is_looked_for(
    page: Any, shop: Served, solver: Stepwise
) -> None:
    client = shop.client()
    client.post("/edit", data={"sheet": "threads", "do": "remove:wants:want.0"})
    client.post("/edit", data={"sheet": "threads", "do": "add:pitches", "a:pitches": "M12"})
    told(page, "looking")
    solver.go.release(2)
    page.wait_for_selector("#map tr[data-want] th a:text-is('M12')")
    names = page.eval_on_selector_all(
        "#map tr[data-want] th a", "all => all.map(o => o.textContent)"
    )
    assert "M6" not in names
    page.fill("#map-find", "M12")
    assert page.locator("#map tr[data-want]:visible").count() == 1
    solver.freely = True
    until(page, WHOLE)
    client.post("/edit", data={"sheet": "threads", "do": "undo"})
    client.post("/edit", data={"sheet": "threads", "do": "undo"})


def test_marked_text_is_not_taken_away_and_undo_stays_on_the_page(
    page: Any, shop: Served, solver: Stepwise
) -> None:
    edit(shop, "gears.owned", "20 33 40 60 63")
    solver.freely = True
    told_of = "document.querySelector('.particulars')?.innerText.includes('5 gears')"
    until(page, f"{told_of} && {WHOLE}")
    page.evaluate("getSelection().selectAllChildren(document.getElementById('verdict'))")
    page.evaluate("window.same = true")
    page.evaluate("document.querySelector('.taking-back [value=undo]').click()")
    page.wait_for_selector("#coming button")
    assert page.evaluate("window.same") is True
    page.click("#coming button")
    until(page, f"window.same === undefined && {WHOLE}")
    assert "5 gears" not in page.inner_text(".particulars")


def test_faults_say_of_when_the_answer_is(page: Any, shop: Served, solver: Stepwise) -> None:
    edit(shop, "leadscrew.pitch", "8")
    solver.go.release()
    told(page, "of those before")
    solver.freely = True
    shop.client().post("/edit", data={"sheet": "lathe", "do": "undo"})
    until(page, WHOLE)


def test_no_news_is_acted_on_after_newer_ones(page: Any, shop: Served, solver: Stepwise) -> None:
    """However late the strip comes: "looking" does not stand again over what was found wrong."""
    held: list[Any] = []
    late = True
    page.route("**/strip", lambda route: held.append(route) if late else route.continue_())
    edit(shop, "leadscrew.pitch", "8")
    solver.freely = True
    told(page, "of those before")
    page.evaluate("window.same = true")
    late = False
    assert held
    for route in held:
        with page.expect_response("**/strip"):
            route.continue_()
    page.wait_for_timeout(300)
    assert "of those before" in page.inner_text("#coming")
    assert page.evaluate("window.same") is True
    shop.client().post("/edit", data={"sheet": "lathe", "do": "undo"})
    until(page, WHOLE)


def test_a_map_that_comes_late_does_not_stand_over_what_was_found_wrong(
    page: Any, shop: Served, solver: Stepwise
) -> None:
    late: list[Any] = []
    page.route("**/live", lambda route: late.append((route, route.fetch())))
    edit(shop, "gears.owned", "20 30 40 60 65")
    told(page, "looking")
    before = page.inner_text(".particulars")
    solver.go.release()
    end = time.monotonic() + 60
    while not late:
        assert time.monotonic() < end
        page.wait_for_timeout(20)
    edit(shop, "leadscrew.pitch", "8")
    solver.freely = True
    told(page, "of those before")
    for route, reply in late:
        assert reply.status == 200
        with page.expect_response("**/live"):
            route.fulfill(response=reply)
    page.wait_for_timeout(300)
    assert "of those before" in page.inner_text("#coming")
    assert page.inner_text(".particulars") == before
    page.unroute("**/live")
    for _ in range(2):
        shop.client().post("/edit", data={"sheet": "lathe", "do": "undo"})
    until(page, WHOLE)
