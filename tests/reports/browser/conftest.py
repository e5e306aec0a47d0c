"""Every kind of page the program writes, as files, and a browser that looks at them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import pytest
from sights import CUT

MARKUP = "</script><b>x"


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The sample pages as files, by name: every kind of page the program writes."""
    import report_samples

    folder = tmp_path_factory.mktemp("pages")
    report_samples.main(str(folder))
    made = {"setup": _setup_sheet(), "blanks": _blank_sheet(), "plan-gears": _plan_with_cuts()}
    made["chart"] = _chart_sheet()
    for name, text in made.items():
        (folder / f"{name}.html").write_text(text, encoding="utf-8")
    return {path.stem: path for path in folder.glob("*.html")}


def _setup_sheet() -> str:
    """A full one: two starts, three stages, driven from the screw's end, a name of markup."""
    from gearchest.catalogs.materials import screw_materials
    from gearchest.cli.files.lathe import load_lathe
    from gearchest.cli.files.wants import want_from
    from gearchest.optimizer.search.reach import reach
    from gearchest.optimizer.turning.pressing import Hand, Load
    from gearchest.optimizer.turning.setup import Wishes, setup
    from gearchest.reports.page.shell import Facts
    from gearchest.reports.setup.sheet import setup_sheet

    lathe = replace(load_lathe(Path("american-12")), name=MARKUP)
    want = want_from("Tr40x14 P7", lathe=lathe, use=None, diameter=None, left=False)
    wishes = Wishes(
        length=800.0, load=Load(Hand(200, 250)), material=screw_materials()["mild steel"]
    )
    made = setup(lathe, want, reach(lathe, want), wishes)
    return setup_sheet(made, Facts("0.1.0"))


def _blank_sheet() -> str:
    """An easy gear and one that no plain indexing divides."""
    from gearchest.reports.blanks.sheet import blanks_sheet
    from gearchest.reports.page.shell import Facts

    return blanks_sheet(_cuts(), Facts("0.1.0"), ())


def _chart_sheet() -> str:
    """The bundled example's own, with two gears to come."""
    from gearchest.catalogs.lathes import example
    from gearchest.cli.files.lathe import load_lathe
    from gearchest.cli.files.wants import load_wants
    from gearchest.optimizer.chart.build import make_chart
    from gearchest.reports.chart.document import chart_document
    from gearchest.reports.chart.sheet import chart_sheet
    from gearchest.reports.page.shell import Facts

    lathe = replace(load_lathe(example().lathe), name=MARKUP)
    added = [lathe.making.gear(teeth) for teeth in (63, 100)]
    found = make_chart(lathe, load_wants(example().wants, lathe), added)
    return chart_sheet(found, Facts("0.1.0"), document=chart_document(found))


def _plan_with_cuts() -> str:
    """A plan that says how to make two of its gears, and has a chart for the wall."""
    import report_samples

    from gearchest.optimizer.chart.of_plan import plan_charts
    from gearchest.optimizer.plan.watch import Watch
    from gearchest.reports.page.shell import Facts
    from gearchest.reports.plan.sheet import plan_sheet

    plan = report_samples.plan(few=True)
    walls = plan_charts(plan, Watch())
    return plan_sheet(plan, Facts("0.1.0"), charts=False, cuts=_cuts(), walls=walls)


def _cuts() -> list[Any]:
    import report_samples

    from gearchest.catalogs.making import making_tables
    from gearchest.optimizer.making.job import Wish
    from gearchest.optimizer.making.sheet import blank_sheet

    lathe = replace(report_samples.mini_lathe(), name=MARKUP)
    return [blank_sheet(lathe, teeth, making_tables(), Wish()) for teeth in CUT]


@dataclass
class Heard:
    """What a page asked for and said."""

    requests: list[str] = field(default_factory=list)
    messages: list[str] = field(default_factory=list)


@pytest.fixture(scope="session")
def idle(browser: Any) -> Iterator[dict[str, list[Any]]]:
    """Pages for the next test, by the options of their context: opening one costs three times
    what loading a sample does."""
    pool: dict[str, list[Any]] = {}
    yield pool
    for pages in pool.values():
        for page in pages:
            page.context.close()


@pytest.fixture
def visit(browser: Any, pages: dict[str, Path], idle: dict[str, list[Any]]) -> Iterator[Any]:
    """Open a sample page: visit(name, hash="", **context options) -> (page, heard)."""
    opened = []

    def go(name: str, place: str = "", **options: Any) -> tuple[Any, Heard]:
        options.setdefault("viewport", {"width": 1366, "height": 768})
        pool = idle.setdefault(repr(sorted(options.items())), [])
        page = pool.pop() if pool else browser.new_context(**options).new_page()
        heard = Heard()
        listeners = {
            "request": lambda request: heard.requests.append(request.url),
            "console": lambda message: heard.messages.append(message.text),
            "pageerror": lambda error: heard.messages.append(str(error)),
        }
        for event, listener in listeners.items():
            page.on(event, listener)
        opened.append((page, pool, listeners))
        page.goto(pages[name].as_uri() + place)
        return page, heard

    yield go
    for page, pool, listeners in opened:
        for event, listener in listeners.items():
            page.remove_listener(event, listener)
        page.evaluate("localStorage.clear()")
        page.goto("about:blank")
        pool.append(page)


@pytest.fixture(scope="module")
def kept(browser: Any, pages: dict[str, Path]) -> Iterator[Any]:
    """Sample pages that stay open for many looks: kept(name) -> page."""
    context = browser.new_context()
    opened: dict[str, Any] = {}

    def get(name: str) -> Any:
        if name not in opened:
            page = opened[name] = context.new_page()
            page.goto(pages[name].as_uri())
        return opened[name]

    yield get
    context.close()
