"""The sheets of the page as HTML, from what stands in the files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import jinja2
from markupsafe import Markup

from gearchest.catalogs.lathes import lathe_names
from gearchest.cli.measurements import missing_measurements
from gearchest.cli.page.arm_figure import arm_figure, arm_measures
from gearchest.cli.page.changes import cures_of, digest
from gearchest.cli.page.desk import Desk
from gearchest.cli.page.discs import discs
from gearchest.cli.page.field_view import faults_at, idents_of, section_views, told_of
from gearchest.cli.page.lathe_form import MAKING, SECTIONS
from gearchest.cli.page.plate_grid import plate_grid
from gearchest.cli.page.seen import Seen, see
from gearchest.cli.page.session import Session
from gearchest.cli.page.setup_form import setup_groups
from gearchest.cli.page.shelf import LATHE, NAMES, OFFERS, WANTS, Texts
from gearchest.cli.page.wants_form import (
    WEIGHTS,
    series_choices,
    size_names,
    want_idents,
    want_views,
)
from gearchest.reports.page.compiled import environment
from gearchest.reports.words.numbers import plural

SHEETS = (
    ("lathe", "Lathe"),
    ("threads", "Threads"),
    ("gears", "Gears to be had"),
    ("buy", "What to buy"),
    ("papers", "Papers"),
    ("files", "Files"),
)
"""Addresses and names of the sheets."""


@dataclass(frozen=True)
class At:
    """What a sheet is made from."""

    desk: Desk
    texts: Texts
    seen: Seen
    session: Session
    query: Mapping[str, str]


def start_page(session: Session, note: str = "") -> str:
    """Where no folder is known yet."""
    return _render("start.html.j2", session, title="Where to keep your files", note=note, sheet="")


def page(session: Session, sheet: str, query: Mapping[str, str]) -> str:
    """A sheet. What there was to say once has been said then."""
    desk = session.desk
    assert desk is not None
    texts = dict(desk.texts)
    seen = see(texts)
    context = _CONTEXTS[sheet](At(desk, texts, seen, session, query))
    notes, session.outcome.notes = session.outcome.notes, []
    session.outcome.conflicts = {}
    return _render(
        f"{sheet}.html.j2", session, sheet=sheet, title=dict(SHEETS)[sheet], seen=seen,
        notes=notes, troubles=[told_of(fault) for fault in desk.unreadable], **context,
    )  # fmt: skip


def strip(session: Session) -> str:
    """How far the answer has come."""
    return _environment().get_template("strip.html.j2").render(**_answer(session))


def nav(session: Session, sheet: str) -> str:
    """The head of pages that are made elsewhere."""
    return _render("nav.html.j2", session, sheet=sheet)


def come(session: Session) -> str:
    """A button for the day on which the gears advised have come; "" where none are, or where they
    are no ordinary ones and have to be described."""
    answer = session.answer
    for step in answer.steps:
        if step["number"] and step["number"] == answer.advised and step["teeth"]:
            return _environment().get_template("come.html.j2").render(step=step)
    return ""


def setup_form(session: Session, query: Mapping[str, str], *, opened: bool = False) -> str:
    """The form of a setup sheet, with what was asked, to stand above it, folded unless `opened`."""
    return _render(
        "setup_again.html.j2", session, sheet="papers", asked=query, groups=setup_groups(query),
        opened=opened, names=[want.name for want in see(session.texts).wants],
    )  # fmt: skip


def no_page(
    session: Session, name: str, words: list[str], query: Mapping[str, str], *, unwanted: bool
) -> str:
    """Why there is no document to show; of a setup what was asked, to be changed. `unwanted`:
    no thread is wanted yet."""
    again = setup_form(session, query, opened=True) if name == "setup" else ""
    return _render(
        "no_page.html.j2", session, sheet="buy" if name == "buy" else "papers",
        title="No sheet yet", words=words, unwanted=unwanted, again=Markup(again),
    )  # fmt: skip


def offers_part(found: dict[str, Any], words: list[str]) -> str:
    """What was understood of the gears to be had, as a part of their sheet."""
    template = _environment().get_template("offers_part.html.j2")
    return template.render(rows=found.get("rows", []), said=found.get("said", []), words=words)


def unknown_page(
    session: Session, query: Mapping[str, str], found: dict[str, Any], words: list[str]
) -> str:
    """What a measured thread can be, each with a button that adds it."""
    return _render(
        "unknown.html.j2", session, sheet="threads", title="An unknown thread", query=query,
        candidates=found.get("candidates", [])[:12], words=words,
    )  # fmt: skip


def arm_drawing(query: Mapping[str, str]) -> Markup:
    """The arm as it is being typed."""
    return arm_figure(arm_measures(lambda *path: query.get(_name(path)) or None,
                                   query.get("units")))  # fmt: skip


def _name(path: tuple[str | int, ...]) -> str:
    return ".".join(("banjo", *map(str, path)))


def _lathe(at: At) -> dict[str, Any]:
    seen, file = at.seen, at.seen.lathe_file
    more = at.query.get("more", "")
    faults = faults_at(
        file, cures_of(at.texts, LATHE), digest(file.text), idents_of(SECTIONS, file),
        at.session.outcome.conflicts.get(LATHE, {}),
    )  # fmt: skip
    units = file.typed(("units",))
    arm = arm_measures(
        lambda *path: file.typed(("banjo", *path)), units if isinstance(units, str) else None
    )
    return {
        "patterns": lathe_names(),
        "sections": section_views(SECTIONS, file, faults, more),
        "elsewhere": faults.elsewhere,
        "arm": arm_figure(arm),
        "discs": discs([gear.teeth for gear, n in _loose(seen) for _ in range(n)]),
        "count": seen.lathe.chest.size if seen.lathe else 0,
        "plate": plate_grid(file.typed(("gearbox", "plate"))),
        "lacking": missing_measurements(seen.lathe) if seen.lathe else [],
    }


def _loose(seen: Seen) -> tuple[tuple[Any, int], ...]:
    return seen.lathe.chest.loose if seen.lathe else ()


def _threads(at: At) -> dict[str, Any]:
    file = at.seen.wants_file
    faults = faults_at(
        file, cures_of(at.texts, WANTS), digest(file.text), want_idents(file),
        at.session.outcome.conflicts.get(WANTS, {}),
    )  # fmt: skip
    series = at.query.get("series", "")
    own = {str(file.typed(("want", i, "pitch")) or "") for i in range(file.count(("want",)))}
    return {
        "wants": want_views(file, faults),
        "elsewhere": faults.elsewhere,
        "series": series_choices(),
        "weights": WEIGHTS,
        "chosen": series,
        "sizes": [(name, name in own) for name in size_names(series)],
        "total": len(at.seen.wants),
        "entries": file.count(("want",)),
    }


def _gears(at: At) -> dict[str, Any]:
    file = at.seen.lathe_file
    faults = faults_at(file, cures_of(at.texts, LATHE), digest(file.text), idents_of(MAKING, file))
    return {
        "offers": at.texts.get(OFFERS),
        "making": section_views(MAKING, file, faults),
    }


def _papers(at: At) -> dict[str, Any]:
    answer = at.session.answer
    advised = [s["gears"] for s in answer.steps if s["number"] == answer.advised]
    return {
        "names": [want.name for want in at.seen.wants],
        "others": (*at.desk.shelf.other_lathes(), *lathe_names()),
        "advised": advised[0] if advised else "",
        "asked": {},
        "groups": setup_groups({}),
    }


def _files(at: At) -> dict[str, Any]:
    desk, texts = at.desk, at.texts
    told = {LATHE: at.seen.lathe_file.faults, WANTS: at.seen.wants_file.faults, OFFERS: ()}
    return {
        "folder": str(desk.shelf.folder),
        "writable": desk.shelf.writable,
        "files": [
            (name, NAMES[name], texts.get(name) or "", digest(texts.get(name)),
             [told_of(fault) for fault in told[name]])
            for name in NAMES
        ],
        "history": [change.what for change in desk.done[-30:]][::-1],
    }  # fmt: skip


_CONTEXTS = {
    "lathe": _lathe,
    "threads": _threads,
    "gears": _gears,
    "papers": _papers,
    "files": _files,
}


def _answer(session: Session) -> dict[str, Any]:
    old = session.answer.version != session.version
    return {"answer": session.answer, "old": old, "wanting": _wanting(session)}


def _wanting(session: Session) -> list[tuple[str, str]]:
    """Sheets on which something keeps the answer away, and what."""
    seen = see(session.texts)
    found = []
    for sheet, file, nothing in (
        ("lathe", seen.lathe_file, "describe the lathe"),
        ("threads", seen.wants_file, "name some threads"),
    ):
        count = len(file.faults)
        if count:
            of = "the lathe" if sheet == "lathe" else "the threads"
            found.append((sheet, f"mend {plural(count, 'fault')} of {of}"))
        elif (seen.lathe is None) if sheet == "lathe" else not seen.wants:
            found.append((sheet, nothing))
    return found


def _render(template: str, session: Session, **context: Any) -> str:
    desk = session.desk
    return (
        _environment()
        .get_template(template)
        .render(
            sheets=SHEETS,
            version=session.version,
            undo=desk.done[-1].what if desk and desk.done else "",
            redo=desk.undone[-1].what if desk and desk.undone else "",
            own_paper=template != "nav.html.j2",
            read_only=desk is not None and not desk.shelf.writable,
            **_answer(session),
            **context,
        )
    )


@cache
def _environment() -> jinja2.Environment:
    return environment("gearchest.cli.page", "templates")
