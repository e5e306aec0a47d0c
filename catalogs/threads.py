"""The thread catalogs: series of sizes, and the size meant by what a person writes."""

from __future__ import annotations

from collections.abc import Callable
from difflib import get_close_matches
from functools import cache, cached_property
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
    Both are looked for when they are asked for: that takes longer than all else.
    """

    def __init__(
        self, problem: str, text: str, look: Callable[[], tuple[tuple[str, ...], str]]
    ) -> None:
        super().__init__(problem)
        self.text = text
        self._look = look

    @cached_property
    def _found(self) -> tuple[tuple[str, ...], str]:
        return self._look()

    @property
    def nearest(self) -> tuple[str, ...]:
        """Names to choose from, nearest first."""
        return self._found[0]

    @property
    def cure(self) -> str:
        """What to write instead."""
        return self._found[1]


class UnknownSeries(ValueError):  # noqa: N818 -- likewise
    """A series that does not exist, or a `from`/`to` that is not in it; as above."""

    def __init__(self, problem: str, text: str, look: Callable[[], tuple[str, ...]]) -> None:
        super().__init__(problem)
        self.text = text
        self._look = look

    @cached_property
    def nearest(self) -> tuple[str, ...]:
        """Names to choose from, nearest first."""
        return self._look()


def find_size(text: str) -> Thread:
    """The thread of a size however it is written; raises UnknownSize.

    >>> find_size("m10 x 1.25").name, find_size('1/2" whit').name, find_size("Tr40x14 P7").name
    ('M10x1.25', '1/2 BSW', 'Tr40x14 P7')
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
        names = (found[0].name,)
        raise UnknownSize(problem, text, lambda: (names, "check the lead and the pitch"))
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
    raise UnknownSeries(f'there is no thread series "{name}"', name, lambda: _like(wanted))


def _like(bare: str) -> tuple[str, ...]:
    """The names of series most like this one; all where none is."""
    near = get_close_matches(bare, [_bare(known) for known in _catalogs()], 3, 0.3)
    found = tuple(known for close in near for known in _catalogs() if _bare(known) == close)
    return found or series_names()


def sizes(name: str, first: str | None = None, last: str | None = None) -> tuple[Thread, ...]:
    """The threads of a series from `first` to `last`, both included, in the file's order.

    A diameter alone (`1/4`, `M3`) starts or ends the range too. Raises UnknownSeries.
    """
    threads = [entry.thread for entry in series(name).entries]
    start = 0 if first is None else min(_places(name, first))
    end = len(threads) - 1 if last is None else max(_places(name, last))
    if start > end:
        problem = f'"{first}" comes after "{last}" in {name}'
        ends = (threads[end].name, threads[start].name)
        raise UnknownSeries(problem, str(first), lambda: ends)
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
        raise UnknownSeries(
            f'"{text}" is not in the series {name}', text,
            lambda: nearest(text, spell(text), entries),
        )  # fmt: skip
    return alone


def _starts_with(entry: Entry, words: str, numbers: str) -> bool:
    """Whether the entry's name begins with this diameter, and with these words if any."""
    its_words, _, its_numbers = _spelt(entry.thread.name).key.partition(":")
    same_diameter = its_numbers.split("x")[0].lstrip("#") == numbers.lstrip("#")
    return same_diameter and words in ("", its_words)


@cache
def _spelt(name: str) -> Spelling:
    """The spelling of a catalog's own name."""
    return spell(name)


def _unknown(text: str, spelling: Spelling, candidates: tuple[Thread, ...]) -> UnknownSize:
    if candidates:
        names = tuple(thread.name for thread in candidates)
        problem = f'"{text}" could be more than one size'
        return UnknownSize(problem, text, lambda: (names, either(names)))

    def look() -> tuple[tuple[str, ...], str]:
        near = nearest(text, spelling, _entries())
        return near, cure(spelling, near, _index())

    return UnknownSize(f'"{text}" is not in the thread catalogs', text, look)


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
