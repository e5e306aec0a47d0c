"""Reading the CSV tables: `#` lines at the head or between rows name sources."""

from __future__ import annotations

import csv
from importlib.resources import files


def rows(*path: str) -> list[dict[str, str]]:
    """The rows of a table, `path` from the catalogs' folder, columns by name."""
    text = files("gearchest.catalogs").joinpath(*path).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
