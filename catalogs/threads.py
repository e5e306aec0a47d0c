"""The thread catalogs: series of sizes, and the size meant by what a person writes."""

from __future__ import annotations

from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from gearchest.catalogs.cures import cure, either, nearest
from gearchest.catalogs.pairs import thread_of
from gearchest.catalogs.spelling import Spelling, spell
from gearchest.catalogs.thread_files import Entry, Series, load
from gearchest.optimizer.domain.thread import Thread, variant

_MOST_STARTS = 100


class UnknownSize(ValueError):  # noqa: N818 -- says more than an ending in Error
    """A written size that no catalog has, or that could be several of them.

    `text` as typed; `nearest` the names to choose from, nearest first; `cure` what to write.
    """

    def __init__(self, problem: str, text: str, nearest: tuple[str, ...], cure: str) -> None:
        super().__init__(problem)
        self.text = text
        self.nearest = nearest
        self.cure = cure


class UnknownSeries(ValueError):  # noqa: N818 -- likewise
    """A series that does not exist, or a `from`/`to` that is not in it."""

    def __init__(self, problem: str, text: str, nearest: tuple[str, ...]) -> None:
        super().__init__(problem)
        self.text = text
        self.nearest = nearest


def find_size(text: str) -> Thread:
    """The thread of a size however it is written; raises UnknownSize.

    >>> find_size("m10 x 1.25").name, find_size('1/2" whit').name, find_size("Tr40x14 P7").name
    ('M10x1.25', '1/2 BSW', 'Tr40x7 2 starts')
    """
    spelling = spell(text)
    found = _meant(spelling)
    if not found and (pair := thread_of(spelling)):
        found = (pair,)
    if len(found) != 1:
        raise _unknown(text, spelling, found)
    if spelling.starts == 1 and not spelling.left:
        return found[0]
    if spelling.starts.denominator != 1 or not 1 <= spelling.starts <= _MOST_STARTS:
        problem = f'the lead in "{text}" is not a whole number of pitches'
        raise UnknownSize(problem, text, (found[0].name,), "check the lead and the pitch")
    return variant(found[0], starts=int(spelling.starts), left=spelling.left)


def _meant(spelling: Spelling) -> tuple[Thread, ...]:
    """The threads a spelling can mean: none, one, or several to choose from."""
    index = _index()
    keys = [key for turned in spelling.turned for key in (turned, turned.replace("#", ""))]
    found = next((index[key] for key in keys if key in index), ())
    if spelling.inches:
        found = tuple(thread for thread in found if not thread.name.startswith("#"))
    if spelling.metric:
        found = tuple(thread for thread in found if not thread.pitch.inch)
    bare = not spelling.words and not {"in", "tpi"} & set(spelling.units)
    if not found and bare and len(spelling.numbers) == 2:
        # 10x1.5 without its letter
        found = sum((index.get(f"{letter}{spelling.key}", ()) for letter in ("m", "tr")), ())
    return found


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
        near = nearest(text, spell(text), entries)
        raise UnknownSeries(f'"{text}" is not in the series {name}', text, near)
    return alone


def _starts_with(entry: Entry, words: str, numbers: str) -> bool:
    """Whether the entry's name begins with this diameter, and with these words if any."""
    its_words, _, its_numbers = spell(entry.thread.name).key.partition(":")
    same_diameter = its_numbers.split("x")[0].lstrip("#") == numbers.lstrip("#")
    return same_diameter and words in ("", its_words)


def _unknown(text: str, spelling: Spelling, candidates: tuple[Thread, ...]) -> UnknownSize:
    if candidates:
        names = tuple(thread.name for thread in candidates)
        return UnknownSize(f'"{text}" could be more than one size', text, names, either(names))
    near = nearest(text, spelling, _entries())
    problem = f'"{text}" is not in the thread catalogs'
    return UnknownSize(problem, text, near, cure(spelling, near, _index()))


@cache
def _entries() -> tuple[Entry, ...]:
    return tuple(entry for catalog in all_series() for entry in catalog.entries)


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


def _bare(name: str) -> str:
    return "".join(char for char in name.lower() if char.isalnum())
