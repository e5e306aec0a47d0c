"""Where options and settled wants come from: found afresh, or known from before.

What was found for a pitch holds as long as the lathe, its gears and the pitch stand, whatever else
of the question changes.
"""

from __future__ import annotations

from collections import Counter, OrderedDict
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, Protocol

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Bed, Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.domain.workshop import Workshop
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.costs import DEMERITS
from gearchest.optimizer.search.options import OptionTable, WantOptions
from gearchest.optimizer.search.result import WantStep
from gearchest.optimizer.search.search import Candidates, find_options, search_key
from gearchest.optimizer.search.settle import Settler

MOST_TABLES = 8
"""Lathes and sets of candidates for which options are kept."""

MOST_SETTLED = 40
"""Lathes with added gears for which settled wants are kept."""

MOST_OPTIONS = 1_000_000
"""Options kept in all, of some hundred bytes each."""


class Settles(Protocol):
    """Answers for want after want with each of some sets of gears added."""

    def settle(self, want: Want) -> list[WantStep]:
        """By set, the want's verdict and the train to set up."""


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

    def settler(
        self, lathe: Lathe, sets: Sequence[Sequence[Gear]], first: tuple[str, ...] = (DEMERITS,)
    ) -> Settles:
        """As `Settler`."""
        return Settler(lathe, sets, first)


AFRESH = Finder()


class Remembering(Finder):
    """Finds each thing once, and lets go of what was asked longest ago. `ask` is called between
    wants, and may end the work by what it raises."""

    def __init__(self) -> None:
        self.ask: Ask = go_on
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

    def settler(
        self, lathe: Lathe, sets: Sequence[Sequence[Gear]], first: tuple[str, ...] = (DEMERITS,)
    ) -> Settles:
        """As `Settler`; settles each want once with each set."""
        plain, known = _plain(lathe), []
        for added in sets:
            about = plain, frozenset(Counter(added).items()), first
            known.append(self._settled.setdefault(about, {}))
            self._settled.move_to_end(about)
        while len(self._settled) > MOST_SETTLED:
            self._settled.popitem(last=False)
        return _Knowing(lathe, sets, first, known, self)

    def _too_many(self) -> bool:
        every = (one for _, known in self._tables.values() for one in known.values())
        return sum(map(len, every)) > MOST_OPTIONS


class _Knowing:
    """Has settled some wants with some of the sets already: `known`, by set."""

    def __init__(
        self,
        lathe: Lathe,
        sets: Sequence[Sequence[Gear]],
        first: tuple[str, ...],
        known: Sequence[dict[Want, WantStep]],
        finder: Remembering,
    ) -> None:
        self._lathe, self._sets, self._first = lathe, sets, first
        self._finder = finder
        self._known = known
        self._settlers: dict[tuple[int, ...], Settler] = {}

    def settle(self, want: Want) -> list[WantStep]:
        self._finder.ask()
        plain = replace(want, name="", weight=Fraction(1), series="", series_title="")
        new = tuple(n for n, known in enumerate(self._known) if plain not in known)
        if new:
            if new not in self._settlers:
                sets = [self._sets[n] for n in new]
                self._settlers[new] = Settler(self._lathe, sets, self._first)
            for n, step in zip(new, self._settlers[new].settle(want), strict=True):
                self._known[n][plain] = step
        return [known[plain] for known in self._known]


def _plain(lathe: Lathe) -> Lathe:
    """The lathe without what no train depends on."""
    return replace(lathe, name="", bed=Bed(), workshop=Workshop(), dividing=(), thread_dials=())
