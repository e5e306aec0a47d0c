"""From proven sets to the plan people read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan import explain
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.best_set import BestSet
from gearchest.optimizer.plan.goal import Cover, Reached
from gearchest.optimizer.plan.problem import WEIGHT, Chosen, Problem
from gearchest.optimizer.plan.result import Alternative, Goal, Judged, Plan, RunnerUp, Spare, Step
from gearchest.optimizer.plan.served import Served
from gearchest.optimizer.plan.settling import Settling
from gearchest.optimizer.plan.unsettled import UNSETTLED
from gearchest.optimizer.plan.worth import worth
from gearchest.optimizer.search.asking import Ask, go_on
from gearchest.optimizer.search.finder import AFRESH, Finder
from gearchest.optimizer.search.merit import NOT_COVERED
from gearchest.optimizer.search.result import Verdict, WantStep


@dataclass(frozen=True)
class Builder:
    """Everything it takes to put sets of gears into words. Once `ask` raises, wants are told by
    the options the plan chose from, and nothing more is looked at."""

    served: Served
    wants: Sequence[Want]
    problem: Problem
    finder: Finder = AFRESH
    ask: Ask = go_on
    workers: int = 1

    @property
    def names(self) -> list[str]:
        """The wants' names."""
        return [want.name for want in self.wants]

    def plan(
        self,
        found: Sequence[BestSet],
        notes: Sequence[str] = (),
        *,
        whole: bool = True,
        beyond: bool = True,
    ) -> Plan:
        """The plan of steps 0, 1, 2, ..., without advice. `whole`: all trains were looked for
        that were to be, so that what none reaches is out of reach; `beyond`: whether to
        say of each why."""
        sets = [step.chosen for step in found]
        steps = tuple(self.step(most, step, sets[:most]) for most, step in enumerate(found))
        by_set = list(dict.fromkeys(sets))
        places = [by_set.index(chosen) for chosen in sets]
        rows = self._settled(range(len(self.wants)), by_set)
        settled = [[row[place] for row in rows] for place in places]
        steps = tuple(
            step
            if whole and step.covered == _covered(states)
            else _as_settled(step, self.wants, states)
            for step, states in zip(steps, settled, strict=True)
        )
        lathe, *also = self.served.lathes
        known = whole and all(step.bound_weight == step.covered_weight for step in steps)
        return Plan(
            lathe=lathe,
            wants=tuple(self.wants),
            steps=steps,
            states=tuple(tuple(row[place] for place in places) for row in rows),
            notes=tuple(notes),
            aims=self.problem.aims,
            unreachable=self.unreachable() if whole and beyond else (),
            cut_short=not whole,
            knee=explain.knee([step.covered_weight for step in steps]) if known else None,
            also=also[0] if also else None,
        )

    def step(
        self, most: int, found: BestSet, earlier: Sequence[Chosen], proof_most: int | None = None
    ) -> Step:
        """The step of at most `most` gears with its explanation. `proof_most`: the proof speaks
        of sets up to so many gears (None: as many as the step)."""
        problem, chosen = self.problem, found.chosen
        unseen = self._unseen(most if proof_most is None else proof_most)
        value = worth(problem, chosen)
        judged = tuple(
            Judged(
                total.objective,
                problem.scales[total.objective].exact(total.value),
                problem.scales[total.objective].exact(total.bound),
                total.proven,
            )
            for total in found.totals
        )
        wanted = sum((want.weight for want in self.wants), Fraction(0))
        covered = problem.scales[WEIGHT].exact(value.weight)
        demerits = problem.scales[Aim.DEMERITS].exact(value.totals[Aim.DEMERITS])
        demerits += NOT_COVERED * (wanted - covered)
        return Step(
            most=most,
            gears=explain.added_gears(problem, chosen, self.names),
            price=problem.scales[Aim.MONEY].exact(value.totals[Aim.MONEY]),
            covered=len(value.used),
            covered_weight=covered,
            demerits=demerits,
            wanted=len(self.wants),
            wanted_weight=wanted,
            proven=found.proven and not unseen,
            bound_weight=wanted if unseen else _weight_bound(judged, wanted),
            proven_by=found.proven_by,
            order=explain.best_order(problem, chosen),
            equally_good=tuple(problem.gears(other) for other in found.equally_good),
            stopped_by=found.stopped_by or unseen,
            judged=judged,
            next_best=self._runner_up(value.weight, found.next_best),
            dropped=explain.dropped(problem, chosen, earlier),
            further=explain.further(problem, chosen, self.names),
            alternatives=self._alternatives(found, complete=not unseen),
        )

    def _largest_error(self, chosen: Chosen) -> float | Fraction | None:
        return explain.largest_error(self.problem, self.served, self.wants, chosen)

    def _alternatives(self, found: BestSet, *, complete: bool) -> tuple[Alternative, ...]:
        scales = self.problem.scales
        return tuple(
            Alternative(
                self.problem.gears(other.chosen),
                scales[WEIGHT].exact(other.weight),
                scales[Aim.DEMERITS].exact(other.demerits),
                scales[Aim.MONEY].exact(other.money),
                proven=found.alternatives_proven and complete,
                idle=other.idle,
                largest_error=self._largest_error(other.chosen),
            )
            for other in found.alternatives
        )

    def goal(
        self, cover: Cover, reached: Reached | None, last: BestSet, *, certain: bool = True
    ) -> Goal:
        """The cheapest set for what was asked; where there is none, how far the last step
        comes. `certain`: that there is none is known, and all trains were looked for."""
        found = reached.found if reached else last
        beyond = reached.beyond if reached else cover.wants
        uncovered = beyond - explain.covered(self.problem, found.chosen)
        return Goal(
            asked=cover.asked,
            reached=reached is not None and reached.reached,
            step=self.step(len(found.chosen), found, (), self.served.most_missing),
            states=self.states(found.chosen),
            beyond=tuple(self.wants[want].name for want in sorted(uncovered)),
            certain=certain,
        )

    def _unseen(self, most: int) -> str:
        """What a proof about sets of at most `most` gears says nothing about."""
        searched = self.problem.table.most_missing
        if searched >= min(most, self.served.most_missing):
            return ""
        if searched < 0:
            return "trains of the gears owned were not all looked at"
        return f"trains that lack more than {searched} gears were not all looked for"

    def _runner_up(self, weight: int, chosen: Chosen | None) -> RunnerUp | None:
        if chosen is None:
            return None
        exact = self.problem.scales[WEIGHT].exact
        less = worth(self.problem, chosen).weight
        return RunnerUp(self.problem.gears(chosen), exact(less), exact(weight - less))

    def spare(self, spare: Spare) -> Spare | None:
        """With the wants that the lathes as they are cut without error, and with one once these
        gears are gone; None where that was not looked at."""
        poorer = tuple(_without(lathe, spare.together) for lathe in self.served.lathes)
        then = replace(self, served=replace(self.served, lathes=poorer)).states(())
        now, exact = self.states(()), Verdict.EXACT
        if not all(state.settled for state in (*now, *then)):
            return None
        inexact = tuple(
            want.name
            for want, before, after in zip(self.wants, now, then, strict=True)
            if before.verdict is exact and after.verdict is not exact
        )
        return replace(spare, inexact=inexact)

    def states(self, chosen: Chosen, some: Sequence[int] | None = None) -> tuple[WantStep, ...]:
        """Wants, all or `some` by number, with these gears: on the lathe that does it best."""
        numbers = range(len(self.wants)) if some is None else some
        return tuple(state for (state,) in self._settled(numbers, [chosen]))

    def _settled(
        self, numbers: Sequence[int], sets: Sequence[Chosen]
    ) -> list[tuple[WantStep, ...]]:
        """By want, its state with each set of gears added."""
        with_what = Settling(
            self.served, self.wants, self.problem, self.finder, self.ask, self.workers
        )
        return with_what.rows(numbers, sets)

    def unreachable(self) -> tuple[tuple[str, WantStep], ...]:
        """Wants that no set of offers covers, as they stand with all offers at hand."""
        reached = set(self.problem.options.want.tolist())
        every = tuple(c for c, had in enumerate(self.problem.offers) for _ in had)
        beyond = [number for number in range(len(self.wants)) if number not in reached]
        states = self._settled(beyond, [every]) if beyond else []
        return tuple(
            (self.wants[number].name, state)
            for number, (state,) in zip(beyond, states, strict=True)
        )


