"""The thread catalogs: series of sizes, and the size meant by what a person writes.

One CSV a series in `series/`. Lines at the head, `# key: value`, hold for the whole series:
`title`, `order` (of listing, and of precedence where two series share a spelling), `form` and
`standard` (see gearchest.optimizer.forms and .tolerances), `use` (where not a fastener),
`name` (how a row is called), `written` (other ways to write it, separated by semicolons),
`source`, `note`. Each row gives `size`, at most one diameter (`d_mm`, `d_in`) and one pitch
(`pitch_mm`, `tpi`, `module`, `dp`); it may give its own `form`, `standard`, `label`, `also`
(more spellings), `status` and `source`, and, where practice is a range, `d_from_in`,
`d_to_in`, `tpi_from`, `tpi_to`.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, field, replace
from difflib import SequenceMatcher, get_close_matches
from fractions import Fraction
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from gearchest.catalogs.spelling import name_of, spell
from gearchest.optimizer.forms import FORMS
from gearchest.optimizer.notation import NotationError, parse_ratio
from gearchest.optimizer.pitch import MM_PER_INCH, Pitch, mm, tpi
from gearchest.optimizer.thread import Thread
from gearchest.optimizer.tolerances import RULES
from gearchest.optimizer.want import Use

_HEAD = {"title", "order", "form", "standard", "name", "source"}
_MORE_HEAD = {"written", "note", "use"}
_COLUMNS = {
    "size", "d_mm", "d_in", "pitch_mm", "tpi", "module", "dp", "form", "standard", "label",
    "also", "status", "source", "d_from_in", "d_to_in", "tpi_from", "tpi_to",
}  # fmt: skip
_MOST_STARTS = 100
_MOST_NEAREST = 5


class CatalogError(ValueError):
    """A catalog file that does not hold what it must: file, line, value."""


class UnknownSize(ValueError):  # noqa: N818 -- a name other modules rely on
    """A written size that no catalog has, or that could be several of them.

    `text` as typed; `nearest` the names to choose from, nearest first.
    """

    def __init__(self, problem: str, text: str, nearest: tuple[str, ...]) -> None:
        super().__init__(problem)
        self.text = text
        self.nearest = nearest


class UnknownSeries(ValueError):  # noqa: N818 -- as above
    """A series that does not exist, or a `from`/`to` that is not in it."""

    def __init__(self, problem: str, text: str, nearest: tuple[str, ...]) -> None:
        super().__init__(problem)
        self.text = text
        self.nearest = nearest


@dataclass(frozen=True)
class Entry:
    """One row. `practice` describes the range where no standard fixes the pitch."""

    thread: Thread
    spellings: frozenset[str]
    status: str = ""
    source: str = ""
    practice: str = ""


@dataclass(frozen=True)
class Series:
    """One catalog, in the order of its file."""

    name: str
    title: str
    order: int
    source: str
    entries: tuple[Entry, ...] = field(repr=False)
    notes: tuple[str, ...] = ()


def find_size(text: str) -> Thread:
    """The thread of a size however it is written; raises UnknownSize.

    >>> find_size("m10 x 1.25").name, find_size('1/2" whit').name, find_size("Tr40x14 P7").name
    ('M10x1.25', '1/2 BSW', 'Tr40x7 2 starts')
    """
    spelling = spell(text)
    found = _index().get(spelling.key, ())
    if spelling.inches:
        found = tuple(thread for thread in found if not thread.name.startswith("#"))
    if len(found) != 1:
        raise _unknown(text, tuple(thread.name for thread in found))
    if spelling.starts == 1 and not spelling.left:
        return found[0]
    if spelling.starts.denominator != 1 or not 1 <= spelling.starts <= _MOST_STARTS:
        problem = f'the lead in "{text}" is not a whole number of pitches'
        raise UnknownSize(problem, text, (found[0].name,))
    pitch = _with_starts(found[0].pitch, int(spelling.starts))
    name = name_of(found[0].name, pitch, spelling.left)
    return replace(found[0], name=name, pitch=pitch, left=spelling.left)


def series_names() -> tuple[str, ...]:
    """The names of all catalogs, in the order of listing."""
    return tuple(_catalogs())


def all_series() -> tuple[Series, ...]:
    """All catalogs, in the order of listing."""
    return tuple(_catalogs().values())


def series(name: str) -> Series:
    """One catalog; case, spaces and hyphens in its name do not matter. Raises UnknownSeries."""
    wanted = _bare(name)
    for known, catalog in _catalogs().items():
        if wanted == _bare(known):
            return catalog
    near = get_close_matches(wanted, [_bare(known) for known in _catalogs()], 3, 0.3)
    nearest = tuple(known for close in near for known in _catalogs() if _bare(known) == close)
    raise UnknownSeries(f'there is no thread series "{name}"', name, nearest or series_names())


def sizes(name: str, first: str | None = None, last: str | None = None) -> tuple[Thread, ...]:
    """The threads of a series from `first` to `last`, both included, in the file's order.

    A diameter alone (`1/4`, `M3`) starts or ends the range too. Raises UnknownSeries.
    """
    threads = [entry.thread for entry in series(name).entries]
    start = 0 if first is None else min(_places(name, first))
    end = len(threads) - 1 if last is None else max(_places(name, last))
    if start > end:
        problem = f'"{first}" comes after "{last}" in {name}'
        raise UnknownSeries(problem, str(first), (threads[end].name, threads[start].name))
    return tuple(threads[start : end + 1])


def _places(name: str, text: str) -> list[int]:
    """Where a size stands in a series; several places where the text is a diameter alone."""
    entries = series(name).entries
    key = spell(text).key
    if places := [i for i, entry in enumerate(entries) if key in entry.spellings]:
        return places
    words, _, numbers = key.partition(":")
    alone = [i for i, entry in enumerate(entries) if _starts_with(entry, words, numbers)]
    if not alone:
        near = get_close_matches(text.lower(), [e.thread.name.lower() for e in entries], 3, 0.3)
        names = tuple(entry.thread.name for entry in entries if entry.thread.name.lower() in near)
        raise UnknownSeries(
            f'"{text}" is not in the series {name}', text,
            names or (entries[0].thread.name, entries[-1].thread.name),
        )  # fmt: skip
    return alone


def _starts_with(entry: Entry, words: str, numbers: str) -> bool:
    """Whether the entry's name begins with this diameter, and with these words if any."""
    its_words, _, its_numbers = spell(entry.thread.name).key.partition(":")
    same_diameter = its_numbers.split("-")[0].lstrip("#") == numbers.lstrip("#")
    return same_diameter and words in ("", its_words)


