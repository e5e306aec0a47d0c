"""Where options and settled wants come from: found afresh, or known from before.

What was found for a pitch holds as long as the lathe, its gears and the pitch stand, whatever else
of the question changes.
"""

from __future__ import annotations

from collections import Counter, OrderedDict
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Bed, Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.domain.workshop import Workshop
from gearchest.optimizer.search.costs import DEMERITS
from gearchest.optimizer.search.options import OptionTable, WantOptions
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.result import WantStep
from gearchest.optimizer.search.search import Candidates, find_options, search_key

MOST_TABLES = 8
"""Lathes and sets of candidates for which options are kept."""

MOST_BENCHES = 40
"""Lathes with added gears for which settled wants are kept."""

MOST_OPTIONS = 1_000_000
"""Options kept in all, of some hundred bytes each."""


class Finder:
    """Finds everything afresh."""

    def find(
        self,
        lathe: Lathe,
        wants: Sequence[Want],
        candidates: Candidates,
        most_missing: int,
        **how: Any,
    ) -> OptionTable:
        """As `find_options`."""
        return find_options(lathe, wants, candidates, most_missing, **how)

    def bench(
        self, lathe: Lathe, added: Sequence[Gear] = (), first: tuple[str, ...] = (DEMERITS,)
    ) -> Bench:
        """As `Bench`."""
        return Bench(lathe, added, first)


AFRESH = Finder()


class Remembering(Finder):
    """Finds each thing once, and lets go of what was asked longest ago."""

    def __init__(self) -> None:
        self._tables: OrderedDict[Any, tuple[tuple[Gear, ...], dict[Any, WantOptions]]] = (
            OrderedDict()
        )
        self._settled: OrderedDict[Any, dict[Want, WantStep]] = OrderedDict()

    def find(
        self,
        lathe: Lathe,
        wants: Sequence[Want],
        candidates: Candidates,
        most_missing: int,
        **how: Any,
    ) -> OptionTable:
        """As `find_options`; looks only for wants not met before."""
        about = (_plain(lathe), tuple(candidates), most_missing, how.get("order"))
        kinds, known = self._tables.get(about, ((), {}))
        keys = [search_key(lathe, want) for want in wants]
        new = {key: want for key, want in zip(keys, wants, strict=True) if key not in known}
        if new or about not in self._tables:
            found = find_options(lathe, list(new.values()), candidates, most_missing, **how)
            if found.most_missing != most_missing:  # cut short, so not worth keeping
                return find_options(lathe, wants, candidates, most_missing, **how)
            kinds, known = found.candidates, dict(known)
            known |= zip(new, found.wants, strict=True)
            self._tables[about] = (kinds, known)
        self._tables.move_to_end(about)
        while len(self._tables) > 1 and (len(self._tables) > MOST_TABLES or self._too_many()):
            self._tables.popitem(last=False)
        return OptionTable(kinds, tuple(known[key] for key in keys), most_missing)

    def bench(
        self, lathe: Lathe, added: Sequence[Gear] = (), first: tuple[str, ...] = (DEMERITS,)
    ) -> Bench:
        """As `Bench`; settles each want once."""
        counted = frozenset(Counter(added).items())
        known = self._settled.setdefault((_plain(lathe), counted, first), {})
        self._settled.move_to_end((_plain(lathe), counted, first))
        while len(self._settled) > MOST_BENCHES:
            self._settled.popitem(last=False)
        return _KnowingBench(lathe, added, first, known)

    def _too_many(self) -> bool:
        every = (one for _, known in self._tables.values() for one in known.values())
        return sum(map(len, every)) > MOST_OPTIONS


class _KnowingBench(Bench):
    """A bench that has settled some wants already."""

    def __init__(
        self,
        lathe: Lathe,
        added: Sequence[Gear],
        first: tuple[str, ...],
        known: dict[Want, WantStep],
    ) -> None:
        super().__init__(lathe, added, first)
        self._known = known

    def settle(self, want: Want) -> WantStep:
        plain = replace(want, name="", weight=Fraction(1), series="", series_title="")
        if plain not in self._known:
            self._known[plain] = super().settle(want)
        return self._known[plain]


def _plain(lathe: Lathe) -> Lathe:
    """The lathe without what no train depends on."""
    return replace(lathe, name="", bed=Bed(), workshop=Workshop(), dividing=(), thread_dials=())
