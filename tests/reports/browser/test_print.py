"""What comes out of the printer: as many sheets as expected, whole, black on white."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
from report_samples import few_wants, wants
from sights import CUT, Sight, look

pytestmark = pytest.mark.browser

PAPERS = ("A4", "Letter")
WANTS = [want.name for want in wants()]
FEW = [want.name for want in few_wants()]
COPIES = 8
LONG = [f"{want} no. {i}" for i in range(COPIES) for want in WANTS]
HEAD = "with 63, 70, 21"
"""Stands in the head of a plan's map."""


@dataclass
class Print:
    """A PDF and its text page by page, without white space: a PDF keeps places, not spaces."""

    pdf: pypdfium2.PdfDocument
    text: list[str]

    def pictures(self) -> Iterator[np.ndarray]:
        """Each page as pixels, about 0.7 mm each."""
        for sheet in self.pdf:
            yield sheet.render(scale=0.5).to_numpy()


def tight(text: str) -> str:
    return "".join(text.split())


def pdf_of(page: Any, mode: str = "", paper: str = "A4") -> pypdfium2.PdfDocument:
    if mode:
        page.evaluate(f"document.documentElement.dataset.print = '{mode}'")
    return pypdfium2.PdfDocument(page.pdf(format=paper, prefer_css_page_size=True))


@pytest.fixture(scope="module")
def printed(browser: Any, pages: dict[str, Path]) -> Iterator[Any]:
    """printed(name, mode, paper, scheme) -> Print; the mode is that of a button, or plain."""
    made: dict[tuple[str, ...], Print] = {}
    page = browser.new_page()

    def go(name: str, mode: str = "", paper: str = "A4", scheme: str = "light") -> Print:
        key = (name, mode, paper, scheme)
        if key not in made:
            page.emulate_media(color_scheme=scheme)
            page.goto("about:blank")
            page.goto(pages[name].as_uri())
            pdf = pdf_of(page, mode, paper)
            text = [tight(sheet.get_textpage().get_text_range()) for sheet in pdf]
            made[key] = Print(pdf, text)
        return made[key]

    yield go
    page.close()


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["plan", "plan-bare", "compare"])
def test_setup_sheets_are_one_to_a_page(printed: Any, name: str, paper: str) -> None:
    text = printed(name, "setups", paper).text
    threads = FEW if name == "plan-bare" else WANTS
    for want, sheet in zip(threads, text, strict=True):
        assert tight(want) in sheet
        assert sheet.count(tight("Allowed error")) == 1
        assert tight("Lost without it") not in sheet


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["plan", "plan-gears", "compare"])
def test_the_map_alone(printed: Any, name: str, paper: str) -> None:
    """Every thread, the head on every page of the map, and the legend beside it."""
    text = printed(name, "map", paper).text
    assert len(text) == 1
    assert all(tight(want) in text[0] for want in (FEW if name == "plan-gears" else WANTS))
    assert tight("exact a train without error") in text[0]
    assert tight("Half-nuts") not in text[0]
    assert tight("Lost without it") not in text[0]


@pytest.mark.parametrize("paper", PAPERS)
def test_a_long_map_repeats_its_head(printed: Any, long_map: Path, paper: str) -> None:
    text = printed("plan-long", "map", paper).text
    with_rows = [sheet for sheet in text if any(tight(name) in sheet for name in LONG)]
    assert len(with_rows) > 2
    assert all(tight(HEAD) in sheet and "Thread" in sheet for sheet in with_rows)
    assert all(any(tight(name) in sheet for sheet in text) for name in LONG)
    legend = [sheet for sheet in text if tight("exact a train without error") in sheet]
    assert len(legend) == 1
    assert legend[0] in with_rows


@pytest.fixture(scope="module")
def long_map(pages: dict[str, Path]) -> Path:
    """A plan whose map is longer than two pages: every thread several times."""
    from dataclasses import replace

    from report_samples import plan

    from gearchest.optimizer.plan.result import Plan
    from gearchest.reports.page.shell import Facts
    from gearchest.reports.plan.sheet import plan_sheet

    short = plan()
    more = [replace(want, name=name) for want, name in zip(short.wants * COPIES, LONG, strict=True)]
    long = Plan(short.lathe, tuple(more), short.steps, short.states * COPIES, advice=short.advice)
    path = pages["plan"].with_name("plan-long.html")
    path.write_text(plan_sheet(long, Facts(), charts=False), encoding="utf-8")
    pages["plan-long"] = path
    return path


