"""A real browser for the report's tests: Debian's Chromium, headless, through playwright.

Without it the tests are skipped with the reason; where CI is set they fail.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parent)]

from need import missing  # noqa: E402 - found beside this file

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Closed with its module: only one playwright may run at a time."""
    chromium = shutil.which("chromium")
    if chromium is None:
        missing("chromium")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing("playwright")
    with sync_playwright() as play:
        running = play.chromium.launch(executable_path=chromium, args=list(FLAGS))
        yield running
        running.close()


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The sample pages as files."""
    import report_samples

    folder = tmp_path_factory.mktemp("pages")
    report_samples.main(str(folder))
    return {path.stem: path for path in folder.glob("*.html")}


@dataclass
class Heard:
    """What a page asked for and said."""

    requests: list[str] = field(default_factory=list)
    messages: list[str] = field(default_factory=list)


@pytest.fixture
def visit(browser: Any, pages: dict[str, Path]) -> Iterator[Any]:
    """Open a sample page: visit(name, hash="", **context options) -> (page, heard)."""
    contexts = []

    def go(name: str, place: str = "", **options: Any) -> tuple[Any, Heard]:
        options.setdefault("viewport", {"width": 1366, "height": 768})
        context = browser.new_context(**options)
        contexts.append(context)
        page, heard = context.new_page(), Heard()
        page.on("request", lambda request: heard.requests.append(request.url))
        page.on("console", lambda message: heard.messages.append(message.text))
        page.on("pageerror", lambda error: heard.messages.append(str(error)))
        page.goto(pages[name].as_uri() + place)
        return page, heard

    yield go
    for context in contexts:
        context.close()
