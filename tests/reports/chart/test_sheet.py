"""The chart for the wall: what each row says, how rows are set, and how it comes out on paper."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.chart.build import make_chart
from gearchest.optimizer.chart.result import GearChart
from gearchest.optimizer.domain.want import Want
from gearchest.reports.chart import view
from gearchest.reports.chart.sheet import chart_sheet
from gearchest.reports.chart.wall import HEADING, LEAST_ROW, ROOM, wall
from gearchest.reports.page.shell import Facts
from gearchest.reports.words import wording

BENCH = Path(__file__).parents[2] / "bench" / "quick-change"
FACTS = Facts("0.1.0", (("lathe.toml", "0123456789abcdef"),))


def of(lathe_name: str | Path, count: int | None = None, added: tuple[int, ...] = ()) -> GearChart:
    """A chart of the benchmark's threads, so many of them, some told several times."""
    lathe = load_lathe(Path(lathe_name))
    wants = load_wants(BENCH / "wants.toml", lathe)
    several = [renamed(want, k) for k in range(3) for want in wants][:count]
    return make_chart(lathe, several, [lathe.making.gear(teeth) for teeth in added])


def renamed(want: Want, copy: int) -> Want:
    return want if not copy else replace(want, name=f"{want.name} ({copy})")


@pytest.fixture(scope="module")
def sixty() -> GearChart:
    """Sixty threads behind a gearbox."""
    return of(BENCH / "lathe.toml", 60)


@pytest.fixture(scope="module")
def two_studs() -> GearChart:
    """A plain lathe of two studs, and a gear to come."""
    return of("american-12", 39, (127,))


def gears(line: view.ChartLine) -> list[int]:
    return [int(cell.teeth) for cell in line.gears if cell.teeth]


@pytest.mark.parametrize("name", ["sixty", "two_studs"])
@pytest.mark.parametrize("free", [False, True])
def test_every_row_says_what_its_own_train_is(
    name: str, free: bool, request: pytest.FixtureRequest
) -> None:
    chart: GearChart = request.getfixturevalue(name)
    rows = {row.want.name: row for row in chart.rows}
    lines = [line for part in view.parts(chart, free=free) for line in part.lines]
    assert {line.name for line in lines} == {row.want.name for row in chart.covered}
    for line in lines:
        row = rows[line.name]
        assert row.answer is not None
        train = row.answer.train
        # From the first driver's shaft to the screw's, each shaft's gears plane by plane.
        by_shaft = sorted((seat.shaft, seat.plane, gear.teeth) for seat, gear in train.seated)
        assert gears(line) == [teeth for *_, teeth in by_shaft]
        assert line.lever == (train.setting.gearbox or "")
        assert bool(line.error) == bool(row.answer.error)
        told = [cell.plane for cell in line.gears if cell.teeth]
        if told[0]:
            assert told == [str(plane + 1) for _, plane, _ in by_shaft]
        lacking = [cell.teeth for cell in line.gears if cell.to_get]
        assert sorted(lacking) == sorted(map(str, chart.setups[row.setup or 0].missing))


def test_rows_stand_by_series_and_pitch_or_as_setups_follow(sixty: GearChart) -> None:
    parts = view.parts(sixty)
    assert parts[0].title == "ISO metric, coarse"
    for part in parts:
        leads = [line.lead for line in part.lines]
        assert leads == sorted(leads)
    (part,) = view.parts(sixty, free=True)
    numbers = [int(line.setup) for line in part.lines]
    assert numbers == sorted(numbers)
    again = [line.again for line in part.lines]
    assert again == [a == b for a, b in zip(numbers, [0, *numbers[:-1]], strict=True)]


def test_sixty_rows_have_room_on_one_page(sixty: GearChart) -> None:
    """Every row once, a heading above each series and never at the foot of a column."""
    found = wall(sixty)
    assert len(found.pages) == 1
    assert found.row >= LEAST_ROW
    columns = found.pages[0]
    assert len(columns) == 2
    for column in columns:
        assert column[-1].line is not None
        height = sum(1 if row.line else HEADING for row in column)
        assert height * found.row <= ROOM + 1e-9
        assert sum(row.ruled for row in column) >= 4
    names = [row.line.name for column in columns for row in column if row.line]
    assert len(names) == len(set(names)) == 60


def test_more_than_a_page_holds_is_set_on_several() -> None:
    found = wall(of(BENCH / "lathe.toml"))
    assert len(found.pages) == 2
    assert found.row >= LEAST_ROW
    assert sum(bool(row.line) for page in found.pages for column in page for row in column) == 117