@pytest.mark.parametrize("paper", PAPERS)
def test_gears_to_cut_take_two_pages_each(printed: Any, paper: str) -> None:
    """What the gear is and how it is cut and measured; then its loads and its dividing."""
    text = printed("plan-gears", "gears", paper).text
    assert len(text) == 2 * len(CUT)
    for teeth, first, second in zip(CUT, text[::2], text[1::2], strict=True):
        assert f"{teeth}teeth" in first
        assert "Measuring" in first
        assert tight("Without a head") in second


@pytest.mark.parametrize("paper", PAPERS)
def test_blanks_take_three_pages_each(printed: Any, paper: str) -> None:
    text = printed("blanks", "", paper).text
    assert len(text) == 3 * len(CUT)
    for teeth, sheet in zip(CUT, text[2::3], strict=True):
        assert tight(f"{teeth} teeth at true size") in sheet


@pytest.mark.parametrize("paper", PAPERS)
def test_a_setup_sheet_is_one_page(printed: Any, paper: str) -> None:
    assert len(printed("setup", "", paper).text) == 1


@pytest.mark.parametrize("paper", PAPERS)
def test_charts_print_by_themselves(printed: Any, paper: str) -> None:
    text = printed("plan", "charts", paper).text
    assert len(text) == 1
    assert all(tight(want) in text[0] for want in WANTS)
    for title in ("gears added", "price", "in allowances", "N on the most", "of the leadscrew for"):
        assert tight(title) in text[0], title
    assert tight("Half-nuts") not in text[0]


