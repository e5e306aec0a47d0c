"""What a form asks to be changed, done to the files."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from importlib import resources

from gearchest.catalogs.lathes import lathe_file
from gearchest.cli.faults import Fault
from gearchest.cli.files.document import KeyPath
from gearchest.cli.files.reading import read_text
from gearchest.cli.page.adding import add, tick
from gearchest.cli.page.cures import Cure, cures
from gearchest.cli.page.desk import Desk
from gearchest.cli.page.edits import with_value, without_entry
from gearchest.cli.page.fields import Entries, Field, counted
from gearchest.cli.page.lathe_form import MAKING, SECTIONS
from gearchest.cli.page.literals import literal, shown
from gearchest.cli.page.outcome import NOTHING, Outcome, file_of, ready
from gearchest.cli.page.plate_grid import plate_literal
from gearchest.cli.page.seen import FileSeen, Seen, see
from gearchest.cli.page.shelf import LATHE, NAMES, OFFERS, WANTS, Texts
from gearchest.cli.page.wants_form import want_fields


def change(desk: Desk, form: Mapping[str, list[str]]) -> Outcome:
    """Do what the form says: first the values typed, then what its button asks. Raises
    `FaultsError` where a file cannot be written."""
    outcome = Outcome()
    desk.look()
    _typed(desk, form, outcome)
    verb, _, rest = form.get("do", [""])[0].partition(":")
    if verb in _BUTTONS:
        _BUTTONS[verb](desk, form, rest, outcome)
    return outcome


def digest(text: str | None) -> str:
    """What tells a text from others."""
    return hashlib.sha256((text or "").encode()).hexdigest()[:16]


def _typed(desk: Desk, form: Mapping[str, list[str]], outcome: Outcome) -> None:
    seen = see(desk.texts)
    texts = {LATHE: seen.lathe_file.text, WANTS: seen.wants_file.text}
    done: dict[str, list[str]] = {LATHE: [], WANTS: []}
    plate = {key[2:]: values[0] for key, values in form.items() if key.startswith("v:plate.")}
    for key, values in form.items():
        if not key.startswith("v:") or key.startswith("v:plate."):
            continue
        ident, now = key[2:], values[0].strip()
        was = form.get(f"w:{ident}", [""])[0].strip()
        if now == was:
            continue
        name, own = _field(ident, seen)
        if own is None:
            continue
        file = file_of(seen, name)
        stands = shown(own.kind, file.typed(own.path)).strip()
        if stands not in (was, now):
            outcome.conflicts.setdefault(name, {})[ident] = (now, stands)
            continue
        text = ready(texts[name], file, name, outcome)
        texts[name] = with_value(text, _next(own.path, file), literal(own.kind, now), NAMES[name])
        done[name].append(f"{own.label} {now or 'taken out'}")
    if plate and any(form.get(f"w:{key}", [""])[0].strip() != value.strip()
                     for key, value in plate.items()):  # fmt: skip
        text = ready(texts[LATHE], seen.lathe_file, LATHE, outcome)
        made = plate_literal(plate)
        texts[LATHE] = with_value(text, ("gearbox", "plate"), made, NAMES[LATHE])
        done[LATHE].append("the gearbox's plate")
    for name, what in done.items():
        if what:
            desk.put(name, texts[name], ", ".join(what)[:80])


def _field(ident: str, seen: Seen) -> tuple[str, Field | None]:
    """The file and the field that a name stands for; None where there is no such field."""
    parts = ident.split(".")
    if parts[0] == "want" and len(parts) == 3 and (number := counted(parts[1])) is not None:
        if number >= seen.wants_file.count(("want",)):
            return WANTS, None
        every = [one for fields in want_fields(seen.wants_file, number) for one in fields]
        return WANTS, next((one for one in every if one.ident == ident), None)
    for part in (part for section in (*SECTIONS, *MAKING) for part in section.parts):
        if isinstance(part, Field):
            if part.ident == ident:
                return LATHE, part
            continue
        numbers = [place for one in parts if (place := counted(one)) is not None]
        if len(numbers) == 1 and numbers[0] < part.most:
            for own in part.entry(numbers[0]):
                if own.ident == ident:
                    return LATHE, own
    return LATHE, None


def _next(path: KeyPath, file: FileSeen) -> KeyPath:
    """The path, a new entry of a list counted behind those there are."""
    for depth, key in enumerate(path):
        if isinstance(key, int):
            there = max(file.count(path[:depth]), 0)
            return (*path[:depth], min(key, there), *path[depth + 1 :])
    return path


def _pattern(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    path = lathe_file(rest) if rest else None
    text = NOTHING if path is None else read_text(path)
    desk.put(LATHE, text, f"begun from {rest or 'nothing'}")


def _sample(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    template = resources.files("gearchest.cli") / "templates" / "wants.toml"
    desk.put(WANTS, template.read_text(encoding="utf-8"), "threads of the pattern")


def _remove(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    name, _, ident = rest.partition(":")
    text = desk.texts.get(name)
    if name not in (LATHE, WANTS) or text is None:
        return
    path: KeyPath = tuple(p if counted(p) is None else int(p) for p in ident.split("."))
    lists = {row.path for s in SECTIONS for row in s.parts if isinstance(row, Entries)} | {
        ("want",)
    }
    if path[:-1] in lists or path in {("banjo",), ("gearbox",)}:
        desk.put(name, without_entry(text, path, NAMES[name]), "an entry taken out")


def _cure(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    parts = rest.split(":")
    if len(parts) != 4:
        return
    (name, _, _, stamp), number, choice = parts, counted(parts[1]), counted(parts[2])
    text = desk.texts.get(name)
    if name not in (LATHE, WANTS) or text is None or digest(text) != stamp:
        outcome.notes.append("The file has changed in the meantime: nothing was done.")
        return
    found = cures_of(desk.texts, name)
    if number is None or choice is None:
        return
    if number < len(found) and choice < len(found[number]):
        cure = found[number][choice]
        desk.put(name, cure.text, f"cure: {cure.words}"[:80])


def cures_of(texts: Texts, name: str) -> list[tuple[Cure, ...]]:
    """The cures of the faults of a file."""
    text = texts.get(name)
    if text is None:
        return []

    def read(changed: str) -> tuple[Fault, ...]:
        return file_of(see({**texts, name: changed}), name).faults

    return cures(text, read(text), read)


def _set(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    name, ident, typed = [*rest.split(":", 2), "", "", ""][:3]
    seen = see(desk.texts)
    where, own = _field(ident, seen)
    if own is None or where != name:
        return
    text = ready(desk.texts.get(name), file_of(seen, name), name, outcome)
    path = _next(own.path, file_of(seen, name))
    made = with_value(text, path, literal(own.kind, typed), NAMES[name])
    desk.put(name, made, f"{own.label} {typed}"[:80])


def _got(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    """Gears that were to be got have come: they are owned from now on."""
    seen = see(desk.texts)
    _, own = _field("gears.owned", seen)
    come = [teeth for teeth in rest.split(",") if counted(teeth) is not None]
    if own is None or not come:
        return
    owned = shown(own.kind, seen.lathe_file.typed(own.path))
    text = ready(desk.texts.get(LATHE), seen.lathe_file, LATHE, outcome)
    made = with_value(text, own.path, literal(own.kind, ", ".join((owned, *come))), NAMES[LATHE])
    desk.put(LATHE, made, f"{', '.join(come)} among the gears owned"[:80])


def _undo(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    if done := desk.undo():
        outcome.notes.append(f"Taken back: {done.what}.")


def _redo(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    if done := desk.redo():
        outcome.notes.append(f"Done again: {done.what}.")


def _offers(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    if rest == "every":
        desk.put(OFFERS, None, "every count can be had")
        return
    text = form.get("a:offers", [""])[0].replace("\r\n", "\n")
    if text.strip():
        desk.put(OFFERS, text.rstrip("\n") + "\n", "a price list")


def _whole(desk: Desk, form: Mapping[str, list[str]], rest: str, outcome: Outcome) -> None:
    if rest not in NAMES:
        return
    if digest(desk.texts.get(rest)) != form.get("a:digest", [""])[0]:
        outcome.notes.append(
            f"{NAMES[rest]} was changed elsewhere in the meantime, and is shown as it is now; what "
            "you had typed was not written."
        )
        return
    text = form.get("a:text", [""])[0].replace("\r\n", "\n")
    desk.put(rest, text if text.strip() else None, f"{NAMES[rest]} edited")


_Button = Callable[[Desk, Mapping[str, list[str]], str, Outcome], None]

_BUTTONS: dict[str, _Button] = {
    "pattern": _pattern,
    "sample": _sample,
    "remove": _remove,
    "cure": _cure,
    "set": _set,
    "got": _got,
    "undo": _undo,
    "redo": _redo,
    "add": add,
    "ticks": tick,
    "offers": _offers,
    "whole": _whole,
}
