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

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Bed, Lathe
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.domain.workshop import Workshop
from gearchest.optimizer.search.answers import answer
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.copies import Share, in_threads, in_turn
from gearchest.optimizer.search.costs import DEMERITS, PLANNED, to_set_up
from gearchest.optimizer.search.in_view import InView, in_view_of, without_error
from gearchest.optimizer.search.options import OptionTable, WantOptions
from gearchest.optimizer.search.result import Answer, WantStep
from gearchest.optimizer.search.search import WORKERS, Candidates, find_options, search_key
from gearchest.optimizer.search.settle import Settler

MOST_TABLES = 8
"""Lathes and sets of candidates for which options are kept."""

MOST_VIEWS = 6
"""Lathes and gears in view for which all options are kept."""

WIDE = 2
"""Missing gears from which on a search is made over all gears in view: it takes little longer."""

MOST_AHEAD = 400_000
"""Options of a lathe beyond which none are looked for before they are asked."""

MOST_SETTLED = 40
"""Lathes with added gears for which settled wants are kept."""

MOST_STEPS = 40_000
"""Wants settled with some gears that are kept, of some kilobytes each."""

MOST_OPTIONS = 1_000_000
"""Options kept in all, of some fifty bytes each; of the last questions more (`in_view`)."""


class Settles(Protocol):
    """Answers for want after want with each of some sets of gears added."""

    def settle(self, want: Want) -> list[WantStep]:
        """By set, the want's verdict and the train to set up."""


class Finder:
    """Finds everything afresh; `share`: how the search is shared out, `settling`: how the wants
    that a settler is asked about are, which two threads can't ask at once."""

    def __init__(self, share: Share = in_threads, settling: Share = in_turn) -> None:
        self.share, self.settling = share, settling

    def find(
        self,
        lathe: Lathe,
        wants: Sequence[Want],
        candidates: Candidates,
        most_missing: int,
        **how: Any,
    ) -> OptionTable:
        """As `find_options`."""
        return find_options(lathe, wants, candidates, most_missing, share=self.share, **how)

    def settler(
        self,
        lathe: Lathe,
        sets: Sequence[Sequence[Gear]],
        first: tuple[str, ...] = (DEMERITS,),
        ask: Ask = go_on,
    ) -> Settles:
        """As `Settler`."""
        return Settler(lathe, sets, first, ask)


AFRESH = Finder()


