"""How heavy the plan's page is, and that nothing in it is drawn twice."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

import pytest
import report_samples as samples

from gearchest.catalogs.lathes import example
from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.cli.thread_setups import thread_setups
from gearchest.optimizer.chart.of_plan import StepChart, plan_charts
from gearchest.optimizer.plan.cut_gears import cut_sheets
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.whatif import extra_gears, named_sets, what_if
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan.document import plan_document
from gearchest.reports.plan.sheet import plan_sheet

MOST = 900_000
"""Bytes of a page for a hundred wants and six steps, all of it."""

MORE_WANTS = {
    "iso-metric-coarse": ("M12", "M33"),
    "iso-trapezoidal": ("Tr8x1.5", "Tr14x3"),
    "whitworth-coarse": ("1/8", "1/2"),
    "worm-module": ("0.3 module", "1.25 module"),
    "worm-dp": ("48 dp", "12 dp"),
}
"""Series and their ends that join the example's own wants: 63 pitches in all."""


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """A hundred threads on the bundled example's lathe, worked out as the command does."""
    found = example()
    wants = found.wants.read_text(encoding="utf-8")
    for series, (first, last) in MORE_WANTS.items():
        wants += f'\n[[want]]\nseries = "{series}"\nfrom = "{first}"\nto = "{last}"\n'
    path = tmp_path_factory.mktemp("wants") / "wants.toml"
    path.write_text(wants, encoding="utf-8")
    lathe = load_lathe(found.lathe)
    offers = load_offers(found.offers, lathe)
    wants = load_wants(path, lathe)[:100]
    return make_plan([lathe], wants, offers, Question(most=5), Watch(), making_tables())


def rendered(plan: Plan, *, charts: bool, walls: Sequence[StepChart] = ()) -> str:
    """The page with everything a command can put into it, charts for the wall where given."""
    return plan_sheet(
        plan,
        Facts(),
        charts=charts,
        document=plan_document(plan, walls),
        walls=walls,
        what_if=what_if(plan.lathe, plan.wants, extra_gears(plan), named_sets(plan)),
        cuts=cut_sheets(plan, making_tables()),
        worked_out=thread_setups(plan),
    )


@pytest.fixture(scope="module")
def heavy(large: Plan) -> str:
    return rendered(large, charts=True)


def test_a_hundred_wants_and_six_steps_weigh_less_than_nine_tenths_of_a_megabyte(
    large: Plan, heavy: str
) -> None:
    assert (len(large.wants), len(large.steps)) == (100, 6)
    assert sum(len({step.answer for step in steps}) for steps in large.states) > 250
    assert len(heavy.encode()) < MOST


def test_charts_for_the_wall_add_little(large: Plan, heavy: str) -> None:
    walls = plan_charts(large, Watch())
    assert len(walls) == 2
    whole = len(rendered(large, charts=True, walls=walls).encode())
    assert 20_000 < whole - len(heavy.encode()) < 80_000
    assert whole < MOST


@pytest.fixture(scope="module")
def page() -> str:
    return samples.quoted(rendered(samples.twice(samples.plan()), charts=False))


def test_every_picture_stands_once(page: str) -> None:
    """Equal drawings are pointed at, and every pointer leads somewhere."""
    idents = re.findall(r'\bid="([^"]+)"', page)
    assert max(Counter(idents).values()) == 1
    assert set(re.findall(r'href="#([^"]+)"', page)) <= set(idents)
    drawn = re.findall(r'<g id="d\d+">(.*?)</g></svg>', page, re.DOTALL)
    assert len(drawn) > 10
    assert max(Counter(drawn).values()) == 1
    outlines = re.findall(r'<symbol id="([^"]+)"', page)
    assert outlines
    assert len(outlines) == len(set(outlines))
