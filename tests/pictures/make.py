"""Makes the pictures of the README from the program itself, in headless Chromium.

    PYTHONPATH=tests/support python tests/pictures/make.py [FOLDER]

The page is opened over the bundled example; the map is taken from "What to buy", the arm from the
lathe's sheet with a measure in hand.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from page_server import Served, served
from playwright.sync_api import sync_playwright

from gearchest.catalogs.lathes import example

WAIT = 120.0
"""s at most for the whole answer."""


def main(folder: Path) -> None:
    """Write map.png and arm.png."""
    with tempfile.TemporaryDirectory() as place:
        shop = Path(place) / "shop"
        shop.mkdir()
        sample = example()
        shutil.copy(sample.lathe, shop / "lathe.toml")
        shutil.copy(sample.wants, shop / "wants.toml")
        shutil.copy(sample.offers, shop / "offers.csv")
        with served(shop, solver=True) as server, sync_playwright() as play:
            chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
            browser = play.chromium.launch(
                executable_path=chromium, args=["--headless", "--no-sandbox", "--disable-gpu"]
            )
            page = browser.new_context(viewport={"width": 1180, "height": 720}).new_page()
            page.goto(server.keys.address)
            _map(page, server, folder / "map.png")
            _arm(page, server, folder / "arm.png")
            browser.close()


def _arm(page: Any, server: Served, target: Path) -> None:
    page.goto(f"{server.base}/lathe")
    page.set_viewport_size({"width": 1180, "height": 780})
    page.locator('[id="banjo.slots.0.end"]').focus()
    page.locator("#arm").evaluate("arm => arm.scrollIntoView()")
    page.wait_for_timeout(400)
    page.screenshot(path=target)


def _map(page: Any, server: Served, target: Path) -> None:
    end = time.monotonic() + WAIT
    while server.session.answer.state != "done" and time.monotonic() < end:
        page.wait_for_timeout(200)
    page.set_viewport_size({"width": 1180, "height": 760})
    page.goto(f"{server.base}/buy")
    page.wait_for_timeout(800)
    page.screenshot(path=target)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