def _unknown(text: str, candidates: tuple[str, ...]) -> UnknownSize:
    if candidates:
        return UnknownSize(f'"{text}" could be more than one size', text, candidates)
    return UnknownSize(f'"{text}" is not in the thread catalogs', text, _nearest(text))


def _nearest(text: str) -> tuple[str, ...]:
    """Names most like a written size: same numbers, same diameter, same words, then letters."""
    words, _, numbers = spell(text).key.partition(":")
    diameter = numbers.split("-")[0]

    def likeness(entry: Entry) -> float:
        name = entry.thread.name
        parts = [key.partition(":") for key in entry.spellings]
        score = SequenceMatcher(None, text.lower(), name.lower()).ratio()
        score += 0.5 * any(diameter == its.split("-")[0] for _, _, its in parts)
        score += 0.5 * any(words == its for its, _, _ in parts)
        return round(score + any("-" in numbers == its for _, _, its in parts), 1)

    entries = [entry for catalog in all_series() for entry in catalog.entries]
    ranked = sorted(entries, key=likeness, reverse=True)
    return tuple(dict.fromkeys(entry.thread.name for entry in ranked))[:_MOST_NEAREST]


@cache
def _index() -> dict[str, tuple[Thread, ...]]:
    """Every spelling and the thread it means; several only where one series is ambiguous."""
    index: dict[str, tuple[Thread, ...]] = {}
    for catalog in all_series():
        for entry in catalog.entries:
            for spelling in entry.spellings:
                held = index.setdefault(spelling, (entry.thread,))
                if held[0].series == catalog.name and entry.thread not in held:
                    index[spelling] = (*held, entry.thread)
    return index


@cache
def _catalogs() -> dict[str, Series]:
    folder = files("gearchest.catalogs") / "series"
    loaded = [load(file) for file in folder.iterdir() if file.name.endswith(".csv")]
    return {catalog.name: catalog for catalog in sorted(loaded, key=lambda each: each.order)}


