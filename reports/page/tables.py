"""Tables for spreadsheets: a quantity a column, each of one type, saved from the page as CSV.

Pandas is imported by the functions, so that only what makes a table loads it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.page.packing import packed_json
from gearchest.reports.words.cells import harmless

if TYPE_CHECKING:
    import pandas as pd

TEXT, COUNT, NUMBER, FLAG = "string", "Int64", "Float64", "boolean"
"""Types of columns; a cell of each may be empty."""

CHOICES: dict[str, list[str]] = {
    "verdict": [verdict.value for verdict in Verdict],
    "fits": [fits.value for fits in Fits],
}
"""Types of columns that hold one of a few words: which, in their order."""


def frame(rows: Iterable[Mapping[str, object]], columns: Mapping[str, str]) -> pd.DataFrame:
    """Rows as a table of these columns, by name with their type; what a row leaves out is
    empty."""
    import pandas as pd

    made = pd.DataFrame(list(rows), columns=list(columns), dtype=object)
    kinds = {kind: pd.CategoricalDtype(words, ordered=True) for kind, words in CHOICES.items()}
    return made.astype({name: kinds.get(kind, kind) for name, kind in columns.items()})


def near(value: float | Fraction | None) -> float | None:
    """To six decimals: more would be the noise of the arithmetic."""
    return None if value is None else round(float(value), 6)


def csv(table: pd.DataFrame) -> str:
    """As CSV, with a byte-order mark so that spreadsheets read it as UTF-8, and no cell or head
    a formula."""
    plain = table.rename(columns=harmless)
    for name in plain.columns[plain.dtypes == TEXT]:
        plain[name] = plain[name].map(harmless, na_action="ignore")
    return "\ufeff" + plain.to_csv(index=False, lineterminator="\r\n")


def packed_tables(tables: Mapping[str, pd.DataFrame]) -> str:
    """Tables by the name a button saves them under, as CSV, packed into one text."""
    return packed_json({name: csv(table) for name, table in tables.items()})
