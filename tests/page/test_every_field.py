"""Every field of the forms typed into in a real browser, the file looked at, all of it undone."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from page_server import Served, served
from waiting import until

pytestmark = pytest.mark.browser

LATHE: dict[str, tuple[str, Any]] = {
    "name": ("Other", "Other"),
    "units": ("cm", "cm"),
    "leadscrew.pitch": ("2 mm", "2 mm"),
    "leadscrew.lead_error": ("0.03 mm/300 mm", "0.03 mm/300 mm"),
    "leadscrew.half_nuts": ("false", False),
    "leadscrew.thread_dials.0.teeth": ("16", 16),
    "leadscrew.thread_dials.0.lines": ("8", 8),
    "headstock.first_driver_turns": ("1, 1/2", ["1", "1/2"]),
    "headstock.reversing": ("false", False),
    "headstock.right_hand_meshes": ("odd", "odd"),
    "headstock.fixed_first_driver": ("40", 40),
    "headstock.spindle_nose": ("screwed", "screwed"),
    "headstock.lowest_rpm": ("75.5", 75.5),
    "headstock.run_down": ("2", 2),
    "gears.module": ("1.25", 1.25),
    "gears.dp": ("20", 20),
    "gears.owned": ("20 30 40", [20, 30, 40]),
    "gears.pressure_angle": ("14.5", 14.5),
    "gears.face_width": ("9", 9),
    "gears.bore": ("14", 14),
    "gears.keyway": ("4x1.8", "4x1.8"),
    "gears.material": ("brass", "brass"),
    "gears.usual_train": ("40/(45)/80", "40/(45)/80"),
    "gears.special.0.teeth": ("127", [127]),
    "gears.special.0.count": ("2", 2),
    "gears.special.0.module": ("0.8", 0.8),
    "gears.special.0.dp": ("24", 24),
    "gears.special.0.only_on": ("idler, screw", ["idler", "screw"]),
    "gears.special.0.pinned_to": ("120", 120),
    "gearbox.unit": ("tpi", "tpi"),
    "gearbox.ratios": ("A 1, B 1/2", {"A": "1", "B": "1/2"}),
    "plate.0.0": ("4 tpi", None),
    "banjo.axis_distance": ("96.5", 96.5),
    "banjo.slots.0.start": ("21", 21),
    "banjo.slots.0.end": ("71", 71),
    "banjo.slots.0.offset": ("3", 3),
    "banjo.slots.0.angle": ("5", 5),
    "banjo.swing": ("-60 to 60", [-60, 60]),
    "banjo.driver_hub": ("16", 16),
    "banjo.stud_hub": ("17", 17),
    "banjo.screw_hub": ("18", 18),
    "banjo.largest_tip_diameter": ("3 1/2 in", "3 1/2 in"),
    "banjo.studs": ("2", 2),
    "banjo.gap": ("1", 1),
    "banjo.axis_angle": ("80", 80),
    "bed.carriage_travel": ("240", 240),
    "bed.between_centres": ("340", 340),
    "bed.top_slide_travel": ("60", 60),
    "dividing.0.name": ("head", "head"),
    "dividing.0.ratio": ("60", 60),
    "dividing.0.circles": ("15 16 17", [15, 16, 17]),
    "dividing.0.plates": ("15 16; 17", [[15, 16], [17]]),
    "dividing.0.bore": ("12", 12),
    "dividing.0.keyway": ("3x1.4", "3x1.4"),
    "policy.screw_torque": ("1.2", 1.2),
    "policy.cutting_torque": ("2.2", 2.2),
    "policy.hand_crank_above": ("4", 4),
    "policy.drive": ("screw", "screw"),
    "policy.reaction_time": ("0.4", 0.4),
    "policy.cutting_speed": ("12 m/min", "12 m/min"),
    "policy.lead_error_share": ("0.4", 0.4),
    "policy.plain_pitch_tolerance": ("0.2 %", "0.2 %"),
}
GEARS: dict[str, tuple[str, Any]] = {
    "workshop.hourly_rate": ("25", 25),
    "workshop.setup_hours": ("0.5", 0.5),
    "workshop.minutes_per_tooth": ("2", 2),
    "workshop.material_price": ("8", 8),
    "workshop.cutter_price": ("35", 35),
    "workshop.cutters": ("26, 35", [26, 35]),
    "workshop.backlash": ("0.05", 0.05),
    "workshop.dial_division": ("0.01", 0.01),
    "workshop.outline_offset": ("-0.1", -0.1),
    "workshop.ways": ("mill, print", ["mill", "print"]),
}
THREADS: dict[str, tuple[str, Any]] = {
    "want.0.pitch": ("9 mm", "9 mm"),
    "want.0.weight": ("10", 10),
    "want.0.name": ("clamp", "clamp"),
    "want.0.diameter": ("40 mm", "40 mm"),
    "want.0.inside": ("true", True),
    "want.0.left": ("true", True),
    "want.0.tolerance": ("0.3 %", "0.3 %"),
    "want.0.use": ("wood", "wood"),
    "want.0.engaged": ("30", "30"),
    "want.0.mating": ("true", True),
    "want.0.grade": ("T7", "T7"),
    "want.1.series": ("ba", "ba"),
    "want.1.from": ("M4", "M4"),
    "want.1.to": ("M8", "M8"),
    "want.1.weight": ("3", 3),
    "want.1.inside": ("true", True),
    "want.1.left": ("true", True),
    "want.1.tolerance": ("500 ppm", "500 ppm"),
    "want.1.use": ("fastener", "fastener"),
    "want.1.engaged": ("20 mm", "20 mm"),
    "want.1.mating": ("true", True),
    "want.1.grade": ("T5", "T5"),
}
SHEETS = {"lathe": LATHE, "gears": GEARS, "threads": THREADS}
FIELDS = [(sheet, ident) for sheet, every in SHEETS.items() for ident in every]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, Path]]:
    folder = tmp_path_factory.mktemp("shop")
    with served(folder) as running:
        client = running.client()
        client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
        client.post("/edit", data={"sheet": "threads", "do": "add:pitches", "a:pitches": "11 tpi"})
        series = {"a:series": "iso-metric-coarse", "a:from": "M3", "a:to": "M10"}
        client.post("/edit", data={"sheet": "threads", "do": "add:series", **series})
        yield running, folder


@pytest.fixture(scope="module")
def tab(browser: Any, shop: tuple[Served, Path]) -> Iterator[Any]:
    """One page for all fields of all sheets."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(shop[0].keys.address)
    yield page
    context.close()


