"""How heavy the plan's page is, and that nothing in it is drawn twice."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest
import report_samples as samples

from gearchest.optimizer.result import Plan
from gearchest.reports import plan_page
from gearchest.reports.documents import plan_document

SHEET = 2_800
"""Bytes that one train of one want may take: its drawing, its section, its facts, its verdict."""

SHELL = 200_000
"""Bytes of style, scripts, cautions, the what-if table and whatever else comes once."""


@pytest.fixture(scope="module")
def page() -> str:
    plan = twice(samples.plan())
    return plan_page.render(
        plan,
        charts=False,
        document=plan_document(plan),
        what_if=samples.ticked_table(plan),
    )


def twice(plan: Plan) -> Plan:
    """The plan with every want a second time under another name: threads of one pitch."""
    again = tuple(replace(want, name=f"{want.name} again") for want in plan.wants)
    return replace(plan, wants=plan.wants + again, states=plan.states * 2)


def test_a_train_costs_little(page: str) -> None:
    sheets = page.count('<div class="train-sheet')
    assert sheets
    assert len(page.encode()) < SHELL + SHEET * sheets


def test_charts_add_less_than_the_plotting_script_and_a_half_megabyte() -> None:
    """6.5 MB with charts leaves 5.5 MB for them beside the page without."""
    plan = samples.plan()
    bare = plan_page.render(plan, charts=False)
    assert len(plan_page.render(plan).encode()) - len(bare.encode()) < 5_500_000


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
