"""`gearchest threads [SERIES]`: the thread catalogs as tables, JSON or CSV."""

from __future__ import annotations

import csv
import io
import shutil
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from gearchest.catalogs.thread_files import Entry, Series
from gearchest.catalogs.threads import UnknownSeries, all_series
from gearchest.catalogs.threads import series as find_series
from gearchest.cli.faults import COMMAND_LINE, Fault, FaultsError
from gearchest.cli.output import show, write_json, write_text
from gearchest.cli.targets import STANDARD_OUTPUT, check_targets
from gearchest.optimizer.domain.pitch import format_fraction
from gearchest.optimizer.threads.allowance import allowance
from gearchest.optimizer.threads.forms import FORMS, dimensions
from gearchest.reports.words.columns import Column, paragraph, table

USUAL_WIDTH = (80, 24)
"""Of a terminal that does not say, and of a file or a pipe."""


@dataclass(frozen=True)
class Listing:
    """What was asked for, as a table for people and as rows for programs."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[dict[str, Any], ...]
    after: tuple[str, ...]
    document: dict[str, Any]


def threads(
    series: str | None,
    *,
    wide: bool = False,
    json: str | None = None,
    csv: str | None = None,
    stray: Sequence[str] = (),
) -> None:
    """Print the list of catalogs, or one of them. An unknown name is a fault.

    `wide` shows every column; `json` and `csv` are files or - and hold everything. `stray`:
    options that go with a measured thread.
    """
    if stray:
        fix = 'say what was counted: --measured "10 threads in 15.2 mm"'
        problem = "this goes with --measured, an unknown thread"
        raise FaultsError([Fault(COMMAND_LINE, problem, where=name, fix=fix) for name in stray])
    if json == csv == STANDARD_OUTPUT:
        problem = "standard output holds either JSON or CSV"
        raise FaultsError([Fault(COMMAND_LINE, problem, where="--csv", fix="name a file")])
    check_targets({"--json": json, "--csv": csv})
    listing = listed(series)
    write_json(json, listing.document)
    _write_csv(csv, listing.rows)
    if STANDARD_OUTPUT not in (json, csv):
        show(_lines(listing, None if wide else shutil.get_terminal_size(USUAL_WIDTH).columns))


def listed(series: str | None) -> Listing:
    """One series, or all catalogs. An unknown name is a fault."""
    return _overview(all_series()) if series is None else _sizes(series_named(series))


def series_named(name: str) -> Series:
    """The catalog of that name; an unknown one is a fault."""
    try:
        return find_series(name)
    except UnknownSeries as unknown:
        fix = f"the nearest are {', '.join(unknown.nearest)}"
        allowed = ", ".join(each.name for each in all_series())
        fault = Fault("SERIES", str(unknown), value=name, allowed=allowed, fix=fix)
        raise FaultsError([fault]) from None


def _lines(listing: Listing, width: int | None) -> list[str]:
    rows, left_out = table(listing.columns, width)
    after = list(listing.after)
    if left_out:
        after.append(f"No room for: {', '.join(left_out)}; --wide, --json and --csv have all.")
    head, *words = (paragraph(text, width) for text in (listing.title, *after))
    return [*head, "", *rows, "", *(line for lines in words for line in lines)]


def _write_csv(target: str | None, rows: Sequence[dict[str, Any]]) -> None:
    if target is None:
        return
    text = io.StringIO()
    writer = csv.DictWriter(text, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    if target == STANDARD_OUTPUT:
        sys.stdout.write(text.getvalue())
    else:
        write_text(Path(target), text.getvalue())


def _overview(catalogs: Sequence[Series]) -> Listing:
    rows = tuple(_series_row(catalog) for catalog in catalogs)
    ranges = tuple(f"{row['first']} to {row['last']}" for row in rows)
    columns = (
        Column("Series", tuple(row["name"] for row in rows)),
        Column("Sizes", tuple(str(row["sizes"]) for row in rows), 1, numeric=True),
        Column("Title", tuple(row["title"] for row in rows), wraps=True),
        Column("Range", ranges, 2),
        Column("Form", tuple(map(_forms, catalogs)), 3),
        Column("Source", tuple(row["source"] for row in rows), 4),
    )
    after = ("gearchest threads SERIES lists one of them.",)
    return Listing(
        f"{len(rows)} thread catalogs", columns, rows, after,
        {"kind": "threads", "version": 1, "series": list(rows)},
    )  # fmt: skip


def _series_row(catalog: Series) -> dict[str, Any]:
    threads = [entry.thread for entry in catalog.entries]
    return {
        "name": catalog.name, "title": catalog.title, "sizes": len(threads),
        "first": threads[0].name, "last": threads[-1].name, "form": _forms(catalog),
        "source": catalog.source,
    }  # fmt: skip


def _forms(catalog: Series) -> str:
    """The form of a series with its angle; how many, where rows differ."""
    forms = {entry.thread.form for entry in catalog.entries}
    if len(forms) > 1:
        return f"{len(forms)} forms"
    form = FORMS[forms.pop()]
    angle = form.included_angle_deg
    return f"{form.title}, {angle:g}°" if angle and f"{angle:g}" not in form.title else form.title


def _sizes(catalog: Series) -> Listing:
    """One row a size; of the columns the table has room for, those nearest to the work."""
    entries = catalog.entries
    rows = tuple(_size_row(entry) for entry in entries)

    def lengths(key: str, places: int = 3) -> tuple[str, ...]:
        return tuple("" if row[key] is None else f"{row[key]:.{places}f}" for row in rows)

    several = len({entry.thread.form for entry in entries}) > 1
    sources = tuple("" if e.source == catalog.source else e.source for e in entries)
    columns = (
        Column("Size", tuple(row["name"] for row in rows)),
        Column("Pitch", tuple(row["pitch"] for row in rows)),
        Column("in mm", lengths("pitch_mm", 4), 5, numeric=True),
        Column("Diameter", tuple(map(_diameter, entries)), 1, numeric=True),
        Column("Pitch diameter", lengths("pitch_diameter_mm"), 8, numeric=True),
        Column("Nut bore", lengths("nut_bore_mm"), 6, numeric=True),
        Column("Allowed lead error", tuple(map(_allowed, entries)), 7, numeric=True),
        Column("Practice", tuple(entry.practice for entry in entries), 2),
        Column("Form", tuple(row["form"] if several else "" for row in rows), 3),
        Column("Status", tuple(entry.status for entry in entries), 4),
        Column("Source", sources, 9),
    )
    after = (
        "Diameters in mm.",
        f"Source: {catalog.source}.",
        *(f"Note: {note}." for note in catalog.notes),
    )
    document = {
        "kind": "threads", "version": 1,
        "series": [{**_series_row(catalog), "notes": list(catalog.notes), "threads": list(rows)}],
    }  # fmt: skip
    return Listing(f"{catalog.title} ({catalog.name})", columns, rows, after, document)


def _size_row(entry: Entry) -> dict[str, Any]:
    thread, size = entry.thread, dimensions(entry.thread)
    allowed = allowance(thread.pitch, thread=thread)
    return {
        "name": thread.name,
        "pitch": str(thread.pitch),
        "pitch_mm": _rounded(thread.pitch.mm),
        "lead_mm": _rounded(thread.pitch.lead_mm),
        "diameter_mm": _rounded(thread.major_mm),
        "pitch_diameter_mm": _rounded(size.pitch_diameter_mm),
        "nut_bore_mm": _rounded(size.nut_bore_mm),
        "allowed_error": float(allowed.relative) if allowed.ruled else None,
        "form": FORMS[thread.form].title,
        "practice": entry.practice,
        "status": entry.status,
        "source": entry.source,
    }


def _rounded(value: float | Fraction | None) -> float | None:
    """To a nanometre: the rest is noise of the arithmetic."""
    return None if value is None else round(float(value), 6)


def _diameter(entry: Entry) -> str:
    major = entry.thread.major_mm
    return "" if major is None else format_fraction(major)


def _allowed(entry: Entry) -> str:
    found = allowance(entry.thread.pitch, thread=entry.thread)
    return f"{float(found.relative) * 100:.2g} %" if found.ruled else ""