def opened(tab: Any, shop: tuple[Served, Path], sheet: str) -> Any:
    """The sheet, gone to where another one shows."""
    if tab.evaluate("document.body.dataset.sheet") != sheet:
        tab.goto(f"{shop[0].base}/{sheet}")
    tab.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
    return tab


@pytest.mark.parametrize("sheet", SHEETS)
def test_these_are_all_fields(tab: Any, shop: tuple[Served, Path], sheet: str) -> None:
    """A grid's cells are alike: one of them is typed into."""
    found = opened(tab, shop, sheet).eval_on_selector_all(
        'form [name^="v:"]', "all => all.map(one => one.name.slice(2))"
    )
    rest = {name for name in found if not name.startswith("plate.")}
    assert rest == {name for name in SHEETS[sheet] if not name.startswith("plate.")}


@pytest.mark.parametrize(("sheet", "ident"), FIELDS)
def test_what_is_typed_stands_in_the_file_and_undo_takes_it_back(
    tab: Any, shop: tuple[Served, Path], sheet: str, ident: str
) -> None:
    typed, value = SHEETS[sheet][ident]
    path = shop[1] / ("wants.toml" if sheet == "threads" else "lathe.toml")
    before = path.read_bytes()
    page = opened(tab, shop, sheet)
    field = page.locator(f'[id="{ident}"]')
    was = field.input_value()
    if field.evaluate("one => one.matches('select')"):
        field.select_option(typed)
    else:
        field.fill(typed)
        field.press("Tab")
    until(page, "i => document.querySelector(`[name='w:${i}']`)?.value !== ''", ident)
    until(page, "([i, v]) => document.querySelector(`[name='w:${i}']`)?.value !== v", [ident, was])
    held = tomllib.loads(path.read_text(encoding="utf-8"))
    if value is not None:
        assert at(held, ident) == value
    else:
        assert typed in str(held["gearbox"]["plate"])
    page.keyboard.press("Control+z")
    until(page, "([i, v]) => document.querySelector(`[name='w:${i}']`)?.value === v", [ident, was])
    assert path.read_bytes() == before


def at(held: Any, ident: str) -> Any:
    """A value by its path."""
    for key in ident.split("."):
        held = held[int(key)] if isinstance(held, list) else held[key]
    return held


def test_undo_goes_back_to_the_beginning(tab: Any, shop: tuple[Served, Path]) -> None:
    """A few fields of each sheet one after the other, then all taken back."""
    folder = shop[1]
    page = opened(tab, shop, "lathe")
    some = (
        "gears.bore",
        "leadscrew.pitch",
        "banjo.gap",
        "policy.screw_torque",
        "bed.between_centres",
    )
    for ident in some:
        page.locator(f'[id="{ident}"]').fill(LATHE[ident][0])
        page.locator(f'[id="{ident}"]').press("Tab")
        until(page, "([i, t]) => document.querySelector(`[name='w:${i}']`).value === t",
              [ident, LATHE[ident][0]])  # fmt: skip
    while not page.locator(".taking-back [value=undo]").is_disabled():
        left = page.get_attribute("body", "data-version")
        page.click(".taking-back [value=undo]")
        until(page, "was => document.body.dataset.version !== was", left)
    assert not list(folder.iterdir())  # the page began with an empty folder
    assert page.locator(".patterns").count() == 1
