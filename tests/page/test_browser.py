"""The page in a real browser: from nothing to an answer, and what goes wrong on the way."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from accessible import axe
from page_server import Served, served
from waiting import until

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants

pytestmark = pytest.mark.browser

GEARS = "20 20 30 35 40 40 45 50 55 57 60 65 80"
ARM = {
    "banjo.axis_distance": "110", "banjo.slots.0.start": "25", "banjo.slots.0.end": "95",
    "banjo.swing": "0 to 140", "banjo.driver_hub": "20", "banjo.stud_hub": "16",
    "banjo.screw_hub": "20", "banjo.largest_tip_diameter": "132",
}  # fmt: skip
OWN = "11 1/2 tpi\n19 tpi\n0.8 module\n1/4-20 UNC\n9 mm"
MOST_ACTIONS = 40
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    with served(tmp_path) as running:
        yield running


@pytest.fixture
def shop(server: Served, tmp_path: Path) -> Served:
    """A server with a lathe and some threads."""
    client = server.client()
    client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
    client.post("/edit", data={"sheet": "threads", "do": "add:pitches", "a:pitches": "M6\n11 tpi"})
    return server


class Keys:
    """Somebody who has no mouse. An action is a value typed, a choice made, a press; going from
    field to field is none."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.actions = 0

    def to(self, selector: str) -> None:
        """Go on by Tab until there."""
        for _ in range(150):
            if self.page.evaluate("s => document.activeElement.matches(s)", selector):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"no way to {selector} by keyboard")

    def write(self, ident: str, text: str) -> None:
        self.to(f'[id="{ident}"]')
        self.page.keyboard.insert_text(text)
        self.actions += 1

    def press(self, selector: str) -> None:
        self.to(selector)
        self.page.keyboard.press("Enter")
        self.actions += 1


class Finger(Keys):
    """Somebody with a phone: every tap on a button and every field filled is an action."""

    def write(self, ident: str, text: str) -> None:
        place = self.page.locator(f'[id="{ident}"]')
        place.tap()
        place.fill(text)
        self.actions += 1

    def press(self, selector: str) -> None:
        self.page.locator(selector).first.tap()
        self.actions += 1


def describe(hand: Keys) -> None:
    """A lathe with 13 gears and a measured arm, and 20 threads; ends at what to buy."""
    page = hand.page
    hand.press('button:text-is("Begin")' if isinstance(hand, Finger) else "main form button")
    page.wait_for_selector(".patterns")
    hand.press('[value="pattern:"]')
    page.wait_for_selector("#lathe-form")
    hand.write("leadscrew.pitch", "8 tpi")
    hand.write("gears.module", "1")
    hand.write("gears.owned", GEARS)
    hand.press("#arm > summary")
    for ident, text in ARM.items():
        hand.write(ident, text)
    hand.press('main a[href="/threads"]')
    page.wait_for_selector("#a-from")
    hand.write("a-from", "M3")
    hand.write("a-to", "M24")
    hand.press('[value="add:series"]')
    page.wait_for_selector(".want")
    hand.write("a-pitches", OWN)
    hand.press('[value="add:pitches"]')
    until(page, "document.querySelectorAll('.want').length === 6")
    hand.press('main a[href="/buy"]')


@pytest.mark.parametrize("how", [Keys, Finger])
def test_from_nothing_to_what_to_buy(
    enter: Any,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    record_property: Any,
    how: type[Keys],
) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    with served(None, solver=True) as server:
        page = enter(server, **(PHONE if how is Finger else {}))
        hand = how(page)
        describe(hand)
        page.wait_for_selector('#strip[data-state="done"]', state="attached", timeout=60_000)
        until(page, "document.body.dataset.whole === 'true'")
        assert re.search(r"^(Get|You need)", page.inner_text("body"), re.MULTILINE)
        wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        record_property("actions", hand.actions)
        print(f"{how.__name__}: {hand.actions} actions")
        folder = tmp_path / "workshop"
        lathe = load_lathe(folder / "lathe.toml")
        assert lathe.chest.size == 13
        assert lathe.banjo is not None
        assert len(load_wants(folder / "wants.toml", lathe)) >= 20
        assert hand.actions <= MOST_ACTIONS
        assert wide <= 0


