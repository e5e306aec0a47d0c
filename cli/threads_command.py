"""`gearchest threads [SERIES]`: the thread catalogs as tables."""

from __future__ import annotations

from collections.abc import Iterable

from rich.table import Table

from gearchest.catalogs.thread_files import Entry, Series
from gearchest.catalogs.threads import UnknownSeries, all_series
from gearchest.catalogs.threads import series as series_named
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.output import console
from gearchest.optimizer.domain.pitch import format_fraction
from gearchest.optimizer.threads.allowance import allowance
from gearchest.optimizer.threads.forms import FORMS, dimensions


def threads(series: str | None) -> None:
    """Print the list of catalogs, or one of them. An unknown name is a fault."""
    out = console()
    if series is None:
        out.print(_overview(all_series()))
        out.print("gearchest threads SERIES lists one of them.")
        return
    try:
        catalog = series_named(series)
    except UnknownSeries as unknown:
        fix = f"the nearest are {', '.join(unknown.nearest)}"
        allowed = ", ".join(each.name for each in all_series())
        fault = Fault("SERIES", str(unknown), value=series, allowed=allowed, fix=fix)
        raise FaultsError([fault]) from None
    out.print(_sizes(catalog))
    for line in (f"Source: {catalog.source}.", *(f"Note: {note}." for note in catalog.notes)):
        out.print(line)


def _overview(catalogs: Iterable[Series]) -> Table:
    table = Table("Series", "Title", "Range", "Form", "Source")
    table.add_column("Sizes", justify="right")
    for catalog in catalogs:
        first, last = catalog.entries[0].thread.name, catalog.entries[-1].thread.name
        table.add_row(
            catalog.name, catalog.title, f"{first} to {last}", _forms(catalog), catalog.source,
            str(len(catalog.entries)),
        )  # fmt: skip
    return table


def _forms(catalog: Series) -> str:
    """The form of a series with its angle; how many, where rows differ."""
    forms = {entry.thread.form for entry in catalog.entries}
    if len(forms) > 1:
        return f"{len(forms)} forms"
    form = FORMS[forms.pop()]
    angle = form.included_angle_deg
    return f"{form.title}, {angle:g}°" if angle and f"{angle:g}" not in form.title else form.title


def _sizes(catalog: Series) -> Table:
    """One row a size; columns that would say nothing are left out."""
    columns = {
        "Size": [entry.thread.name for entry in catalog.entries],
        "Pitch": [str(entry.thread.pitch) for entry in catalog.entries],
        "mm": [_mm(entry.thread.pitch.mm) for entry in catalog.entries],
        "Diameter": [_diameter(entry) for entry in catalog.entries],
        "Pitch diameter": [_mm(dimensions(e.thread).pitch_diameter_mm) for e in catalog.entries],
        "Nut bore": [_mm(dimensions(e.thread).nut_bore_mm) for e in catalog.entries],
        "Allowed lead error": [_allowed(entry) for entry in catalog.entries],
        "Practice": [entry.practice for entry in catalog.entries],
        "Form": [_own_form(catalog, entry) for entry in catalog.entries],
        "Status": [entry.status for entry in catalog.entries],
        "Source": [_own_source(catalog, entry) for entry in catalog.entries],
    }
    told = {title: cells for title, cells in columns.items() if any(cells)}
    table = Table(title=f"{catalog.title} ({catalog.name})")
    for title in told:
        numeric = title in ("mm", "Diameter", "Pitch diameter", "Nut bore", "Allowed lead error")
        table.add_column(title, justify="right" if numeric else "left")
    for cells in zip(*told.values(), strict=True):
        table.add_row(*cells)
    return table


def _mm(value: float | None) -> str:
    return "" if value is None else f"{value:.3f}"


def _diameter(entry: Entry) -> str:
    major = entry.thread.major_mm
    return "" if major is None else format_fraction(major)


def _allowed(entry: Entry) -> str:
    found = allowance(entry.thread.pitch, thread=entry.thread)
    return f"{float(found.relative) * 100:.2g} %" if found.ruled else ""


def _own_form(catalog: Series, entry: Entry) -> str:
    several = len({each.thread.form for each in catalog.entries}) > 1
    return FORMS[entry.thread.form].title if several else ""


def _own_source(catalog: Series, entry: Entry) -> str:
    return "" if entry.source == catalog.source else entry.source
