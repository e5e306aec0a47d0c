"""The files of the thread catalogs: one CSV a series, read and checked.

Lines at the head, `# key: value`, hold for the whole series:
`title`, `order` (of listing, and of precedence where two series share a spelling), `form` and
`standard` (see gearchest.optimizer.threads, forms and tolerances), `use` (where not a fastener),
`name` (how a row is called), `written` (other ways to write it, separated by semicolons), `met`
(how often its threads are met beside those of other series: 1 unless said; common practice, no
source), `source`, `note`. Each row gives `size`, at most one diameter (`d_mm`, `d_in`) and one
pitch (`pitch_mm`, `tpi`, `module`, `dp`); it may give its own `form`, `standard`, `label`, `also`
(more spellings), `status` and `source`, and, where practice is a range, `d_from_in`, `d_to_in`,
`tpi_from`, `tpi_to`.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, field
from fractions import Fraction
from importlib.resources.abc import Traversable

from gearchest.catalogs.spelling import spell
from gearchest.optimizer.domain.notation import NotationError, parse_ratio
from gearchest.optimizer.domain.pitch import MM_PER_INCH, Pitch, mm, tpi
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.domain.want import Use
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.tolerances import RULES, UNRULED

_HEAD = {"title", "order", "form", "standard", "name", "source"}
_MORE_HEAD = {"written", "met", "note", "use"}
_COLUMNS = {
    "size", "d_mm", "d_in", "pitch_mm", "tpi", "module", "dp", "form", "standard", "label",
    "also", "status", "source", "d_from_in", "d_to_in", "tpi_from", "tpi_to",
}  # fmt: skip


class CatalogError(ValueError):
    """A catalog file that does not hold what it must: file, line, value."""


@dataclass(frozen=True)
class Entry:
    """One row. Where no standard fixes the pitch, `practice` describes the range, `pitches` and
    `diameters` are its ends in mm, least first."""

    thread: Thread
    spellings: frozenset[str]
    status: str = ""
    source: str = ""
    practice: str = ""
    pitches: tuple[float, float] | None = None
    diameters: tuple[float, float] | None = None


@dataclass(frozen=True)
class Series:
    """One catalog, in the order of its file; `met` > 0: how often its threads are met."""

    name: str
    title: str
    order: int
    source: str
    entries: tuple[Entry, ...] = field(repr=False)
    notes: tuple[str, ...] = ()
    met: float = 1.0


def load(file: Traversable) -> Series:
    """Read one catalog file and check it; raises CatalogError."""
    lines = file.read_text(encoding="utf-8").splitlines()
    count = next((i for i, line in enumerate(lines) if not line.startswith("#")), len(lines))
    head, notes = _read_head(file.name, lines[:count])
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
        name, head["title"], int(head["order"]), head["source"], tuple(entries), notes,
        float(_number(head.get("met", "1"))),
    )  # fmt: skip


def _read_head(file: str, lines: list[str]) -> tuple[dict[str, str], tuple[str, ...]]:
    """The head's values by key, and its notes."""
    head: dict[str, str] = {}
    notes = []
    for number, line in enumerate(lines, start=1):
        key, colon, value = (part.strip() for part in line.removeprefix("#").partition(":"))
        if not colon or key not in _HEAD | _MORE_HEAD:
            raise CatalogError(f"{file}, line {number}: unknown head line {line!r}")
        if key == "note":
            notes.append(value)
        else:
            head[key] = value
    if missing := _HEAD - head.keys():
        raise CatalogError(f"{file}: the head lacks {', '.join(sorted(missing))}")
    return head, tuple(notes)


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
        row.get("source") or head["source"], _practice(row), *_ranges(row),
    )  # fmt: skip


def _check_names(thread: Thread) -> None:
    if thread.form not in FORMS:
        raise ValueError(f"unknown form {thread.form!r}")
    if thread.standard and thread.standard not in {*RULES, *UNRULED}:
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
            return Pitch(MM_PER_INCH / number, pi=True, written=f"{row['dp']} dp", inch=True)


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
    return f"{pitches} tpi, {row['d_from_in']} to {row['d_to_in']} in"


def _ranges(
    row: dict[str, str],
) -> tuple[tuple[float, float] | None, tuple[float, float] | None]:
    """The pitches and the diameters in use, mm; None where a standard fixes them."""
    if not row.get("tpi_from"):
        return None, None
    fine, coarse = (float(MM_PER_INCH / _number(row[key])) for key in ("tpi_to", "tpi_from"))
    least, most = (float(MM_PER_INCH * _number(row[key])) for key in ("d_from_in", "d_to_in"))
    return (fine, coarse), (least, most)


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