def test_what_is_typed_is_drawn_at_once_and_kept_when_left(
    enter: Any, shop: Served, tmp_path: Path
) -> None:
    page = enter(shop, "/lathe")
    field = page.locator('[id="banjo.axis_distance"]')
    field.fill("96.5")
    page.wait_for_selector("#arm-drawing text:text('96.5 mm')")
    assert "96.5" not in (tmp_path / "lathe.toml").read_text(encoding="utf-8")
    lit = page.evaluate(
        "getComputedStyle(document.querySelector('.m-axis .dimension')).strokeWidth"
    )
    other = page.evaluate(
        "getComputedStyle(document.querySelector('.m-end .dimension')).strokeWidth"
    )
    assert lit != other
    field.press("Tab")
    until(page, "!document.querySelector('[value=undo]').disabled")
    until(page, "document.querySelector('[name=\"w:banjo.axis_distance\"]').value === '96.5'")
    assert load_lathe(tmp_path / "lathe.toml").banjo.axis_distance == 96.5  # type: ignore[union-attr]


def test_undo_to_the_beginning_by_keyboard(enter: Any, shop: Served, tmp_path: Path) -> None:
    before = (tmp_path / "lathe.toml").read_bytes()
    page = enter(shop, "/lathe")
    for ident, text in (
        ("gears.bore", "14"),
        ("leadscrew.pitch", "2 mm"),
        ("gears.module", "1.25"),
    ):
        page.locator(f'[id="{ident}"]').fill(text)
        page.locator(f'[id="{ident}"]').press("Enter")
        until(
            page,
            "([i, t]) => document.querySelector(`[name='w:${i}']`).value === t",
            arg=[ident, text],
        )
    for left in (("gears.module", "1.0"), ("leadscrew.pitch", "1.5 mm"), ("gears.bore", "12.0")):
        page.keyboard.press("Control+z")
        until(page, "([i, t]) => document.querySelector(`[id='${i}']`).value === t", arg=list(left))
    assert (tmp_path / "lathe.toml").read_bytes() == before


def test_a_fault_stands_at_its_field_with_its_cure_as_a_button(
    enter: Any, shop: Served, tmp_path: Path
) -> None:
    page = enter(shop, "/lathe")
    field = page.locator('[id="leadscrew.pitch"]')
    field.fill("8")
    field.press("Tab")
    fault = page.locator('.field:has([id="leadscrew.pitch"]) .fault')
    fault.wait_for()
    assert "unit" in fault.inner_text()
    assert field.get_attribute("aria-invalid") == "true"
    described = field.get_attribute("aria-describedby").split()
    assert all(page.locator(f'[id="{ident}"]').count() == 1 for ident in described)
    fault.locator('button:has-text("8 tpi")').click()
    fault.wait_for(state="detached")
    assert load_lathe(tmp_path / "lathe.toml").leadscrew.written == "8 tpi"


def test_two_tabs_show_each_others_edits_and_keep_what_is_being_typed(
    enter: Any, shop: Served
) -> None:
    one = enter(shop, "/lathe")
    other = enter(shop, "/lathe", tab_of=one)
    other.locator('[id="gears.bore"]').fill("11")  # typed, not left yet
    one.locator('[id="gears.face_width"]').fill("9")
    one.locator('[id="gears.face_width"]').press("Tab")
    until(other, "document.getElementById('gears.face_width').value === '9'")
    assert other.locator('[id="gears.bore"]').input_value() == "11"
    assert other.evaluate("document.activeElement.id") == "gears.bore"


