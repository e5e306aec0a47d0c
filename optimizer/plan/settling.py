"""Wants told with sets of gears: on the lathe that does each best, and as far as time allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import minded_first
from gearchest.optimizer.plan.problem import Chosen, Problem
from gearchest.optimizer.plan.served import Served
from gearchest.optimizer.plan.unsettled import unsettled
from gearchest.optimizer.search.answers import choice_key
from gearchest.optimizer.search.asking import Ask
from gearchest.optimizer.search.copies import in_turn
from gearchest.optimizer.search.finder import Finder
from gearchest.optimizer.search.result import Verdict, WantStep

_SHARED = 60
"""Wants times sets, a tenth of a second's work, from which on it is shared out."""

_MINDED = 6
"""Of what settles the choice of a train, what two lathes can be compared by."""


@dataclass(frozen=True)
class Settling:
    """`workers` settle the wants, as the finder shares that out; once `ask` raises, those left
    are told by the options of the problem."""

    served: Served
    wants: Sequence[Want]
    problem: Problem
    finder: Finder
    ask: Ask
    workers: int

    def rows(self, numbers: Sequence[int], sets: Sequence[Chosen]) -> list[tuple[WantStep, ...]]:
        """By want of some numbers, its state with each set of gears added."""
        first, added = minded_first(self.problem.aims), list(map(self.problem.gears, sets))
        asked = [self.ask]  # a copy of the process has its own way of asking
        make, lathes = self.finder.settler, self.served.lathes
        on = [make(lathe, added, first, lambda: asked[0]()) for lathe in lathes]

        def work(job: int, ask: Ask) -> tuple[WantStep, ...]:
            asked[0] = ask
            ask()
            each = (one.settle(self.wants[numbers[job]]) for one in on)
            return tuple(map(self._better, zip(*each, strict=True)))

        many = len(numbers) * len(sets) >= _SHARED
        share = self.finder.settling if many else in_turn
        made = share(len(numbers), work, self.workers, self.ask)
        rows = {job: row for job, row in made if row is not None}
        if left := [job for job in range(len(numbers)) if job not in rows]:
            some = [numbers[n] for n in left]
            told = unsettled(self.served, self.wants, self.problem, some, sets)
            rows |= zip(left, told, strict=True)
        return [rows[job] for job in range(len(numbers))]

    def _better(self, states: Sequence[WantStep]) -> WantStep:
        """Of a want's states by lathe the one whose train is to be set up; of equals the first."""
        lathes = self.served.lathes

        def order(on: int) -> tuple[object, ...]:
            step = states[on]
            if step.answer is None or not step.verdict.covered:
                return 1, list(Verdict).index(step.verdict), on
            return 0, *choice_key(lathes[on], step.answer)[:_MINDED], on

        best = min(range(len(lathes)), key=order)
        return replace(states[best], lathe=self._name(lathes[best]))

    def _name(self, lathe: Lathe) -> str:
        return lathe.name if len(self.served.lathes) > 1 else ""
