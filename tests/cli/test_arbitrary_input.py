"""Whatever a file holds, the loaders read it or refuse it with faults; nothing else happens."""

from __future__ import annotations

from file_samples import EVERY_KEY
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.catalogs.lathes import example
from gearchest.cli.faults import FaultsError
from gearchest.cli.files.grid import text_grid
from gearchest.cli.files.headings import PHRASES
from gearchest.cli.files.lathe import lathe_of, load_lathe
from gearchest.cli.files.offers import COLUMNS as OFFER_COLUMNS
from gearchest.cli.files.offers import offers_in, offers_of
from gearchest.cli.files.spreadsheet import table_of
from gearchest.cli.files.toml import parse_toml
from gearchest.cli.files.wants import COLUMNS as WANT_COLUMNS
from gearchest.cli.files.wants import wants_of


def said(error: FaultsError) -> None:
    """A refusal says what is wrong."""
    assert error.faults
    assert all(fault.problem for fault in error.faults)


SHOP = load_lathe(example().lathe)
LINES = EVERY_KEY.splitlines()
WANTS = example().wants.read_text(encoding="utf-8").splitlines()
VALUES = st.sampled_from(
    ['""', '"x"', "-1", "0", "1e9", "1e999", "nan", "true", "[]", "{}", "[1, [2]]", "8 tpi",
     '"1/0"', '"8"', '"\\u0000"', "2020-01-01", "{ a = 1 }", '"""', "99999999999999999999"]
)  # fmt: skip


@st.composite
def damaged(draw: st.DrawFn, lines: list[str]) -> str:
    """A good file with lines dropped, doubled, cut short or given other values."""
    kept = list(lines)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(kept) - 1))
        key = kept[at].partition("=")[0]
        kind = draw(st.integers(0, 4))
        if kind == 0:
            kept.insert(at, kept[at])
        elif kind == 1 and len(kept) > 1:
            del kept[at]
        elif kind == 2:
            kept[at] = kept[at][: draw(st.integers(0, len(kept[at])))]
        elif kind == 3:
            kept[at] = f"{key.strip() or 'x'} = {draw(VALUES)}"
        else:
            kept[at] = draw(st.text(max_size=30))
    return "\n".join(kept)


@settings(max_examples=120, deadline=None)
@given(damaged(LINES))
def test_damaged_lathe_files(text: str) -> None:
    try:
        lathe_of(parse_toml(text, "lathe.toml"))
    except FaultsError as error:
        said(error)


@settings(max_examples=60, deadline=None)
@given(damaged(WANTS))
def test_damaged_wants_files(text: str) -> None:
    try:
        wants_of(parse_toml(text, "wants.toml"), [], SHOP)
    except FaultsError as error:
        said(error)


CELLS = st.one_of(
    st.sampled_from(
        [
            "M6",
            "8 tpi",
            "1,5",
            "63",
            "2-Jan",
            "buy",
            '"',
            "",
            "\ufeff",
            "1/4/2020",
            "21,50 €",
            "€1.234",
            "Z = 63",
            "12 Stk",
            "3x1,4",
            "1e400",
            "-",
            "Ø12",
        ]
    ),
    st.text(max_size=6),
)
HEADINGS = [*OFFER_COLUMNS.known, *WANT_COLUMNS.known, *PHRASES]
TABLES = st.builds(
    lambda heads, rows, sep, end: end.join(sep.join(row) for row in [heads, *rows]),
    st.lists(
        st.sampled_from([*OFFER_COLUMNS.known, *WANT_COLUMNS.known, *PHRASES, "x", ""]), max_size=6
    ),
    st.lists(st.lists(CELLS, max_size=6), max_size=5),
    st.sampled_from([",", ";", "\t", "\x00"]),
    st.sampled_from(["\n", "\r\n", "\r", "\x85"]),
)


@settings(max_examples=150, deadline=None)
@given(TABLES)
def test_arbitrary_tables(text: str) -> None:
    for read in (
        lambda grid: offers_of(*table_of(grid, "offer", OFFER_COLUMNS), SHOP),
        lambda grid: wants_of(*table_of(grid, "want", WANT_COLUMNS), SHOP),
        lambda grid: offers_in([grid], SHOP),
    ):
        try:
            read(text_grid(text, "table.csv"))
        except FaultsError as error:
            said(error)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=60))
def test_arbitrary_toml(text: str) -> None:
    try:
        lathe_of(parse_toml(text, "lathe.toml"))
    except FaultsError as error:
        said(error)