def test_an_editors_change_is_shown(enter: Any, shop: Served, tmp_path: Path) -> None:
    page = enter(shop, "/lathe")
    path = tmp_path / "lathe.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("bore = 12.0", "bore = 16.5"), encoding="utf-8")
    until(page, "document.getElementById('gears.bore').value === '16.5'")


def test_what_was_typed_while_the_program_was_gone_is_kept_once_it_is_back(
    enter: Any, tmp_path: Path
) -> None:
    with served(tmp_path) as first:
        first.client().post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
        page = enter(first, "/lathe")
        port = first.keys.port
    page.locator('[id="gears.bore"]').fill("13")
    page.locator('[id="gears.bore"]').press("Tab")
    page.wait_for_selector("#unsaved")
    assert "bore = 12.0" in (tmp_path / "lathe.toml").read_text(encoding="utf-8")
    with served(tmp_path, port=port) as second:
        other = page.context.new_page()
        other.goto(second.keys.address)
        page.wait_for_selector("#unsaved", state="detached")
        assert "bore = 13" in (tmp_path / "lathe.toml").read_text(encoding="utf-8")
        enter.said.clear()  # the browser tells of the requests that were not answered


def test_closing_the_tab_loses_nothing_typed(enter: Any, shop: Served, tmp_path: Path) -> None:
    page = enter(shop, "/lathe")
    page.locator('[id="gears.bore"]').fill("15")
    page.goto("about:blank")
    page.wait_for_timeout(300)
    for _ in range(40):
        if "bore = 15" in (tmp_path / "lathe.toml").read_text(encoding="utf-8"):
            break
        page.wait_for_timeout(100)
    assert "bore = 15" in (tmp_path / "lathe.toml").read_text(encoding="utf-8")


def test_without_scripts_forms_work(enter: Any, shop: Served, tmp_path: Path) -> None:
    page = enter(shop, "/lathe", java_script_enabled=False)
    page.fill('[id="gears.bore"]', "17")
    send(page, 'text="Save all"')
    assert load_lathe(tmp_path / "lathe.toml").making.bore == 17
    page.goto(shop.base + "/threads")
    page.fill("#a-pitches", "M8")
    send(page, '[value="add:pitches"]')
    assert page.locator(".want").count() == 3
    send(page, '[value="undo"]')
    assert page.locator(".want").count() == 2


def send(page: Any, button: str) -> None:
    """Send a form, and wait for what comes back."""
    with page.expect_navigation():
        page.click(button)


def test_a_slow_machine_keeps_the_order_of_what_was_typed(
    enter: Any, shop: Served, tmp_path: Path
) -> None:
    page = enter(shop, "/lathe")
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
    for ident, text in (("gears.bore", "10"), ("gears.bore", "11"), ("gears.face_width", "7"),
                        ("gears.bore", "12.5")):  # fmt: skip
        page.locator(f'[id="{ident}"]').fill(text)
        page.locator(f'[id="{ident}"]').press("Tab")
    until(page, "document.querySelector(\"[name='w:gears.bore']\").value === '12.5'")
    found = load_lathe(tmp_path / "lathe.toml").making
    assert (found.bore, found.face_width) == (12.5, 7)


SHEETS = ("/lathe", "/threads?series=ba", "/gears", "/papers", "/files", "/setup")


@pytest.mark.parametrize("path", SHEETS)
def test_no_sheet_is_wider_than_its_window_and_axe_finds_nothing(
    enter: Any, shop: Served, path: str
) -> None:
    page = enter(shop, path)
    for details in page.locator("details").all():
        details.evaluate("each => { each.open = true }")
    for width in (320, 390, 768, 1440):
        page.set_viewport_size({"width": width, "height": 800})
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, f"{over} too wide at {width}"
    assert axe(page) == []
    page.emulate_media(color_scheme="dark")
    assert axe(page, {"runOnly": ["color-contrast"]}) == []
    page.emulate_media(forced_colors="active")
    assert axe(page, {"runOnly": ["color-contrast"]}) == []
