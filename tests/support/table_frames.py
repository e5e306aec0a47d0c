"""Tables of a page as pandas has them, each column of its type."""

from __future__ import annotations

import pandas as pd

from gearchest.reports.page.tables import CHOICES, COUNT, FLAG, NUMBER, TEXT, SavedTable

TYPES = {TEXT: "string", COUNT: "Int64", NUMBER: "Float64", FLAG: "boolean"}


def framed(table: SavedTable) -> pd.DataFrame:
    """The same table; a cell no column of its type can hold is refused."""
    made = pd.DataFrame(list(table.rows), columns=list(table.columns), dtype=object)
    kinds = {kind: pd.CategoricalDtype(words, ordered=True) for kind, words in CHOICES.items()}
    return made.astype({name: kinds.get(kind, TYPES.get(kind)) for name, kind in
                        table.columns.items()})  # fmt: skip
