"""Threads added to a wants file: sizes of a series, pitches, single sizes that are ticked."""

from __future__ import annotations

from collections.abc import Mapping

from gearchest.cli.page.desk import Desk
from gearchest.cli.page.edits import with_value, without_entry
from gearchest.cli.page.literals import literal
from gearchest.cli.page.outcome import Outcome, ready
from gearchest.cli.page.seen import see
from gearchest.cli.page.shelf import NAMES, WANTS

MOST_ADDED = 200
"""Threads added at a time."""


def add(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    """New entries of the wants file: sizes of a series, or pitches typed one a line."""

    def given(key: str) -> str:
        return form.get(f"a:{key}", [""])[0].strip()

    entries: list[dict[str, str]] = []
    common = {"weight": given("weight"), "inside": "true" if given("inside") else ""}
    if rest == "series" and given("series"):
        entries.append({key: given(key) for key in ("series", "from", "to")})
    elif rest == "pitches":
        lines = given("pitches").replace(";", "\n").splitlines()
        entries += [{"pitch": line.strip()} for line in lines if line.strip()][:MOST_ADDED]
    elif rest.startswith("one="):
        entries.append({"pitch": rest.removeprefix("one=")[:200]})
    if not entries:
        outcome.notes.append("Nothing was typed that could be added.")
        return
    text = _add_entries(desk, [{**entry, **common} for entry in entries], outcome)
    desk.put(WANTS, text, f"added {entries[0].get('pitch') or entries[0].get('series')}"[:80])


def _add_entries(desk: Desk, entries: list[dict[str, str]], outcome: Outcome) -> str:
    seen = see(desk.texts)
    text = ready(desk.texts.get(WANTS), seen.wants_file, WANTS, outcome)
    number = seen.wants_file.count(("want",))
    kinds = {"weight": "number", "inside": "yes"}
    for entry in entries:
        for key, typed in entry.items():
            if made := literal(kinds.get(key, "text"), typed):
                text = with_value(text, ("want", number, key), made, NAMES[WANTS])
        number += 1
    return text


def tick(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    """Single sizes of a series as ticked: the new ones are added, the others taken out."""
    ticked = dict.fromkeys(form.get("size", []))
    shown_sizes = set(form.get("shown", []))
    seen = see(desk.texts).wants_file
    text = desk.texts.get(WANTS) or ""
    own = [str(seen.typed(("want", i, "pitch")) or "") for i in range(seen.count(("want",)))]
    for number in reversed(range(len(own))):
        if own[number] in shown_sizes and own[number] not in ticked:
            text = without_entry(text, ("want", number), NAMES[WANTS])
    new = [{"pitch": size} for size in ticked if size in shown_sizes and size not in own]
    desk.put(WANTS, text, "sizes taken out")
    if new:
        desk.put(WANTS, _add_entries(desk, new[:MOST_ADDED], outcome), "sizes ticked")
