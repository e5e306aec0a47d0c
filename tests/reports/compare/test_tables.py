"""Two lathes side by side as tables to save."""

from __future__ import annotations

import re

import report_samples as samples
from table_frames import framed

from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.search.compare import compare
from gearchest.reports.compare import tables
from gearchest.reports.compare.sheet import compare_sheet
from gearchest.reports.page.shell import Facts
from gearchest.reports.page.tables import csv

MINI = samples.mini_lathe()
METRIC = samples.mini_lathe(name="The same on a 1.5 mm screw", leadscrew=mm("1.5"))
OFFERS = [(MINI.making.gear(teeth), None) for teeth in (63, 127)]
FOUND = compare((MINI, METRIC), samples.wants()[:6], (OFFERS, OFFERS))


def test_each_lathe_has_columns_of_its_own() -> None:
    frame = framed(tables.map_table(FOUND))
    assert frame["name"].tolist() == [want.name for want in FOUND.wants]
    for side, name in enumerate(FOUND.names):
        told = zip(frame[f"{name}: verdict"], frame[f"{name}: error"].isna(), strict=True)
        steps = [pair[side] for pair in FOUND.states]
        assert list(told) == [(step.verdict.value, step.answer is None) for step in steps]


def test_gears_to_add_are_those_of_the_comparison() -> None:
    frame = framed(tables.additions_table(FOUND))
    wanted = [
        (name, up.want, ", ".join(str(gear) for gear in up.gears))
        for name, side in zip(FOUND.names, FOUND.upgrades, strict=True)
        for up in side
    ]
    assert wanted
    assert list(frame.itertuples(index=False, name=None)) == wanted


def test_every_button_finds_its_table() -> None:
    page = compare_sheet(FOUND, Facts())
    held = samples.filled(page, "tables")
    assert held == {name: [csv(table)] for name, table in tables.compare_tables(FOUND).items()}
    assert {*re.findall(r'data-csv="?([\w-]+)', page)} == {*held}
