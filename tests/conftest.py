"""For all tests: no property test fails because a machine is slow; and a real browser for those
of pages, Debian's Chromium, headless, through playwright.

Without it those are skipped with the reason; where CI is set they fail.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import settings
from need import missing

settings.register_profile("suite", deadline=None)
settings.load_profile("suite")

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--no-first-run",
)  # fmt: skip


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """One for all tests: starting it costs more than most of them."""
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
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