def test_the_sheet_is_whole_and_the_same_every_time(two_studs: GearChart) -> None:
    page = chart_sheet(two_studs, FACTS)
    assert page == chart_sheet(two_studs, FACTS)
    for caution in wording.CAUTIONS:
        assert page.count(caution.replace("'", "&#39;")) == 1
    assert f"{datetime.date.today():%Y-}" not in page  # the day it is opened on is no part of it
    assert "lathe.toml (01234567)" in page
    discs = re.findall(r'<span class="disc">(\d+)</span>', page)
    assert sorted(map(int, discs)) == [
        gear.teeth for gear, count in two_studs.lathe.chest.loose for _ in range(count)
    ]
    assert re.findall(r'<span class="disc to-get">(\d+)<i>', page) == ["127"]


PT = 96 / 72
LEAST_LABEL = 6.0


@pytest.fixture(scope="module")
def written(
    sixty: GearChart, two_studs: GearChart, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("charts")
    found = {}
    for name, chart in (("sixty", sixty), ("two_studs", two_studs)):
        found[name] = folder / f"{name}.html"
        found[name].write_text(chart_sheet(chart, FACTS), encoding="utf-8")
    return found


@pytest.fixture(scope="module")
def page(browser: Any) -> Iterator[Any]:
    opened = browser.new_page()
    yield opened
    opened.close()


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["sixty", "two_studs"])
def test_on_paper_one_landscape_page(
    page: Any, written: dict[str, Path], name: str, paper: str
) -> None:
    """Whole, with nothing of the screen about it: no page of provenance alone."""
    page.goto(written[name].as_uri())
    pdf = pypdfium2.PdfDocument(page.pdf(format=paper, prefer_css_page_size=True))
    assert len(pdf) == 1
    width, height = pdf[0].get_size()
    assert width > height
    text = pdf[0].get_textpage().get_text_range()
    assert "How this sheet was made" not in text
    assert "Covers closed while anything turns." in text
    assert "Gear chart" in text


@pytest.mark.browser
@pytest.mark.parametrize(("paper", "width", "height"), [("A4", 1062, 733), ("Letter", 995, 755)])
@pytest.mark.parametrize("name", ["sixty", "two_studs"])
def test_gears_are_eleven_points_bold_and_all_stands_on_the_page(
    page: Any, written: dict[str, Path], name: str, paper: str, width: int, height: int
) -> None:
    """The print laid out at the size of the paper less its margins."""
    page.set_viewport_size({"width": width, "height": height})
    page.goto(written[name].as_uri())
    page.emulate_media(media="print")
    style = page.evaluate(
        """() => { const s = getComputedStyle(document.querySelector("td.gear"));
        return [parseFloat(s.fontSize), s.fontWeight]; }"""
    )
    assert style[0] >= 11 * PT - 0.01
    assert int(style[1]) >= 700
    bounds = page.evaluate(
        """() => { const out = []; for (const e of document.querySelectorAll(".wall *")) {
          const b = e.getBoundingClientRect(); if (b.width) out.push([b.left, b.right, b.bottom]); }
        return out; }"""
    )
    assert max(right for _, right, _ in bounds) <= width + 1
    assert max(bottom for *_, bottom in bounds) <= height + 1
    rest = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll(".wall :is(td, th, p, li, figcaption)")]
        .filter((e) => e.getBoundingClientRect().width && e.textContent.trim())
        .map((e) => parseFloat(getComputedStyle(e).fontSize)))"""
    )
    assert rest >= LEAST_LABEL * PT - 0.01
    overlapping = page.evaluate(
        """() => [...document.querySelectorAll(".wall-rows :is(td, th)")].filter(
          (e) => e.scrollWidth > e.clientWidth + 1 && e.clientWidth && !e.querySelector(".unseen"))
          .map((e) => e.textContent)"""
    )
    assert overlapping == []
    least = page.evaluate(
        """() => { const s = document.querySelector(".wall svg.key"), v = s.viewBox.baseVal;
        const b = s.getBoundingClientRect();
        const letters = [...document.querySelectorAll(".wall svg.key text")].map(
          (t) => parseFloat(getComputedStyle(t).fontSize));
        return Math.min(...letters) * Math.min(b.width / v.width, b.height / v.height); }"""
    )
    assert least >= LEAST_LABEL * PT
    page.emulate_media(media="screen")
