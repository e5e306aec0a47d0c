"""Faults in a real browser: each with its place, and cures as buttons that mend the file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from page_server import Served, served
from waiting import until

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.reading import read_text
from gearchest.cli.files.wants import load_wants
from gearchest.cli.page.seen import see

pytestmark = pytest.mark.browser

HABITS = Path(__file__).parents[1] / "cli" / "habits"
NAMES = sorted(path.name for path in HABITS.glob("*-*.toml"))
MOST_PRESSED = 14


def faults_of(name: str) -> int:
    kind, text = name.partition("-")[0], read_text(HABITS / name)
    seen = see({kind: text})
    return len((seen.lathe_file if kind == "lathe" else seen.wants_file).faults)


WRONG = [name for name in NAMES if faults_of(name)]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, Path]]:
    folder = tmp_path_factory.mktemp("shop")
    with served(folder) as running:
        yield running, folder


@pytest.fixture(scope="module")
def tab(browser: Any, shop: tuple[Served, Path]) -> Iterator[Any]:
    context = browser.new_context()
    page = context.new_page()
    page.set_default_timeout(20_000)
    page.goto(shop[0].keys.address)
    yield page
    context.close()


@pytest.mark.parametrize("name", WRONG)
def test_every_fault_is_told_and_its_cures_mend(
    tab: Any, shop: tuple[Served, Path], name: str
) -> None:
    server, folder = shop
    kind = name.partition("-")[0]
    path = folder / ("lathe.toml" if kind == "lathe" else "wants.toml")
    path.write_bytes((HABITS / name).read_bytes())
    page = tab
    page.goto(f"{server.base}/{'lathe' if kind == 'lathe' else 'threads'}")
    assert page.locator(".fault").count() >= 1
    for field in page.locator("[aria-invalid]").all():
        told = field.get_attribute("aria-describedby").split()
        assert all(page.locator(f'[id="{ident}"]').count() == 1 for ident in told)
    pressed = 0
    while page.locator(".fault button").count():
        version = page.get_attribute("body", "data-version")
        button = page.locator(".fault button").first
        button.evaluate("one => one.closest('details')?.setAttribute('open', '')")
        button.click()
        until(page, "was => document.body.dataset.version !== was", version)
        pressed += 1
        assert pressed <= MOST_PRESSED
    assert pressed
    assert page.locator(".fault").count() == 0
    shop_lathe = load_lathe(path if kind == "lathe" else Path("mini-7-metric"))
    assert kind == "lathe" or load_wants(path, shop_lathe)