@pytest.mark.parametrize("paper", PAPERS)
def test_plain_printing_is_short_and_whole(printed: Any, paper: str) -> None:
    """The map, what to get, cautions; then each thread's setup once, several to a page; last
    the charts."""
    text = printed("plan", "", paper).text
    first = next(i for i, sheet in enumerate(text) if tight("Half-nuts") in sheet)
    charts = next(i for i, sheet in enumerate(text) if tight("Thread by thread") in sheet)
    whole = "".join(text[:charts])
    start = whole.index(tight("Half-nuts"))
    front, back = whole[:start], whole[len("".join(text[:first])) :]
    places = [front.index(tight(part)) for part in ("Get 63", "Gained", "Gears to add", "Cautions")]
    assert places == sorted(places)
    assert first <= 3
    assert charts - first <= -(-len(WANTS) // 6)
    assert charts == len(text) - 1
    assert all(tight(want) in back for want in WANTS)
    assert back.count(tight("Half-nuts")) == len(WANTS)
    assert "gearchest" in text[-1]
    assert tight("What if") not in front + back


@pytest.mark.parametrize("paper", PAPERS)
def test_no_page_before_the_setups_is_left_half_empty(
    browser: Any, long_map: Path, pages: dict[str, Path], paper: str
) -> None:
    """What comes before them ends where it ends, and they begin below it."""
    page = browser.new_page()
    for path in (pages["plan"], long_map):
        page.goto(path.as_uri())
        pdf = pdf_of(page, paper=paper)
        text = [tight(sheet.get_textpage().get_text_range()) for sheet in pdf]
        first = next(i for i, sheet in enumerate(text) if tight("Half-nuts") in sheet)
        for number in range(first):
            dark = pdf[number].render(scale=0.5).to_numpy()[:, :, :3].min(axis=2) < 160
            rows = np.flatnonzero(dark.any(axis=1))
            assert rows[-1] > 0.55 * len(dark), (path, number)
    page.close()


def test_plain_printing_without_scripts_is_as_whole(browser: Any, pages: dict[str, Path]) -> None:
    page = browser.new_page(java_script_enabled=False)
    page.goto(pages["plan"].as_uri())
    text = [tight(sheet.get_textpage().get_text_range()) for sheet in pdf_of(page)]
    assert "".join(text).count(tight("Half-nuts")) == len(WANTS)
    assert len(text) <= 4 + -(-len(WANTS) // 6)


def test_ticked_gears_print_as_a_column_and_no_further_sheets(
    browser: Any, pages: dict[str, Path]
) -> None:
    page = browser.new_page()
    page.goto(pages["plan"].as_uri())
    page.locator('[data-preset="1"]').click()
    page.wait_for_selector("#map td.what-if-column a:visible")
    page.locator("#map td.what-if-column a").nth(1).click()
    assert len(pdf_of(page, "setups")) == len(WANTS)
    (only,) = pdf_of(page, "map")
    assert tight("your ticks") in tight(only.get_textpage().get_text_range())


def test_plain_printing_of_a_comparison(printed: Any) -> None:
    text = printed("compare").text
    assert len(text) <= 3
    whole = "".join(text)
    assert tight("What both do") in whole
    assert tight("Half-nuts") not in whole


@pytest.mark.parametrize(
    ("name", "mode"),
    [("plan", ""), ("plan", "map"), ("plan", "setups"), ("plan-gears", "gears"),
     ("compare", ""), ("setup", ""), ("blanks", "")],
)  # fmt: skip
def test_print_is_black_on_white_whatever_the_screen(printed: Any, name: str, mode: str) -> None:
    dark = printed(name, mode, "A4", "dark")
    for sheet in dark.pictures():
        assert float((sheet.max(axis=2) - sheet.min(axis=2)).max()) < 12, "a colour"
        assert float((sheet > 250).all(axis=2).mean()) > 0.5, "white paper"
        assert float(sheet.min()) < 80, "black ink"
        margin = np.concatenate([sheet[:8], sheet[-8:]])
        assert int(margin.min()) > 250
    assert dark.text == printed(name, mode).text


SMALLEST = """
() => {
  const scale = ({ a, b }) => Math.hypot(a, b);
  const sizes = [...document.querySelectorAll("svg.train text")]
    .filter((text) => text.checkVisibility())
    .map((text) => parseFloat(getComputedStyle(text).fontSize) * scale(text.getScreenCTM()));
  return [sizes.length, Math.min(...sizes) * 0.75];
}
"""
"""How many labels of drawings there are, and the size of the smallest in points."""


@pytest.mark.parametrize("paper", PAPERS)
def test_a_thread_prints_from_its_panel_as_the_whole_setup_sheet(
    browser: Any, pages: dict[str, Path], paper: str
) -> None:
    """One page: the order in which the train goes on, infeed and steps with it, no label of its
    drawing below six points."""
    page = browser.new_page(viewport={"width": {"A4": 718, "Letter": 740}[paper], "height": 1000})
    page.goto(pages["plan"].as_uri() + "#w-m8")
    page.wait_for_selector(".setup.open .in-full figure svg", state="attached")
    (sheet,) = pdf_of(page, "thread", paper)
    text = tight(sheet.get_textpage().get_text_range())
    for part in (
        "M8",
        "In the order it goes on",
        "Infeed",
        "At the lathe",
        "Half-nuts",
        "Cautions",
    ):
        assert tight(part) in text
    assert tight("What the lathe can cut") not in text
    page.emulate_media(media="print")
    page.evaluate("document.documentElement.dataset.print = 'thread'")
    labels, points = page.evaluate(SMALLEST)
    assert labels > 8
    assert points >= 6
    page.close()


@pytest.mark.parametrize("paper", PAPERS)
def test_another_train_prints_with_the_infeed_of_its_thread(
    browser: Any, pages: dict[str, Path], paper: str
) -> None:
    """On one page, with its own drawing and figures; the order and the steps of the train it
    takes the place of are not told."""
    page = browser.new_page(viewport={"width": {"A4": 718, "Letter": 740}[paper], "height": 1000})
    page.goto(pages["plan"].as_uri() + "#w-m8")
    infeed = page.locator(".in-full #whole-infeed .passes")
    infeed.wait_for(state="attached")
    passes = infeed.text_content()
    row = page.locator(".setup.open .trains tr[data-steps='4']")
    train = row.locator("button").inner_text()
    row.locator("button").click()
    page.wait_for_selector(".setup.open .in-full.other", state="attached")
    assert infeed.text_content() == passes
    line = page.locator(".setup.open .own-sheet code").inner_text()
    assert line.endswith(f'--train "{train.replace("×", "x")}"')
    assert line.startswith('gearchest setup lathe.toml "M8"')
    (sheet,) = pdf_of(page, "thread", paper)
    text = tight(sheet.get_textpage().get_text_range())
    for part in ("M8", train, "Infeed", "Passes", "Tooth load", "Mount"):
        assert tight(part) in text
    for part in ("In the order it goes on", "At the lathe", "gearchest setup"):
        assert tight(part) not in text
    page.close()


@pytest.mark.parametrize(("name", "mode"), [("setup", ""), ("plan", "setups"), ("plan", "")])
def test_no_label_of_a_drawing_is_below_six_points(kept: Any, name: str, mode: str) -> None:
    width = 718 if name == "setup" else 703
    page = look(kept(name), Sight(width=width, media="print", mode=mode))
    labels, points = page.evaluate(SMALLEST)
    assert points >= 6 or labels == 0
    assert labels or not mode


@pytest.mark.parametrize("media", ["screen", "print"])
def test_what_joins_the_shafts_strikes_out_no_number(visit: Any, media: str) -> None:
    page, _ = visit("plan", "#w-m6")
    page.emulate_media(media=media)
    join, gap = page.evaluate(
        """() => {
          const way = document.querySelector(".setup.open .way");
          const join = getComputedStyle(way.querySelector("span + span"), "::before").width;
          return [join, getComputedStyle(way).columnGap].map(parseFloat);
        }"""
    )
    page.emulate_media(media="null")  # the page is another test's next
    assert 0 < join <= gap + 0.01