class Remembering(Finder):
    """Finds each thing once, and lets go of what was asked longest ago. `ask` is called between
    wants, and may end the work by what it raises."""

    def __init__(self) -> None:
        super().__init__()
        self.ask: Ask = go_on
        self._views: OrderedDict[Any, InView] = OrderedDict()
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
        """As `find_options`; looks only for wants not met before, and where the trains looked for
        may lack several gears, over all in view at once: whichever of them are owned next."""
        about = (_plain(lathe), tuple(candidates), most_missing, how.get("order"))
        kinds, known = self._tables.get(about, ((), {}))
        keys = [search_key(lathe, want) for want in wants]
        new = {key: want for key, want in zip(keys, wants, strict=True) if key not in known}
        if new or about not in self._tables:
            some = list(new.values())
            found = self._from_view(lathe, some, candidates, most_missing, how)
            found = found or find_options(lathe, some, candidates, most_missing, **how)
            kinds, known = found.candidates, dict(known)
            known |= zip(new, found.wants, strict=True)
            if found.most_missing != most_missing:  # cut short, so not worth keeping
                return OptionTable(kinds, tuple(known[key] for key in keys), found.most_missing)
            self._tables[about] = (kinds, known)
        self._tables.move_to_end(about)
        self._forget()
        return OptionTable(kinds, tuple(known[key] for key in keys), most_missing)

    def _from_view(
        self,
        lathe: Lathe,
        wants: Sequence[Want],
        candidates: Candidates,
        most_missing: int,
        how: dict[str, Any],
    ) -> OptionTable | None:
        """As `find_options`, out of what is known of all gears in view, which is looked for where
        that takes little longer; None where it would."""
        if (known_view := self._view(lathe, candidates, how.get("order", PLANNED))) is None:
            return None
        (view, owned), ask = known_view, how.get("ask", go_on)
        if most_missing >= WIDE:
            view.look(wants, ask, find_options, how.get("workers", WORKERS))
        if not view.knows(wants):
            return None
        return view.table(owned, wants, candidates, most_missing, ask)

    def settler(
        self,
        lathe: Lathe,
        sets: Sequence[Sequence[Gear]],
        first: tuple[str, ...] = (DEMERITS,),
        ask: Ask = go_on,
    ) -> Settles:
        """As `Settler`; settles each want once with each set."""
        plain, known = _plain(lathe), []
        for added in sets:
            about = plain, frozenset(Counter(added).items()), first
            known.append(self._settled.setdefault(about, {}))
            self._settled.move_to_end(about)
        steps = sum(map(len, self._settled.values()))
        while len(self._settled) > MOST_SETTLED or steps > MOST_STEPS:
            steps -= len(self._settled.popitem(last=False)[1])
        return _Knowing(lathe, sets, first, known, self, ask)

    def ahead(
        self,
        lathe: Lathe,
        wants: Sequence[Want],
        candidates: Candidates,
        order: tuple[str, ...],
        ask: Ask = go_on,
        workers: int = WORKERS,
    ) -> None:
        """Look now for what a change of the gears will ask, where that does not take long."""
        known_view = self._view(lathe, candidates, order)
        if known_view and self._options_beside(known_view[0]) <= MOST_AHEAD:
            known_view[0].look(wants, ask, find_options, workers)
            self._forget()

    def knowing(
        self, lathe: Lathe, sets: Sequence[Sequence[Gear]], order: tuple[str, ...]
    ) -> tuple[InView, Counter[Gear]] | None:
        """The view from before that holds the lathe's gears and all of some sets; and those of
        the lathe of which it minds how many there are."""
        every = {gear: None for added in sets for gear in added}
        made = in_view_of(_plain(lathe), list(every.items()), order)
        if made is None:
            return None
        about = made[0].bare, order, frozenset(made[0].gears)
        for name, known in reversed(self._views.items()):
            if name[:2] == about[:2] and name[2] >= about[2]:
                return known, made[1]
        return None

    def _view(
        self, lathe: Lathe, candidates: Candidates, order: tuple[str, ...]
    ) -> tuple[InView, Counter[Gear]] | None:
        """The view that holds all gears of a question: one from before where it does."""
        made = in_view_of(_plain(lathe), candidates, order)
        if made is None:
            return None
        view, owned = made
        for name, known in reversed(self._views.items()):
            if name[:2] == (view.bare, order) and name[2].issuperset(view.gears):
                self._views.move_to_end(name)
                return known, owned
        self._views[view.bare, order, frozenset(view.gears)] = view
        return view, owned

    def _options_beside(self, view: InView) -> int:
        """Options known of its lathe in another order of costs."""
        others = [
            other.known
            for other in self._views.values()
            if other.bare == view.bare and other.order != view.order
        ]
        return sum(len(one) for known in others for one in known.values())

    def _forget(self) -> None:
        """Let go of what was asked longest ago, where there is too much."""
        while len(self._tables) > 1 and len(self._tables) > MOST_TABLES:
            self._tables.popitem(last=False)
        while len(self._views) > 1 and len(self._views) > MOST_VIEWS:
            self._views.popitem(last=False)
        while self._too_many() and len(self._tables) + len(self._views) > 2:
            (self._tables if self._tables else self._views).popitem(last=False)
        for view in self._views.values():
            view.forget()

    def _too_many(self) -> bool:
        tables = [known for _, known in self._tables.values()]
        views = [view.known for view in self._views.values()]
        every = (one for known in (*tables, *views) for one in known.values())
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
        ask: Ask,
    ) -> None:
        self._lathe, self._sets, self._first = lathe, sets, first
        self._finder, self._ask = finder, ask
        self._known = known
        self._view = finder.knowing(lathe, sets, to_set_up(first))
        self._owned = owned_gears(lathe)
        self._settlers: dict[tuple[int, ...], Settler] = {}

    def settle(self, want: Want) -> list[WantStep]:
        self._finder.ask()
        plain = replace(want, name="", weight=Fraction(1), series="", series_title="")
        new = [n for n, known in enumerate(self._known) if plain not in known]
        exact = without_error(self._lathe, want)
        seen = self._view is not None and self._view[0].knows([want, exact])
        if seen:
            for n in new:
                if step := self._out_of_view(want, exact, self._sets[n]):
                    self._known[n][plain] = step
        if left := tuple(n for n in new if plain not in self._known[n]):
            if left not in self._settlers:
                sets = [self._sets[n] for n in left]
                self._settlers[left] = Settler(self._lathe, sets, self._first, self._ask)
            steps = self._settlers[left].settle(want, beyond=seen)
            for n, step in zip(left, steps, strict=True):
                self._known[n][plain] = step
        return [known[plain] for known in self._known]

    def _out_of_view(self, want: Want, exact: Want, added: Sequence[Gear]) -> WantStep | None:
        """What the view knows of a want with these gears; None where they do not cover it."""
        assert self._view is not None
        view, owned = self._view[0], self._view[1] + Counter(added)
        train = view.first(want, owned)
        if train is None:
            return None
        best = self._answer(want, train)
        other = None if best.error == 0 else view.first(exact, owned)
        return WantStep(
            best.verdict, best, without_error=self._answer(want, other) if other else None
        )

    def _answer(self, want: Want, train: Train) -> Answer:
        return answer(self._lathe, want, train, self._owned, fit(self._lathe, train))


def _plain(lathe: Lathe) -> Lathe:
    """The lathe without what no train depends on."""
    return replace(lathe, name="", bed=Bed(), workshop=Workshop(), dividing=(), thread_dials=())