def load(file: Traversable) -> Series:
    """Read one catalog file and check it; raises CatalogError."""
    head: dict[str, str] = {}
    notes: list[str] = []
    lines = file.read_text(encoding="utf-8").splitlines()
    count = next((i for i, line in enumerate(lines) if not line.startswith("#")), len(lines))
    for number, line in enumerate(lines[:count], start=1):
        key, colon, value = line.removeprefix("#").partition(":")
        if not colon or key.strip() not in _HEAD | _MORE_HEAD:
            raise CatalogError(f"{file.name}, line {number}: unknown head line {line!r}")
        if key.strip() == "note":
            notes.append(value.strip())
        else:
            head[key.strip()] = value.strip()
    if missing := _HEAD - head.keys():
        raise CatalogError(f"{file.name}: the head lacks {', '.join(sorted(missing))}")
    name = file.name.removesuffix(".csv")
    table = csv.DictReader(lines[count:])
    if unknown := set(table.fieldnames or ()) - _COLUMNS:
        raise CatalogError(f"{file.name}: unknown columns {', '.join(sorted(unknown))}")
    entries = []
    for row in table:
        line = count + table.line_num
        if None in row or None in row.values():
            raise CatalogError(f"{file.name}, line {line}: the row does not fit the columns")
        try:
            entries.append(_entry(name, head, row))
        except (ValueError, KeyError) as error:
            raise CatalogError(f"{file.name}, line {line}: {error}") from error
    _check_rows(file.name, entries)
    return Series(
        name, head["title"], int(head["order"]), head["source"], tuple(entries), tuple(notes)
    )


def _entry(series_name: str, head: dict[str, str], row: dict[str, str]) -> Entry:
    number = row["size"].lstrip("#")
    values = {
        **row, "number": number,
        "pitch": row.get("pitch_mm", ""), "label": row.get("label", ""),
    }  # fmt: skip
    name = head["name"].format(**values)
    templates = [t.strip() for t in head.get("written", "").split(";") if t.strip()]
    also = [text.strip() for text in row.get("also", "").split(";") if text.strip()]
    written = [name, *(template.format(**values) for template in templates), *also]
    thread = Thread(
        name=name,
        pitch=_pitch(row),
        major_mm=_diameter(row),
        form=row.get("form") or head["form"],
        series=series_name,
        standard=row.get("standard") or head["standard"],
        use=Use(head["use"]) if "use" in head else "",
    )
    _check_names(thread)
    return Entry(
        thread, frozenset(spell(text).key for text in written), row.get("status", ""),
        row.get("source") or head["source"], _practice(row),
    )  # fmt: skip


def _check_names(thread: Thread) -> None:
    if thread.form not in FORMS:
        raise ValueError(f"unknown form {thread.form!r}")
    if thread.standard and thread.standard not in RULES:
        raise ValueError(f"unknown standard {thread.standard!r}")


def _pitch(row: dict[str, str]) -> Pitch:
    given = [unit for unit in ("pitch_mm", "tpi", "module", "dp") if row.get(unit)]
    if len(given) != 1:
        raise ValueError(f"one pitch is needed, not {len(given)}")
    number = _number(row[given[0]])
    match given[0]:
        case "pitch_mm":
            return mm(number)
        case "tpi":
            return tpi(number)
        case "module":
            return Pitch(number, pi=True, written=f"{row['module']} module")
        case _:
            return Pitch(MM_PER_INCH / number, pi=True, written=f"{row['dp']} dp")


def _diameter(row: dict[str, str]) -> Fraction | None:
    if row.get("d_mm") and row.get("d_in"):
        raise ValueError("two diameters")
    if row.get("d_in"):
        return _number(row["d_in"]) * MM_PER_INCH
    return _number(row["d_mm"]) if row.get("d_mm") else None


def _practice(row: dict[str, str]) -> str:
    if not row.get("tpi_from"):
        return ""
    if not _number(row["tpi_from"]) <= _number(row["tpi"]) <= _number(row["tpi_to"]):
        raise ValueError("the usual pitch lies outside its range")
    if not _number(row["d_from_in"]) <= _number(row["d_in"]) <= _number(row["d_to_in"]):
        raise ValueError("the usual diameter lies outside its range")
    pitches = (
        row["tpi_from"] if row["tpi_from"] == row["tpi_to"]
        else f"{row['tpi_from']} to {row['tpi_to']}"
    )  # fmt: skip
    return f"{pitches} tpi on {row['d_from_in']} to {row['d_to_in']} in"


def _check_rows(file: str, entries: list[Entry]) -> None:
    if not entries:
        raise CatalogError(f"{file}: no rows")
    names = [entry.thread.name for entry in entries]
    if twice := {name for name in names if names.count(name) > 1}:
        raise CatalogError(f"{file}: {', '.join(sorted(twice))} stands twice")


def _number(text: str) -> Fraction:
    try:
        return parse_ratio(text)
    except NotationError as error:
        raise ValueError(f"{text!r}: {error.problem}") from None


def _with_starts(pitch: Pitch, starts: int) -> Pitch:
    if starts == 1:
        return pitch
    return replace(pitch, starts=starts, written=f"{starts} starts of {pitch}")


def _bare(name: str) -> str:
    return "".join(char for char in name.lower() if char.isalnum())
