"""Cells that a spreadsheet would take for formulas. What begins one: OWASP, "CSV injection"."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gearchest.cli.files.grid import text_grid
from gearchest.reports import page
from gearchest.reports.page.tables import COUNT, FLAG, NUMBER, TEXT, table
from gearchest.reports.page.tables import csv as as_csv
from gearchest.reports.words.cells import as_meant, harmless

DANGEROUS = '=HYPERLINK("https://example.org","M6")', "@SUM(1+1)", "+1+1", "-2+3", "＝1+1", "\t=1"
PLAIN = "M6", "40/(45)/20", "", "-0.97", "+0.54", "1/4-20", "'tis", "6 - 8"

cells = st.text(st.sampled_from("=+-@\t'1a. ＝"), max_size=6) | st.text(max_size=8)


@pytest.mark.parametrize("text", DANGEROUS)
def test_a_formula_becomes_text(text: str) -> None:
    assert harmless(text) == f"'{text}"


@pytest.mark.parametrize("text", PLAIN)
def test_all_else_stays(text: str) -> None:
    assert harmless(text) == text


@given(cells)
@example("'=1")
@example("''=1")
def test_every_text_comes_back(text: str) -> None:
    made = harmless(text)
    assert as_meant(made) == text
    assert made[:1] not in "=+-@\t\r\n＝＋－＠" or not made or re.fullmatch(r"[+-]?[0-9.]+", made)


def test_tables_saved_hold_no_formula_and_numbers_stay_numbers() -> None:
    rows = [{"name": name, "error": -0.5, "of": 3} for name in (*DANGEROUS, None)]
    text = as_csv(table(rows, {"name": TEXT, "error": NUMBER, "of": COUNT}))
    for row in csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")):
        assert row[0][:1] not in ("=", "+", "-", "@", "\t", "＝")
    assert text.count("-0.5,3\r\n") == len(rows)


@pytest.mark.parametrize(
    ("kind", "cell"),
    [(TEXT, 3), (COUNT, 2.5), (COUNT, True), (NUMBER, "2"), (FLAG, 1), ("verdict", "perhaps")],
)
def test_no_column_holds_what_is_not_of_its_type(kind: str, cell: object) -> None:
    with pytest.raises(TypeError):
        table([{"head": cell}], {"head": kind})


def test_empty_cells_are_empty_and_numbers_have_a_point() -> None:
    rows = [{"n": 2, "of": 3, "sure": True, "name": ""}, {}]
    text = as_csv(table(rows, {"n": NUMBER, "of": COUNT, "sure": FLAG, "name": TEXT}))
    assert text == "\ufeffn,of,sure,name\r\n2.0,3,True,\r\n,,,\r\n"


def test_our_own_reader_gives_the_text_back() -> None:
    rows = [{"teeth": 63, "note": note} for note in DANGEROUS]
    text = as_csv(table(rows, {"teeth": COUNT, "note": TEXT}))
    grid = text_grid(text.removeprefix("\ufeff"), "offers.csv")
    assert [row.cells[1] for row in grid.rows[1:]] == [note.strip() for note in DANGEROUS]


@given(cells)
def test_the_page_marks_the_same(text: str) -> None:
    script = (Path(page.__file__).parent / "exports.js").read_text(encoding="utf-8")
    found = re.search(r"/(\S+)/\.test\(text\) \? `'", script)
    assert found
    assert bool(re.search(found[1].replace("$", r"\Z"), text)) == (harmless(text) != text)
