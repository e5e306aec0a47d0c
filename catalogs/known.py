"""The sizes of the catalogs as an unknown thread may be one of them: each once, with its names."""

from __future__ import annotations

from functools import cache

from gearchest.catalogs.thread_files import Series
from gearchest.catalogs.threads import all_series, series
from gearchest.optimizer.threads.identify import Catalogued


@cache
def known_threads(series_name: str = "") -> tuple[Catalogued, ...]:
    """Every size, or those of one series, in the order of listing.

    Sizes of the same pitch, diameter and form are one (M14x1.25 and the spark plug), met as often
    as the one most met. Raises UnknownSeries.
    """
    chosen = (series(series_name),) if series_name else all_series()
    found: dict[object, Catalogued] = {}
    for catalog in chosen:
        for each in _catalogued(catalog):
            thread = each.thread
            key = (thread.pitch, thread.major_mm, thread.form, each.pitches, each.diameters)
            held = found.get(key, each)
            names = tuple(dict.fromkeys((*held.names, *each.names)))
            found[key] = Catalogued(
                held.thread, names, max(held.met, each.met), held.pitches, held.diameters
            )
    return tuple(found.values())


def _catalogued(catalog: Series) -> tuple[Catalogued, ...]:
    return tuple(
        Catalogued(entry.thread, (entry.thread.name,), catalog.met, entry.pitches, entry.diameters)
        for entry in catalog.entries
    )
