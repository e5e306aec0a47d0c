"""From proven sets to the plan people read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan import explain
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.best_set import BestSet
from gearchest.optimizer.plan.goal import Cover, Reached
from gearchest.optimizer.plan.problem import WEIGHT, Chosen, Problem
from gearchest.optimizer.plan.result import Goal, Judged, Plan, RunnerUp, Step
from gearchest.optimizer.plan.served import Served
from gearchest.optimizer.plan.worth import held_rows, worth
from gearchest.optimizer.search.reach import Bench, answer
from gearchest.optimizer.search.result import Answer, Verdict, WantStep


@dataclass(frozen=True)
class Builder:
    """Everything it takes to put sets of gears into words."""

    served: Served
    wants: Sequence[Want]
    problem: Problem

    @property
    def names(self) -> list[str]:
        """The wants' names."""
        return [want.name for want in self.wants]

    def plan(self, found: Sequence[BestSet], notes: Sequence[str] = ()) -> Plan:
        """The plan of steps 0, 1, 2, ..."""
        sets = [step.chosen for step in found]
        steps = tuple(self.step(most, step, sets[:most]) for most, step in enumerate(found))
        columns = [self.states(chosen) for chosen in sets]
        lathe, *also = self.served.lathes
        return Plan(
            lathe=lathe,
            wants=tuple(self.wants),
            steps=steps,
            states=tuple(zip(*columns, strict=True)),
            notes=tuple(notes),
            aims=self.problem.aims,
            unreachable=self.unreachable(),
            knee=explain.knee([step.covered_weight for step in steps]),
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
        return Step(
            most=most,
            gears=explain.added_gears(problem, chosen, self.names),
            price=problem.scales[Aim.MONEY].exact(value.totals[Aim.MONEY]),
            covered=len(value.used),
            covered_weight=problem.scales[WEIGHT].exact(value.weight),
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
        )

    def goal(self, cover: Cover, reached: Reached | None, last: BestSet) -> Goal:
        """The cheapest set for what was asked; where there is none, how far the last step
        comes."""
        found = reached.found if reached else last
        beyond = reached.beyond if reached else cover.wants
        uncovered = beyond - explain.covered(self.problem, found.chosen)
        return Goal(
            asked=cover.asked,
            reached=reached is not None and reached.reached,
            step=self.step(len(found.chosen), found, (), self.served.most_missing),
            states=self.states(found.chosen),
            beyond=tuple(self.wants[want].name for want in sorted(uncovered)),
        )

    def _unseen(self, most: int) -> str:
        """What a proof about sets of at most `most` gears says nothing about."""
        searched = self.problem.table.most_missing
        if searched >= min(most, self.served.most_missing):
            return ""
        return f"trains that lack more than {searched} gears were not looked for"

    def _runner_up(self, weight: int, chosen: Chosen | None) -> RunnerUp | None:
        if chosen is None:
            return None
        exact = self.problem.scales[WEIGHT].exact
        less = worth(self.problem, chosen).weight
        return RunnerUp(self.problem.gears(chosen), exact(less), exact(weight - less))

    def states(self, chosen: Chosen) -> tuple[WantStep, ...]:
        """Every want with these gears added."""
        options = self.problem.options
        used = {int(options.want[row]): int(row) for row in worth(self.problem, chosen).used}
        held = held_rows(self.problem, chosen)
        exact = {
            int(options.want[row]): int(row)
            for row in held[options.cost(Aim.ERROR)[held] == 0][::-1]
        }
        benches = self._benches(self.problem.gears(chosen))
        return tuple(
            self._cut(i, used[i], exact.get(i)) if i in used else self._miss(want, benches)
            for i, want in enumerate(self.wants)
        )

    def _benches(self, added: Sequence[Gear]) -> list[Bench]:
        return [Bench(lathe, added) for lathe in self.served.lathes]

    def _cut(self, want: int, row: int, exact: int | None) -> WantStep:
        """A covered want: the train to set up, and the one without error if that is another."""
        judged, lathe = self._answer(want, row)
        other = None if exact in (None, row) else self._answer(want, exact)[0]
        if judged.error == 0 or other is None or other.error != 0:
            return WantStep(judged.verdict, judged, self._name(lathe))
        return WantStep(Verdict.EXACT, judged, self._name(lathe), other)

    def _answer(self, want: int, row: int) -> tuple[Answer, Lathe]:
        option = int(self.problem.options.index[row])
        lathe = self.served.lathe(want, option)
        train = self.served.table.wants[want].train(option)
        return answer(lathe, self.wants[want], train, owned_gears(lathe)), lathe

    def _miss(self, want: Want, benches: Sequence[Bench]) -> WantStep:
        """The nearest state on any of the lathes."""
        states = [(bench.settle(want), self._name(bench.lathe)) for bench in benches]
        best, name = min(states, key=lambda state: list(Verdict).index(state[0].verdict))
        return WantStep(best.verdict, best.answer, name)

    def _name(self, lathe: Lathe) -> str:
        return lathe.name if len(self.served.lathes) > 1 else ""

    def unreachable(self) -> tuple[tuple[str, WantStep], ...]:
        """Wants that no set of offers covers, as they stand with all offers at hand."""
        reached = set(self.problem.options.want.tolist())
        every = tuple(
            gear
            for gear, had in zip(self.problem.candidates, self.problem.offers, strict=True)
            for _ in had
        )
        benches = self._benches(every)
        return tuple(
            (want.name, self._miss(want, benches))
            for i, want in enumerate(self.wants)
            if i not in reached
        )


def _weight_bound(judged: Sequence[Judged], wanted: Fraction) -> Fraction:
    """What no set covers more than; all that is wanted where that was not looked into."""
    return next((one.bound for one in judged if one.objective == WEIGHT), wanted)
