"""Check a plan from its trains alone, without the solver or its tables.

Everything is worked out again in exact fractions: which trains can be put together from the
chest and the gears added, whether their error is allowed, what they load, what the gears
cost. The search is trusted for one thing only, that it found the trains; and those that do
not fit are not among them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import magnitude, relative_error
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.result import Step
from gearchest.optimizer.plan.served import Served
from gearchest.optimizer.search.merit import merit

Exact = Fraction | float

OF_TRAINS: dict[Aim, tuple[Callable[[Lathe, Want, Train, Exact], Exact], float]] = {
    Aim.LOAD: (lambda lathe, want, train, error: train.tooth_load, 1e-3),
    Aim.ERROR: (lambda lathe, want, train, error: error, 2e-9),
    Aim.DEMERITS: (lambda lathe, want, train, error: merit(lathe, want, train).demerits, 0.0),
}
"""What an aim makes of a train and its |error|, and how coarsely a plan counts it: totals may
differ by about so much for each want, taken by weight."""


@dataclass(frozen=True)
class _Usable:
    """One train: the gears it needs, and its cost by each aim."""

    gears: Counter[Gear]
    costs: dict[Aim, Exact]


@dataclass(frozen=True)
class Recount:
    """What a set of gears comes to; `money` None where it cannot be had. `totals`: of weight x
    cost, by each aim that counts trains."""

    covered: frozenset[int]
    weight: Fraction
    totals: dict[Aim, Exact]
    money: Fraction | None


@dataclass(frozen=True)
class Checker:
    """Recounts sets of gears and finds fault with steps."""

    served: Served
    wants: Sequence[Want]
    offers: Sequence[Offer]
    terms: Terms

    @cached_property
    def _trains(self) -> list[list[_Usable]]:
        """Every train of every want that keeps to the want's allowance."""
        return [self._of(i, want) for i, want in enumerate(self.wants)]

    def _of(self, i: int, want: Want) -> list[_Usable]:
        found = []
        options = self.served.table.wants[i]
        for row in range(len(options)):
            train = options.train(row)
            lathe = self.served.lathe(i, row)
            error = magnitude(relative_error(train.ratio, lathe.leadscrew, want.pitch))
            if error <= want.allowance.relative:
                costs = {
                    aim: cost(lathe, want, train, error) for aim, (cost, _) in OF_TRAINS.items()
                }
                found.append(_Usable(Counter(train.gears), costs))
        return found

    def recount(self, gears: Sequence[Gear]) -> Recount:
        """What the chest comes to with these gears added."""
        chest = owned_gears(self.served.lathes[0]) + Counter(gears)
        used: dict[int, _Usable] = {}
        for i, trains in enumerate(self._trains):
            usable = [train for train in trains if train.gears <= chest]
            if usable:
                used[i] = min(usable, key=self._preference)
        weights = {i: self.wants[i].weight for i in used}
        return Recount(
            frozenset(used),
            sum(weights.values(), Fraction(0)),
            {
                aim: sum((weights[i] * train.costs[aim] for i, train in used.items()), Fraction(0))
                for aim in OF_TRAINS
            },
            self._price(gears),
        )

    def _preference(self, train: _Usable) -> tuple[Exact, ...]:
        """The train used is the best by the aims that tell trains apart, in their order."""
        return tuple(train.costs[aim] for aim in self.terms.aims if aim in OF_TRAINS)

    def _price(self, gears: Sequence[Gear]) -> Fraction | None:
        """The least these gears can be had for; None where there are not enough."""
        total = Fraction(0)
        for gear, count in Counter(gears).items():
            prices: list[Fraction] = []
            for offer in self.offers:
                if offer.gear == gear and gear not in self.terms.keep_out:
                    copies = count if offer.copies is None else min(count, offer.copies)
                    prices += [offer.price] * copies
            if len(prices) < count:
                return None
            total += sum(sorted(prices)[:count])
        return total

    def faults(self, step: Step) -> list[str]:
        """What is wrong with a step; empty where nothing is."""
        gears = [added.offer.gear for added in step.gears]
        recount = self.recount(gears)
        return [
            *self._terms_broken(step, gears, recount),
            *self._sums_wrong(step, recount),
            *self._claims_wrong(step, recount),
        ]

    def _terms_broken(self, step: Step, gears: list[Gear], recount: Recount) -> list[str]:
        faults = []
        if len(gears) > step.most:
            faults.append(f"{len(gears)} gears where {step.most} may be added")
        if recount.money is None:
            faults.append("more copies of a gear than are on offer")
        budget = self.terms.budget
        if budget is not None and recount.money is not None and recount.money > budget:
            faults.append(f"the gears cost {recount.money}, the budget is {budget}")
        include = Counter(self.terms.include)
        if (Counter(gears) & include).total() < min(step.most, include.total()):
            faults.append("gears that must be in are not")
        return faults

    def _sums_wrong(self, step: Step, recount: Recount) -> list[str]:
        faults = []
        if step.covered != len(recount.covered):
            faults.append(f"{step.covered} wants said to be covered, {len(recount.covered)} are")
        if step.covered_weight != recount.weight:
            faults.append(f"weight {step.covered_weight} said to be covered, {recount.weight} is")
        if recount.money is not None and step.price != recount.money:
            faults.append(f"the price is said to be {step.price}, it is {recount.money}")
        said = {one.objective: float(one.value) for one in step.judged}
        for aim, (_, rounding) in OF_TRAINS.items():
            value = float(recount.totals[aim])
            if abs(said.get(aim, value) - value) > float(recount.weight) * rounding:
                faults.append(f"the {aim} is said to be {said[aim]:g}, it is {value:g}")
        return faults

    def _claims_wrong(self, step: Step, recount: Recount) -> list[str]:
        faults = []
        if step.covered_weight > step.bound_weight:
            faults.append("more is covered than the bound allows")
        if step.proven and step.covered_weight != step.bound_weight:
            faults.append("proven, but the bound is not met")
        if step.order and step.order[-1][1] != recount.weight:
            faults.append("the order does not end with the weight covered")
        for other in (*step.equally_good, *([step.next_best.gears] if step.next_best else [])):
            if self.recount(other).weight > recount.weight:
                faults.append(f"{', '.join(map(str, other))} would cover more")
        return faults