def _as_settled(step: Step, wants: Sequence[Want], states: Sequence[WantStep]) -> Step:
    """A step out of some trains only, told by the states, which look at all that its gears make:
    they may cover more. What compares it with sets not looked at so is left out."""
    covered = [want for want, state in zip(wants, states, strict=True) if state.verdict.covered]
    weight = sum((want.weight for want in covered), Fraction(0))
    names = {want.name for want in covered}
    demerits = sum(
        (
            want.weight * (_demerits(state) if state.verdict.covered else NOT_COVERED)
            for want, state in zip(wants, states, strict=True)
        ),
        Fraction(0),
    )
    return replace(
        step,
        covered=len(covered),
        covered_weight=weight,
        demerits=demerits,
        bound_weight=max(step.bound_weight, weight),
        proven=step.proven and weight == step.covered_weight,
        stopped_by=step.stopped_by or (UNSETTLED if weight < step.covered_weight else ""),
        order=step.order if weight == step.covered_weight else (),
        further=tuple(one for one in step.further if one.want not in names),
        equally_good=(),
        next_best=None,
        alternatives=(),
    )


def _covered(states: Iterable[WantStep]) -> int:
    return sum(state.verdict.covered for state in states)


def _demerits(state: WantStep) -> int:
    return state.answer.merit.demerits if state.answer else NOT_COVERED


def _without(lathe: Lathe, gears: Sequence[Gear]) -> Lathe:
    """The lathe with some of its loose gears gone."""
    gone = Counter(gears)
    loose = tuple((gear, count - gone[gear]) for gear, count in lathe.chest.loose)
    kept = tuple((gear, count) for gear, count in loose if count > 0)
    return replace(lathe, chest=replace(lathe.chest, loose=kept))


def _weight_bound(judged: Sequence[Judged], wanted: Fraction) -> Fraction:
    """What no set covers more than; all that is wanted where that was not looked into."""
    return next((one.bound for one in judged if one.objective == WEIGHT), wanted)
