"""The sheet of threads: what each entry of a wants file is, in the words of the page."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.catalogs.threads import UnknownSeries, all_series, series
from gearchest.cli.page.field_view import FaultsAt, FieldView, field_view
from gearchest.cli.page.fields import YES, Field
from gearchest.cli.page.seen import FileSeen
from gearchest.optimizer.domain.want import Use
from gearchest.optimizer.threads.allowance import TRAVEL_GRADES

WEIGHTS = (("", "now and then"), ("3", "often"), ("10", "must"))
"""How much a thread is worth, in words; other weights are shown as they are."""

_NO_SIZES: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class WantView:
    """An entry: `lead` its fields that say which thread, `rest` those that stay folded."""

    number: int
    title: str
    lead: tuple[FieldView, ...]
    rest: tuple[FieldView, ...]
    told: bool

    @property
    def idents(self) -> list[str]:
        return [view.ident for view in (*self.lead, *self.rest)]


def series_choices() -> list[tuple[str, str]]:
    """Every series, with its range."""
    return [
        (one.name, f"{one.title} ({one.entries[0].thread.name} to {one.entries[-1].thread.name})")
        for one in all_series()
    ]


def size_names(name: str) -> list[str]:
    """The sizes of a series; none where there is no such series."""
    try:
        return [entry.thread.name for entry in series(name).entries]
    except UnknownSeries:
        return []


def want_fields(file: FileSeen, number: int) -> tuple[tuple[Field, ...], tuple[Field, ...]]:
    """The fields of an entry: those that say which thread, and the rest."""
    at = ("want", number)
    listed = file.typed((*at, "series")) is not None
    weight = str(file.typed((*at, "weight")) or "")
    weights = WEIGHTS if weight in dict(WEIGHTS) else (*WEIGHTS, (weight, f"weight {weight}"))
    if listed:
        names = size_names(str(file.typed((*at, "series"))))
        sizes = tuple((name, name) for name in names)
        ends = {key: file.typed((*at, key)) for key in ("from", "to")}
        lead = [
            Field((*at, "series"), "Series", choices=tuple(series_choices()) or _NO_SIZES),
            *(
                Field((*at, key), key, choices=_with_own((("", "its end"), *sizes), ends[key]))
                for key in ("from", "to")
            ),
        ]
    else:
        lead = [Field((*at, "pitch"), "Thread or pitch", needed=True)]
    lead.append(Field((*at, "weight"), "Wanted", kind="number", choices=weights))
    rest = [
        Field((*at, "inside"), "Internal thread", kind="yes", usual="no", choices=YES),
        Field((*at, "left"), "Left-hand", kind="yes", usual="no", choices=YES),
        Field((*at, "tolerance"), "Allowed error", "0.1 %, 500 ppm or 0.05 mm/300 mm. Usual: what "
              "the thread bears."),
        Field((*at, "use"), "Used as", choices=(("", "as it is usual"),
              *((use.value, use.value) for use in Use))),
        Field((*at, "engaged"), "Engaged length", "How much of it goes together; usual: what is "
              "normal for its diameter.", unit="mm"),
        Field((*at, "mating"), "Mates what is there", "Of a wooden thread whose nut or screw "
              "exists already.", kind="yes", usual="no", choices=YES),
        Field((*at, "grade"), "Travel grade", "Of a feed screw; it is a tolerance itself.",
              choices=(("", "none"), *((grade, grade) for grade in TRAVEL_GRADES))),
    ]  # fmt: skip
    if not listed:
        rest = [
            Field((*at, "name"), "Name", "What it is for."),
            Field((*at, "diameter"), "Diameter", "10 mm, 1/2 in: its tolerance then tells how far "
                  "off the pitch may be."),
            *rest,
        ]  # fmt: skip
    return tuple(lead), tuple(rest)


def _with_own(choices: tuple[tuple[str, str], ...], own: object) -> tuple[tuple[str, str], ...]:
    """The choices with what stands in the file, where that is none of them."""
    text = "" if own is None else str(own)
    return choices if text in dict(choices) else (*choices, (text, text))


MOST_SHOWN = 300
"""Entries that a sheet holds; those beyond are changed in the file itself."""


def _shown_entries(file: FileSeen) -> range:
    return range(min(file.count(("want",)), MOST_SHOWN))


def want_views(file: FileSeen, faults: FaultsAt) -> list[WantView]:
    """The first entries, in the file's order."""
    views = []
    for number in _shown_entries(file):
        lead, rest = (
            tuple(field_view(each, file, faults) for each in fields)
            for fields in want_fields(file, number)
        )
        title = " ".join(view.value for view in lead[:3] if view.value) or "a thread"
        told = any(view.told for view in rest)
        views.append(WantView(number, title, lead, rest, told))
    return views


def want_idents(file: FileSeen) -> set[str]:
    """The names of all fields that are shown."""
    return {
        each.ident
        for number in _shown_entries(file)
        for fields in want_fields(file, number)
        for each in fields
    }
