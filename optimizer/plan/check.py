"""Check a plan from its trains alone, without the solver or its tables.

Everything is worked out again in exact fractions: which trains can be put together from the
chest and the gears added, whether their error is allowed, what they load, what the gears
cost. The search is trusted for one thing only, that it found the trains; and those that do
not fit are not among them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.pitch import magnitude, relative_error
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.problem import Terms
from gearchest.optimizer.plan.result import Aim, Step
from gearchest.optimizer.plan.served import Served

_ROUNDING = {Aim.LOAD: 1e-3, Aim.ERROR: 2e-9}
"""Loads are counted in thousandths of a newton, errors in parts per billion: totals may
differ by about one unit for each want, taken by weight."""


@dataclass(frozen=True)
class _Way:
    """One train: the gears it needs, its load and |error|."""

    gears: Counter[Gear]
    load: Fraction
    error: Fraction | float


@dataclass(frozen=True)
class Recount:
    """What a set of gears comes to; `money` None where it cannot be had. Totals are of
    weight x load and weight x |error|."""

    covered: frozenset[int]
    weight: Fraction
    load: Fraction
    error: float
    money: Fraction | None


@dataclass(frozen=True)
class Checker:
    """Recounts sets of gears and finds fault with steps."""

    served: Served
    wants: Sequence[Want]
    offers: Sequence[Offer]
    terms: Terms

    @cached_property
    def _ways(self) -> list[list[_Way]]:
        """Every train of every want that keeps to the want's allowance."""
        return [self._of(i, want) for i, want in enumerate(self.wants)]

    def _of(self, i: int, want: Want) -> list[_Way]:
        ways = []
        options = self.served.table.wants[i]
        for row in range(len(options.load)):
            train = options.train(row)
            leadscrew = self.served.lathe(i, row).leadscrew
            error = magnitude(relative_error(train.ratio, leadscrew, want.pitch))
            if error <= want.allowance.relative:
                ways.append(_Way(Counter(train.gears), train.tooth_load, error))
        return ways

    def recount(self, gears: Sequence[Gear]) -> Recount:
        """Coverage, load and price of the chest with these gears added."""
        chest = owned_gears(self.served.lathes[0]) + Counter(gears)
        used: dict[int, _Way] = {}
        for i, ways in enumerate(self._ways):
            usable = [way for way in ways if way.gears <= chest]
            if usable:
                used[i] = min(usable, key=self._preference)
        weights = {i: self.wants[i].weight for i in used}
        return Recount(
            frozenset(used),
            sum(weights.values(), Fraction(0)),
            sum((weights[i] * way.load for i, way in used.items()), Fraction(0)),
            sum((float(weights[i] * way.error) for i, way in used.items()), 0.0),
            self._price(gears),
        )

    def _preference(self, way: _Way) -> tuple[Fraction | float, ...]:
        """The train used is the best by the aims that tell trains apart, in their order."""
        told = {Aim.LOAD: way.load, Aim.ERROR: way.error}
        return tuple(told[aim] for aim in self.terms.aims if aim is not Aim.MONEY)

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
        for aim, value in ((Aim.LOAD, float(recount.load)), (Aim.ERROR, recount.error)):
            if abs(said.get(aim, value) - value) > float(recount.weight) * _ROUNDING[aim]:
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
