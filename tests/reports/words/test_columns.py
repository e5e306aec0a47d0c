"""Tables for the terminal: what fits is shown whole, what does not is named."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from gearchest.reports.words.columns import GAP, Column, lined_up, paragraph, table

NAMES = Column("Size", ("M10", "1/2 BSW"))
PITCH = Column("Pitch", ("1.5 mm", "12 tpi"))
BORE = Column("Nut bore", ("8.376", "10.389"), 1, numeric=True)
SOURCE = Column("Source", ("ISO 261", ""), 2)
EMPTY = Column("Status", ("", ""), 1)


def test_columns_stand_aligned_numbers_to_the_right() -> None:
    lines, out = table((NAMES, PITCH, BORE, SOURCE, EMPTY), None)
    assert (lines, out) == ([
        "                    Nut",
        "Size     Pitch     bore  Source",
        "M10      1.5 mm   8.376  ISO 261",
        "1/2 BSW  12 tpi  10.389",
    ], ())  # fmt: skip


def test_the_last_ranks_go_first_and_are_named() -> None:
    assert table((NAMES, PITCH, BORE, SOURCE, EMPTY), 24)[1] == ("Source",)
    assert table((NAMES, PITCH, BORE, SOURCE, EMPTY), 22)[1] == ("Nut bore", "Source")


def test_a_later_rank_takes_the_room_an_earlier_one_is_too_wide_for() -> None:
    wide = Column("Practice", ("8 to 10 tpi, 0.5 to 0.625 in", ""), 1)
    assert table((NAMES, wide, SOURCE), 20)[1] == ("Practice",)


def test_words_wrap_where_they_may() -> None:
    title = Column("Title", ("Wooden screws of common practice", "Acme"), wraps=True)
    lines, _ = table((NAMES, title), 30)
    assert lines[1:] == ["M10      Wooden screws of", "         common practice", "1/2 BSW  Acme"]


def test_rows_become_paragraphs_where_the_needed_columns_do_not_fit() -> None:
    lines, out = table((NAMES, PITCH, BORE), 12)
    assert lines == ["M10", "  pitch 1.5", "  mm", "1/2 BSW", "  pitch 12", "  tpi"]
    assert out == ("Nut bore",)


texts = st.text(alphabet="ab 1/", max_size=18).map(str.strip)


@given(
    st.lists(st.tuples(texts, texts, texts), min_size=1, max_size=4),
    st.integers(min_value=4, max_value=60),
)
def test_no_line_is_wider_than_asked_unless_one_word_is(
    rows: list[tuple[str, str, str]], width: int
) -> None:
    columns = [
        Column(title, tuple(row[i] for row in rows), rank)
        for i, (title, rank) in enumerate((("Size", 0), ("Pitch", 0), ("Source", 1)))
    ]
    lines, _ = table(columns, width)
    longest = max((len(word) for row in rows for cell in row for word in cell.split()), default=0)
    assert max(map(len, lines), default=0) <= max(width, longest + GAP, len("pitch") + GAP)
    shown = " ".join(" ".join(lines).split())
    assert all(" ".join(row[0].split()) in shown for row in rows)


def test_a_paragraph_breaks_at_spaces_alone() -> None:
    assert paragraph("1/2-13 UNC iso-metric-coarse", 12, "  ") == [
        "  1/2-13 UNC", "  iso-metric-coarse",
    ]  # fmt: skip


def test_rows_stand_cell_below_cell_and_figure_below_figure() -> None:
    rows = [
        ("9 of 30 threads", "", "75 demerits", "as it is", "proven"),
        ("25 of 30 threads", "price 1.50", "3745 demerits", "85, 24", "proven"),
        ("30 of 30 threads", "price 19", "0 demerits", "85", "not proven"),
    ]
    assert lined_up(rows) == [
        " 9 of 30 threads,               75 demerits, as it is, proven",
        "25 of 30 threads, price 1.50, 3745 demerits, 85, 24,   proven",
        "30 of 30 threads, price   19,    0 demerits, 85,       not proven",
    ]


def test_a_column_without_words_is_left_out_and_unlike_words_are_not_pulled_apart() -> None:
    assert lined_up([("40/80", "", "no error"), ("100/80", "", "+1 %")]) == [
        "40/80,  no error", "100/80, +1 %",
    ]  # fmt: skip
    assert lined_up([("a 1",), ("bb 22",)]) == ["a 1", "bb 22"]
    assert lined_up([]) == []


@given(st.lists(st.lists(st.text("ab 19.,", max_size=6), min_size=3, max_size=3), max_size=5))
def test_nothing_is_lost_by_lining_up(rows: list[list[str]]) -> None:
    told = ["".join(line.split()).replace(",", "") for line in lined_up(rows)]
    assert told == ["".join("".join(row).split()).replace(",", "") for row in rows] or not any(
        cell for row in rows for cell in row
    )
